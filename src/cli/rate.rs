//! `spanyard rate`: one car at one crossing as a calculation sheet.

use spanyard::check::registry::Stage;
use spanyard::report::facts::answers::answers;
use spanyard::report::{json, terminal};

use super::files::{FileArgs, refusal, warnings};
use super::match_::{find_cars, find_crossing};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `rate`.
#[derive(Debug, clap::Args)]
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

/// The checks of the rating on each different span of the crossing; 1 where the car cannot carry
/// any of them.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let reading = match args.files.read() {
        Ok(reading) => reading,
        Err(problems) => return Ok(Answer::refused(refusal(&problems))),
    };
    let inputs = &reading.inputs;
    let cars = find_cars(inputs, &args.car, args.dealer.as_deref())?;
    let crossing = find_crossing(inputs, &args.crossing)?;
    let mut answers = answers(inputs, &cars, &[crossing]);
    for answer in &mut answers {
        answer.checks.retain(|check| check.code.kind().stage == Stage::Rate);
    }
    let carries = answers.iter().any(|answer| answer.bars().next().is_none());
    let stdout = match args.format {
        TextOrJson::Table => terminal::match_checks(inputs, &answers, terminal::Detail::All, width),
        TextOrJson::Json => json::match_report(inputs, &answers)?,
    };
    let exit = if carries { Exit::Done } else { Exit::No };
    Ok(Answer::done(stdout).exit(exit).beside(warnings(&reading)))
}
