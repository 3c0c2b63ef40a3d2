//! `spanyard match`: every car against every crossing, with reasons.

use spanyard::model::inputs::{CarIx, CrossingIx, Inputs};
use spanyard::report::facts::answers::answers;
use spanyard::report::facts::matching::Matching;
use spanyard::report::terminal::Detail;
use spanyard::report::{csv, json, terminal};
use spanyard::survey::Survey;

use super::files::{FileArgs, refusal, warnings};
use super::{Answer, Format};

/// Arguments of `match`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard match\n  spanyard match --car UD-08            why one car fits or does not\n  spanyard match --crossing B-16 --all"
)]
pub struct Args {
    #[command(flatten)]
    files: FileArgs,

    /// Only this car, with the checks in sentences
    #[arg(long, value_name = "ID")]
    car: Option<String>,

    /// The dealer of the car, where two dealers use one ID
    #[arg(long, value_name = "NAME", requires = "car")]
    dealer: Option<String>,

    /// Only this crossing, with the checks in sentences
    #[arg(long, value_name = "ID")]
    crossing: Option<String>,

    /// All checks in sentences, not only those that bar or want attention
    #[arg(long)]
    all: bool,

    /// Output
    #[arg(long, value_enum, default_value_t = Format::Table)]
    format: Format,
}

/// Asks every check of the cars at the crossings.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let reading = match args.files.read() {
        Ok(reading) => reading,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let inputs = &reading.inputs;
    let cars = match &args.car {
        None => inputs.car_indices().collect(),
        Some(id) => find_cars(inputs, id, args.dealer.as_deref())?,
    };
    let crossings = match &args.crossing {
        None => inputs.crossing_indices().collect(),
        Some(id) => vec![find_crossing(inputs, id)?],
    };
    let narrowed = args.car.is_some() || args.crossing.is_some();
    let stdout = match args.format {
        Format::Table if !narrowed && !args.all => {
            let survey = Survey::new(inputs);
            let matching = Matching::new(inputs, &survey);
            terminal::match_table(inputs, &matching, &cars, &crossings, width)
        }
        Format::Table => {
            let both = args.car.is_some() && args.crossing.is_some();
            let detail = if args.all || both { Detail::All } else { Detail::Bars };
            terminal::match_checks(inputs, &answers(inputs, &cars, &crossings), detail, width)
        }
        Format::Json => json::match_report(inputs, &answers(inputs, &cars, &crossings))?,
        Format::Csv => csv::match_report(inputs, &answers(inputs, &cars, &crossings))?,
    };
    Ok(Answer::done(stdout).beside(warnings(&reading, width)))
}

/// The rows with this ID, of one dealer or of all.
pub fn find_cars(inputs: &Inputs, id: &str, dealer: Option<&str>) -> anyhow::Result<Vec<CarIx>> {
    let found: Vec<CarIx> = inputs
        .car_indices()
        .filter(|&car| {
            let car = inputs.car(car);
            car.id == id && dealer.is_none_or(|dealer| car.dealer == dealer)
        })
        .collect();
    if found.is_empty() {
        let of = dealer.map(|dealer| format!(" of {dealer}")).unwrap_or_default();
        anyhow::bail!("no inventory has a car `{id}`{of}");
    }
    Ok(found)
}

/// The crossing with this ID.
pub fn find_crossing(inputs: &Inputs, id: &str) -> anyhow::Result<CrossingIx> {
    inputs.crossing_indices().find(|&crossing| inputs.crossing(crossing).id == id).ok_or_else(
        || {
            let known: Vec<&str> = inputs.crossings.iter().map(|c| c.id.as_str()).collect();
            anyhow::anyhow!("no crossing has the ID `{id}`; there are {}", known.join(", "))
        },
    )
}
