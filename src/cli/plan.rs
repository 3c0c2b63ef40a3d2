//! `spanyard plan`: the main job.

use std::convert::Infallible;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use anyhow::Context;
use spanyard::after::origin::{Origin, Seal};
use spanyard::after::replan::{Previous, replanned};
use spanyard::assemble::{PlanOptions, Solved, choose_offers, solve};
use spanyard::choose::{Effort, Progress};
use spanyard::folder::{Written, open_text};
use spanyard::model::inputs::{CrossingIx, Inputs};
use spanyard::model::plan::{Plan, Stop};
use spanyard::quantity::{Cents, Percent};
use spanyard::read::Reading;
use spanyard::report::drawing::budget_chart;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::change::{Change, change};
use spanyard::report::facts::matching::Matching;
use spanyard::report::facts::rules_in_force::rules_in_force;
use spanyard::report::provenance::Beside;
use spanyard::report::{csv, json, terminal};
use spanyard::save::Disk;
use spanyard::survey::Survey;
use spanyard::verify::Rejected;

use super::budget::{Budget, budget_or_range, dollars, steps, sweep};
use super::files::{FileArgs, refusal, warnings};
use super::match_::find_crossing;
use super::outputs::{self, OutputArgs, unusable};
use super::progress::{ProgressArgs, interrupts};
use super::{Answer, Exit, Format};

/// Arguments of `plan`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard plan\n  spanyard plan --crossing B-07          one crossing with deck, costs and margins\n  spanyard plan --report papers/plan.html --sheets papers\n  spanyard plan --budget 100k..400k --step 25k"
)]
pub struct Args {
    #[command(flatten)]
    files: FileArgs,

    /// The most that may be paid, in US dollars; FROM..TO with --step tells what each budget buys
    #[arg(long, value_name = "USD", value_parser = budget_or_range, allow_negative_numbers = true)]
    budget: Option<Budget>,

    /// From budget to budget of a range, in US dollars
    #[arg(long, value_name = "USD", value_parser = dollars)]
    step: Option<Cents>,

    /// What each budget from this to that would buy, beside the plan in the report; with --step
    #[arg(long, value_name = "FROM..TO", value_parser = budget_or_range, requires_all = ["step", "report"])]
    curve: Option<Budget>,

    /// Draw what each budget of a range buys, SVG
    #[arg(long, value_name = "FILE", requires = "step")]
    chart: Option<PathBuf>,

    /// A plan as JSON, from which to change as little as can be
    #[arg(long, value_name = "PLAN.json")]
    previous: Option<PathBuf>,

    /// How much more than the cheapest plan may be paid for fewer changes, in per cent of net cost
    /// [default: purchase.change_tolerance_pct of the rules]
    #[arg(long, value_name = "PERCENT", value_parser = percent, requires = "previous")]
    tolerance: Option<Percent>,

    /// Stop the search after this many seconds with the best plan so far; of a range of budgets this is for
    /// all of them together [default for a range: 60]
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<Duration>,

    /// Stop the search when the plan is proven to cost no more than this above the cheapest possible
    #[arg(long, value_name = "PERCENT", value_parser = percent, allow_negative_numbers = true)]
    gap: Option<Percent>,

    /// Plan with facts only that are enough to pay on, rules evidence.to_pay
    #[arg(long)]
    firm: bool,

    /// Everything: each crossing with deck, costs and margins, refused cars, totals, cautions, sources
    #[arg(long, help_heading = "What is printed")]
    full: bool,

    /// What these crossings get, and why
    #[arg(long, value_name = "ID", num_args = 1.., conflicts_with = "full", help_heading = "What is printed")]
    crossing: Vec<String>,

    #[command(flatten)]
    progress: ProgressArgs,

    /// Output; csv is the shopping list alone
    #[arg(long, value_enum, default_value_t = Format::Table)]
    format: Format,

    #[command(flatten)]
    outputs: OutputArgs,
}

