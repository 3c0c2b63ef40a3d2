//! `spanyard spare`: cars without a substitute, and spares against one failed inspection.

use std::time::{Duration, Instant};

use spanyard::after::spare::{Substitute, spares};
use spanyard::choose::Effort;
use spanyard::report::{json, terminal};

use super::files::warnings;
use super::plan::seconds;
use super::progress::counted;
use super::solving::SolveArgs;
use super::{Answer, Exit, TextOrJson};

/// Arguments of `spare`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  spanyard spare\n  spanyard spare --within 600")]
pub struct Args {
    #[command(flatten)]
    solving: SolveArgs,

    /// Stop after this many seconds; of what is not proven by then two sums tell between which it lies
    #[arg(long, value_name = "SECONDS", default_value = "60", value_parser = seconds)]
    within: Duration,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

/// Lets each car of the plan fail. The answer is no where one of them has no substitute.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let case = match args.solving.solve(width)? {
        Ok(case) => case,
        Err(answer) => return Ok(answer),
    };
    let (inputs, solved) = (&case.reading.inputs, &case.solved);
    let effort = Effort { time_limit: Some(args.within), ..case.options.effort };
    let told = counted("cars", Instant::now());
    let spares = spares(&solved.market, &solved.choice, &effort, &told);
    let stdout = match args.format {
        TextOrJson::Table => terminal::spares(inputs, &solved.plan, &spares, width),
        TextOrJson::Json => json::spares(inputs, &solved.plan, &spares)?,
    };
    let exit = if !spares.is_cheapest() {
        Exit::Unproven
    } else if spares.failures.iter().any(|failure| failure.substitute == Substitute::Nothing) {
        Exit::No
    } else {
        Exit::Done
    };
    Ok(Answer::done(stdout).exit(exit).beside(warnings(&case.reading, width)))
}
