//! `spanyard want`: near misses, and the cars to ask dealers for.

use spanyard::after::relax::near_misses;
use spanyard::after::want::wanted;
use spanyard::model::inputs::CrossingIx;
use spanyard::report::{json, terminal};

use super::files::warnings;
use super::match_::find_crossing;
use super::solving::SolveArgs;
use super::{Answer, Exit, TextOrJson};

/// Arguments of `want`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  spanyard want\n  spanyard want --crossing B-38")]
pub struct Args {
    #[command(flatten)]
    solving: SolveArgs,

    /// This crossing, served or not; of a served one, what one step of each limit would save
    #[arg(long, value_name = "ID")]
    crossing: Option<String>,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

/// Asks what the unserved crossings lack, or the one named.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let case = match args.solving.solve(width)? {
        Ok(case) => case,
        Err(answer) => return Ok(answer),
    };
    let inputs = &case.reading.inputs;
    let crossings: Vec<CrossingIx> = match &args.crossing {
        Some(id) => vec![find_crossing(inputs, id)?],
        None => {
            let plan = case.solved.plan.crossings.iter();
            plan.filter(|c| c.served().is_none()).map(|c| c.crossing).collect()
        }
    };
    let near = match near_misses(inputs, &case.solved, &case.options, &crossings) {
        Ok(near) => near,
        Err(rejected) => {
            return Ok(Answer::refused(format!("error: {rejected}")).exit(Exit::Defect));
        }
    };
    let wanted = wanted(inputs, &case.survey, &crossings);
    let stdout = match args.format {
        TextOrJson::Table => terminal::want(inputs, &near, &wanted, width),
        TextOrJson::Json => json::want(inputs, &near, &wanted)?,
    };
    let stopped = near.iter().any(|misses| misses.stopped);
    let exit = if stopped { Exit::Unproven } else { Exit::Done };
    Ok(Answer::done(stdout).exit(exit).beside(warnings(&case.reading, width)))
}
