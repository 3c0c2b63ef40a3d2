//! `spanyard plan`: the main job.

use std::time::Duration;

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::choose::{Effort, Progress};
use spanyard::model::plan::{Plan, Stop};
use spanyard::quantity::{Cents, Percent};
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::matching::Matching;
use spanyard::report::{csv, json, terminal};
use spanyard::survey::Survey;

use super::files::{FileArgs, refusal, warnings};
use super::outputs::OutputArgs;
use super::progress::ProgressArgs;
use super::{Answer, Exit, Format};

/// Arguments of `plan`.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    files: FileArgs,

    /// The most that may be paid, in US dollars
    #[arg(long, value_name = "USD", value_parser = budget, allow_negative_numbers = true)]
    budget: Option<Cents>,

    /// Stop the search after this many seconds with the best plan so far
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<Duration>,

    /// Stop the search when the plan is proven to cost no more than this above the cheapest possible
    #[arg(long, value_name = "PERCENT", value_parser = percent, allow_negative_numbers = true)]
    gap: Option<Percent>,

    #[command(flatten)]
    progress: ProgressArgs,

    /// Output; csv is the shopping list alone
    #[arg(long, value_enum, default_value_t = Format::Table)]
    format: Format,

    #[command(flatten)]
    outputs: OutputArgs,
}

/// Makes, verifies and reports the plan.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let reading = match args.files.read() {
        Ok(reading) => reading,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let inputs = &reading.inputs;
    let survey = Survey::new(inputs);
    let follower = args.progress.follower()?;
    let watch = |progress: &Progress| follower.follow(progress);
    let effort = Effort { time_limit: args.time_limit, gap: args.gap, watch: Some(&watch) };
    let options = PlanOptions { budget: args.budget, effort };
    let plan = match make_plan(inputs, &survey, &options) {
        Ok(plan) => plan,
        Err(rejected) => {
            return Ok(Answer::refused(format!("error: {rejected}")).exit(Exit::Defect));
        }
    };
    let matching = Matching::new(inputs, &survey);
    let report = PlanReport { inputs, plan: &plan, matching: &matching, files: &reading.files };
    let stdout = match args.format {
        Format::Table => terminal::plan(&report, width),
        Format::Json => json::plan(&report)?,
        Format::Csv => csv::plan(&report)?,
    };
    let written = args.outputs.write(inputs, &report, &args.files)?;
    Ok(Answer::done(stdout).exit(ending(&plan)).beside(warnings(&reading, width) + &written))
}

/// A search that was cut short says so before it says that crossings go without, because a longer
/// one may serve them. One that reached the gap asked for has done what was asked.
fn ending(plan: &Plan) -> Exit {
    if matches!(plan.proof.stopped, Some(Stop::TimeLimit | Stop::Interrupt)) {
        Exit::Unproven
    } else if plan.served_count() < plan.crossings.len() {
        Exit::No
    } else {
        Exit::Done
    }
}

/// Dollars as people write them: `250000`, `250,000.50`, `$250,000`.
fn budget(text: &str) -> Result<Cents, String> {
    let plain: String = text.trim().trim_start_matches('$').replace(',', "");
    let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    let (dollars, cents) = plain.split_once('.').unwrap_or((&plain, "00"));
    let wrong = || "write dollars, such as 250000 or 250000.50".to_owned();
    if !digits(dollars) || !digits(cents) || cents.len() > 2 || dollars.len() > 12 {
        return Err(wrong());
    }
    format!("{dollars}{cents:0<2}").parse().map(Cents).map_err(|_| wrong())
}

/// A positive number of seconds.
fn seconds(text: &str) -> Result<Duration, String> {
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|seconds| *seconds > 0.0)
        .and_then(|seconds| Duration::try_from_secs_f64(seconds).ok())
        .ok_or_else(|| "write seconds, such as 30".to_owned())
}

/// A share that is not negative.
fn percent(text: &str) -> Result<Percent, String> {
    text.trim()
        .trim_end_matches('%')
        .trim_end()
        .parse::<f64>()
        .ok()
        .filter(|share| share.is_finite() && *share >= 0.0)
        .map(Percent)
        .ok_or_else(|| "write a share in per cent, such as 0.5".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn budgets() {
        for (text, cents) in [
            ("250000", Some(25_000_000)),
            ("$250,000.50", Some(25_000_050)),
            ("10.5", Some(1_050)),
            ("0", Some(0)),
            ("-5", None),
            ("1e6", None),
            ("10.505", None),
            ("", None),
            ("99999999999999999999", None),
        ] {
            assert_eq!(budget(text).ok(), cents.map(Cents), "{text:?}");
        }
    }

    #[test]
    fn time_limits() {
        for (text, good) in [
            ("30", true),
            ("0.5", true),
            ("0", false),
            ("-1", false),
            ("inf", false),
            ("NaN", false),
            ("x", false),
        ] {
            assert_eq!(seconds(text).is_ok(), good, "{text:?}");
        }
    }

    #[test]
    fn gaps() {
        for (text, share) in [
            ("0.5", Some(0.5)),
            ("0.5%", Some(0.5)),
            ("2 %", Some(2.0)),
            ("0", Some(0.0)),
            ("-1", None),
            ("inf", None),
            ("x", None),
        ] {
            assert_eq!(percent(text).ok(), share.map(Percent), "{text:?}");
        }
    }
}
