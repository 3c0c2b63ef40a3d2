//! `spanyard rate`: one car at one crossing as a calculation sheet.

use std::path::PathBuf;

use spanyard::folder::Written;
use spanyard::model::ends::longest;
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use spanyard::quantity::Feet;
use spanyard::rate::sheet::sheet;
use spanyard::rate::{Rating, checks_of};
use spanyard::report::json::{self, SheetOrReasons};
use spanyard::report::rating::{Rated, page};
use spanyard::report::terminal;
use spanyard::save::{Disk, Targets};

use super::files::{FileArgs, refusal, warnings};
use super::match_::{find_cars, find_crossing};
use super::outputs::{ending, unusable};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `rate`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard rate --car UD-08 --crossing B-07\n  spanyard rate --car UD-08 --crossing B-07 --page rating.html   for the engineer's file; prints to PDF"
)]
pub struct Args {
    #[command(flatten)]
    files: FileArgs,

    /// The car
    #[arg(long, value_name = "ID")]
    car: String,

    /// The dealer of the car, where two dealers use one ID
    #[arg(long, value_name = "NAME")]
    dealer: Option<String>,

    /// The crossing
    #[arg(long, value_name = "ID")]
    crossing: String,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,

    /// Also write a page: a summary for the posting letter, then the sheets
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
}

/// The calculation sheet on each different span of the crossing; 1 where the car's strength does not
/// do for any of them.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let targets = Targets::default().file("--page", args.page.as_deref());
    if let Err(wrong) = targets.check(&args.files.paths()) {
        return Ok(unusable(&wrong));
    }
    let reading = match args.files.read() {
        Ok(reading) => reading,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let inputs = &reading.inputs;
    let cars = find_cars(inputs, &args.car, args.dealer.as_deref())?;
    let crossing = find_crossing(inputs, &args.crossing)?;
    let mut carries = false;
    let mut sheets = Vec::new();
    let mut texts = Vec::new();
    let mut rated = Vec::new();
    for &car in &cars {
        for site in sites(inputs, crossing) {
            let span = inputs.span(site);
            let (made, rating, passes) = one(inputs, car, site);
            carries |= passes;
            rated.push(Rated {
                car: inputs.car(car).name(),
                span,
                made: match (&made, rating) {
                    (SheetOrReasons::Sheet(sheet), Some(rating)) => {
                        Ok(Box::new((rating, (**sheet).clone())))
                    }
                    (SheetOrReasons::Reasons { cannot_be_rated, .. }, _) => {
                        Err(cannot_be_rated.reasons.clone())
                    }
                    (SheetOrReasons::Sheet(_), None) => Err(Vec::new()),
                },
            });
            texts.push(text(inputs, car, crossing, span, &made, width));
            sheets.push(made);
        }
    }
    let stdout = match args.format {
        TextOrJson::Table => texts.join(&format!("\n{}\n\n", "=".repeat(width))),
        TextOrJson::Json => json::sheets(&sheets)?,
    };
    let exit = if carries { Exit::Done } else { Exit::No };
    let mut written = Written::default();
    if let Some(path) = &args.page {
        let content = page(inputs.crossing(crossing), &inputs.rules, &rated);
        written.file(path, content, disk);
    }
    let said = warnings(&reading, width) + &written.said;
    Ok(Answer::done(stdout).exit(ending(&written, exit)).beside(said))
}

/// A place for every different span of the crossing's layouts, with different ends, in their order.
fn sites(inputs: &Inputs, crossing: CrossingIx) -> Vec<Site> {
    let mut seen: Vec<(Feet, Feet)> = Vec::new();
    let row = inputs.crossing(crossing);
    let mut sites: Vec<Site> = inputs.sites(crossing).collect();
    sites.retain(|site| {
        let key = (inputs.span(*site), longest(&inputs.rules.screen, row, *site));
        let new = !seen.contains(&key);
        if new {
            seen.push(key);
        }
        new
    });
    sites
}

/// The sheet of one car on one span, its rating, and whether no check of the rating bars it.
fn one(inputs: &Inputs, car: CarIx, site: Site) -> (SheetOrReasons, Option<Rating>, bool) {
    let (car, crossing) = (inputs.car(car), inputs.crossing(site.crossing));
    match Rating::at(car, crossing, site, &inputs.rules) {
        Ok(rating) => {
            let passes = !checks_of(&rating, &inputs.rules).iter().any(|c| c.outcome.bars());
            let made = sheet(&rating, car, crossing, &inputs.rules);
            (SheetOrReasons::Sheet(Box::new(made)), Some(rating), passes)
        }
        Err(cannot_be_rated) => {
            let span_ft = inputs.span(site);
            let (car, crossing) = (car.name(), crossing.id.clone());
            let made = SheetOrReasons::Reasons { car, crossing, span_ft, cannot_be_rated };
            (made, None, false)
        }
    }
}

fn text(
    inputs: &Inputs,
    car: CarIx,
    crossing: CrossingIx,
    span: Feet,
    made: &SheetOrReasons,
    width: usize,
) -> String {
    match made {
        SheetOrReasons::Sheet(made) => terminal::sheet(made, width),
        SheetOrReasons::Reasons { cannot_be_rated, .. } => {
            let (car, crossing) = (inputs.car(car), inputs.crossing(crossing));
            terminal::no_sheet(car, crossing, span, cannot_be_rated, width)
        }
    }
}
