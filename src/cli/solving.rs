//! What the commands share that ask something of the finished plan.

use std::time::{Duration, Instant};

use spanyard::assemble::{PlanOptions, Solved, choose_offers, solve};
use spanyard::choose::Effort;
use spanyard::quantity::Cents;
use spanyard::read::Reading;
use spanyard::survey::Survey;

use super::budget::dollars;
use super::files::{FileArgs, refusal};
use super::plan::{left_of, seconds, too_little};
use super::progress::interrupts;
use super::{Answer, Exit};

/// The files and limits of a plan.
#[derive(Debug, clap::Args)]
pub struct SolveArgs {
    #[command(flatten)]
    pub files: FileArgs,

    /// The most that may be paid, in US dollars
    #[arg(long, value_name = "USD", value_parser = dollars, allow_negative_numbers = true)]
    budget: Option<Cents>,

    /// Stop the plan, and what is asked of it, each after this many seconds with the best found so far
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<Duration>,
}

/// A plan and what it was made of.
pub struct Case {
    pub reading: Reading,
    pub survey: Survey,
    pub solved: Solved,
    pub options: PlanOptions<'static>,
    pub time_limit: Option<Duration>,
}

impl SolveArgs {
    /// Reads the files and makes the plan; else the answer that says why not.
    pub fn solve(&self, width: usize) -> anyhow::Result<Result<Case, Answer>> {
        let begun = Instant::now();
        let mut reading = match self.files.read() {
            Ok(reading) => reading,
            Err(refused) => return Ok(Err(Answer::refused(refusal(&refused, width)))),
        };
        too_little(&reading.inputs, self.budget)?;
        let options = |begun| -> anyhow::Result<PlanOptions<'static>> {
            let effort = Effort {
                time_limit: left_of(self.time_limit, begun),
                interrupt: Some(interrupts()?),
                ..Effort::default()
            };
            Ok(PlanOptions { budget: self.budget, effort })
        };
        choose_offers(&mut reading.inputs, &options(begun)?);
        let survey = Survey::new(&reading.inputs);
        let options = options(begun)?;
        Ok(match solve(&reading.inputs, &survey, &options) {
            Ok(solved) => {
                Ok(Case { reading, survey, solved, options, time_limit: self.time_limit })
            }
            Err(rejected) => Err(Answer::refused(format!("error: {rejected}")).exit(Exit::Defect)),
        })
    }
}