/// Makes, verifies and reports the plan.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let begun = Instant::now();
    let mut read = args.files.paths();
    read.extend(args.previous.clone());
    read.extend(args.outputs.reads().map(Path::to_owned));
    if let Err(wrong) = args.outputs.targets().file("--chart", args.chart.as_deref()).check(&read) {
        return Ok(unusable(&wrong));
    }
    let mut reading = match args.files.read() {
        Ok(reading) => reading,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    if args.firm {
        reading.inputs.hold_to_firm();
    }
    let budget = args.budget.and_then(Budget::one);
    let effort = Effort { time_limit: left_of(args.time_limit, begun), ..Effort::default() };
    choose_offers(&mut reading.inputs, &PlanOptions { budget, effort });
    let inputs = &reading.inputs;
    if let Some(Budget::Range(from, to)) = args.budget {
        too_little(inputs, Some(from))?;
        return each_budget(args, &reading, steps(from, to, args.step)?, width, begun, disk);
    }
    if args.step.is_some() && args.curve.is_none() {
        anyhow::bail!(
            "--step goes with a range of budgets, such as --budget 100k..400k --step 25k"
        );
    }
    let curve = match args.curve {
        Some(Budget::Range(from, to)) => steps(from, to, args.step)?,
        Some(Budget::One(_)) => anyhow::bail!("--curve takes a range, such as 100k..400k"),
        None => Vec::new(),
    };
    too_little(inputs, curve.first().copied())?;
    let beside = match args.outputs.beside(&args.files, &inputs.rules.agency) {
        Ok(beside) => beside,
        Err(wrong) => return Ok(Answer::refused(format!("error: {wrong}\n"))),
    };
    if args.chart.is_some() {
        anyhow::bail!("--chart draws a range of budgets, such as --budget 100k..400k --step 25k");
    }
    too_little(inputs, budget)?;
    let crossings = args.crossing.iter().map(|id| find_crossing(inputs, id));
    let crossings: Vec<CrossingIx> = crossings.collect::<anyhow::Result<_>>()?;
    let previous = args.previous.as_deref().map(read_previous).transpose()?;
    let survey = Survey::new(inputs);
    let follower = args.progress.follower()?;
    let watch = |progress: &Progress| follower.follow(progress);
    let effort = Effort {
        time_limit: left_of(args.time_limit, begun),
        gap: args.gap,
        watch: Some(&watch),
        ..Effort::default()
    };
    let end = effort.deadline();
    let made = solve(inputs, &survey, &PlanOptions { budget, effort });
    let origin = previous.as_ref().map(|(_, origin)| origin);
    let previous = previous.as_ref().map(|(previous, _)| previous);
    let made = made.and_then(|solved| {
        // What a plan close to the previous one may take is what the search has left of the limit.
        let effort = Effort { time_limit: end.left(), gap: None, ..effort };
        changed(args, inputs, &survey, solved, previous, &effort)
    });
    let (plan, change) = match made {
        Ok(made) => made,
        Err(rejected) => {
            return Ok(Answer::refused(format!("error: {rejected}")).exit(Exit::Defect));
        }
    };
    let matching = Matching::new(inputs, &survey);
    let report = PlanReport { inputs, plan: &plan, matching: &matching, files: &reading.files };
    let told = change.as_ref().map(|change| terminal::change(change, width)).unwrap_or_default();
    let stdout = match args.format {
        Format::Table if args.full => told + &terminal::plan(&report, width),
        Format::Table if !crossings.is_empty() => terminal::crossings(&report, &crossings, width),
        Format::Table => told + &terminal::answer(&report, width),
        Format::Json => json::plan_and_change(&report, change.as_ref())?,
        Format::Csv => csv::plan(&report)?,
    };
    let effort = Effort { time_limit: args.time_limit, watch: Some(&watch), ..Effort::default() };
    let budgets = match sweep(inputs, &curve, effort) {
        Ok(budgets) => budgets,
        Err(rejected) => {
            return Ok(Answer::refused(format!("error: {rejected}")).exit(Exit::Defect));
        }
    };
    let written = args.outputs.write(&report, &read, Beside { budgets, ..beside }, disk);
    let exit = outputs::ending(&written, ending(&plan));
    let said = warnings(&reading, width) + &since(args, origin, &reading) + &written.said;
    Ok(Answer::done(stdout).exit(exit).beside(said))
}

/// What must be known of the previous plan: whether it is as it was written, and what its files were.
fn since(args: &Args, origin: Option<&Origin>, reading: &Reading) -> String {
    let (Some(path), Some(origin)) = (&args.previous, origin) else { return String::new() };
    let name = path.display();
    let rules = rules_in_force(&reading.inputs.rules).fingerprint;
    let differences = origin.differences(&Origin::of_this(&rules, &reading.files));
    let mut said =
        origin.doubts().map(|doubt| format!("warning: {name} {doubt}\n")).unwrap_or_default();
    if !differences.is_empty() && origin.seal != Seal::Missing {
        said.push_str(&format!("since {name}: {}\n", differences.join("; ")));
    }
    said
}

/// The time for a range of budgets, unless told otherwise.
const FOR_A_RANGE: Duration = Duration::from_secs(60);

