//! `spanyard rate`: one car at one crossing as a calculation sheet.

use spanyard::model::inputs::{CarIx, CrossingIx, Inputs};
use spanyard::quantity::Feet;
use spanyard::rate::sheet::sheet;
use spanyard::rate::{Rating, checks_of};
use spanyard::report::json::{self, SheetOrReasons};
use spanyard::report::terminal;

use super::files::{FileArgs, refusal, warnings};
use super::match_::{find_cars, find_crossing};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `rate`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  spanyard rate --car UD-08 --crossing B-07")]
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
}

/// The calculation sheet on each different span of the crossing; 1 where the car's strength does not
/// do for any of them.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
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
    for &car in &cars {
        for span in spans(inputs, crossing) {
            let (made, passes) = one(inputs, car, crossing, span);
            carries |= passes;
            texts.push(text(inputs, car, crossing, span, &made, width));
            sheets.push(made);
        }
    }
    let stdout = match args.format {
        TextOrJson::Table => texts.join(&format!("\n{}\n\n", "=".repeat(width))),
        TextOrJson::Json => json::sheets(&sheets)?,
    };
    let exit = if carries { Exit::Done } else { Exit::No };
    Ok(Answer::done(stdout).exit(exit).beside(warnings(&reading, width)))
}

/// Every different span of the crossing's layouts, in their order.
fn spans(inputs: &Inputs, crossing: CrossingIx) -> Vec<Feet> {
    let mut spans = Vec::new();
    for &span in inputs.crossing(crossing).layouts.iter().flat_map(|layout| &layout.spans) {
        if !spans.contains(&span) {
            spans.push(span);
        }
    }
    spans
}

/// The sheet of one car on one span, and whether no check of the rating bars it.
fn one(inputs: &Inputs, car: CarIx, crossing: CrossingIx, span: Feet) -> (SheetOrReasons, bool) {
    let (car, crossing) = (inputs.car(car), inputs.crossing(crossing));
    match Rating::of(car, crossing, span, &inputs.rules) {
        Ok(rating) => {
            let passes = !checks_of(&rating, &inputs.rules).iter().any(|c| c.outcome.bars());
            let made = sheet(&rating, car, crossing, &inputs.rules);
            (SheetOrReasons::Sheet(Box::new(made)), passes)
        }
        Err(cannot_be_rated) => {
            let (car, crossing) = (car.name(), crossing.id.clone());
            (SheetOrReasons::Reasons { car, crossing, span_ft: span, cannot_be_rated }, false)
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
