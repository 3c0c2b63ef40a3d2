//! `spanyard spare`: cars without a substitute, and spares against one failed inspection.

use spanyard::after::spare::{Substitute, spares};
use spanyard::report::{json, terminal};

use super::files::warnings;
use super::solving::SolveArgs;
use super::{Answer, Exit, TextOrJson};

/// Arguments of `spare`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  spanyard spare")]
pub struct Args {
    #[command(flatten)]
    solving: SolveArgs,

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
    let spares = spares(&solved.market, &solved.choice, &case.options.effort);
    let stdout = match args.format {
        TextOrJson::Table => terminal::spares(inputs, &solved.plan, &spares, width),
        TextOrJson::Json => json::spares(inputs, &solved.plan, &spares)?,
    };
    let exit = if !spares.proven {
        Exit::Unproven
    } else if spares.failures.iter().any(|failure| failure.substitute == Substitute::Nothing) {
        Exit::No
    } else {
        Exit::Done
    };
    Ok(Answer::done(stdout).exit(exit).beside(warnings(&case.reading, width)))
}