/// What each budget of a range buys.
fn each_budget(
    args: &Args,
    reading: &Reading,
    budgets: Vec<Cents>,
    width: usize,
    begun: Instant,
    disk: &dyn Disk,
) -> anyhow::Result<Answer> {
    if args.previous.is_some() || args.outputs.any() {
        anyhow::bail!(
            "a range of budgets makes no single plan: leave out --previous and the files to write, or state one budget"
        );
    }
    let effort = Effort {
        time_limit: left_of(args.time_limit.or(Some(FOR_A_RANGE)), begun),
        gap: args.gap,
        interrupt: Some(interrupts()?),
        ..Effort::default()
    };
    let points = match sweep(&reading.inputs, &budgets, effort) {
        Ok(points) => points,
        Err(rejected) => {
            return Ok(Answer::refused(format!("error: {rejected}")).exit(Exit::Defect));
        }
    };
    let stdout = match args.format {
        Format::Table => terminal::sweep(&points, width),
        Format::Json => json::sweep(&points)?,
        Format::Csv => csv::sweep(&points)?,
    };
    let mut written = Written::default();
    if let Some(path) = &args.chart {
        let drawing = budget_chart::draw(&points, None, "what-money-buys");
        written.file(path, Ok::<_, Infallible>(drawing), disk);
    }
    let proven = points.iter().all(|point| point.proven);
    let exit = if proven { Exit::Done } else { Exit::Unproven };
    let mut said = warnings(reading, width) + &written.said;
    let exit = match budgets.len() - points.len() {
        0 => exit,
        left_out => {
            said.push_str(&format!(
                "stopped by Ctrl-C: the {left_out} smallest budgets were not looked at\n"
            ));
            Exit::Unproven
        }
    };
    Ok(Answer::done(stdout).exit(outputs::ending(&written, exit)).beside(said))
}

/// The plan, or, where a previous one is given, the one near the cheapest that changes least of it.
fn changed(
    args: &Args,
    inputs: &Inputs,
    survey: &Survey,
    solved: Solved,
    previous: Option<&Previous>,
    effort: &Effort,
) -> Result<(Plan, Option<Change>), Rejected> {
    let Some(previous) = previous else { return Ok((solved.plan, None)) };
    let tolerance = args.tolerance.unwrap_or(inputs.rules.purchase.change_tolerance_pct);
    let options = PlanOptions { budget: args.budget.and_then(Budget::one), effort: *effort };
    let (plan, least) = replanned(inputs, survey, solved, previous, tolerance, &options)?;
    let change = change(inputs, survey, &plan, previous, &least);
    Ok((plan, Some(change)))
}

/// A previous plan from its file, and where it comes from.
fn read_previous(path: &Path) -> anyhow::Result<(Previous, Origin)> {
    let text = open_text(path)?;
    let previous = Previous::parse(&text).with_context(|| path.display().to_string())?;
    Ok((previous, Origin::of(&text)))
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

/// Refuses a budget that is spent already.
pub fn too_little(inputs: &Inputs, budget: Option<Cents>) -> anyhow::Result<()> {
    let paid = inputs.decided.paid;
    match budget {
        Some(budget) if budget < paid => {
            anyhow::bail!("{paid} are paid already by decision, and the budget is {budget}")
        }
        _ => Ok(()),
    }
}

/// What is left for the search of a limit that counts from the beginning of the command: reading and
/// screening are a part of it. A quarter of the limit at least, so that something is found.
pub fn left_of(limit: Option<Duration>, begun: Instant) -> Option<Duration> {
    limit.map(|limit| limit.saturating_sub(begun.elapsed()).max(limit / 4))
}

/// A positive number of seconds, a year at most.
pub fn seconds(text: &str) -> Result<Duration, String> {
    const YEAR: f64 = 365.0 * 86_400.0;
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|seconds| *seconds > 0.0 && *seconds <= YEAR)
        .and_then(|seconds| Duration::try_from_secs_f64(seconds).ok())
        .ok_or_else(|| "write seconds, such as 30".to_owned())
}

/// A share that is not negative, and of which more than the whole makes no sense.
pub fn percent(text: &str) -> Result<Percent, String> {
    text.trim()
        .trim_end_matches('%')
        .trim_end()
        .parse::<f64>()
        .ok()
        .filter(|share| (0.0..=100.0).contains(share))
        .map(Percent)
        .ok_or_else(|| "write a share of 0 to 100 per cent, such as 0.5".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_limits() {
        for (text, good) in [
            ("30", true),
            ("0.5", true),
            ("0", false),
            ("-1", false),
            ("inf", false),
            ("1e19", false),
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
            ("100", Some(100.0)),
            ("100.1", None),
            ("150", None),
            ("1e308", None),
            ("-1", None),
            ("NaN", None),
            ("inf", None),
            ("x", None),
        ] {
            assert_eq!(percent(text).ok(), share.map(Percent), "{text:?}");
        }
    }
}
