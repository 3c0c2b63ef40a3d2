//! `spanyard ask`: the shortest list of questions.

use std::convert::Infallible;
use std::path::PathBuf;

use spanyard::after::ask::{Asked, ask};
use spanyard::folder::Written;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::matching::Matching;
use spanyard::report::sheets::{conditional, letters};
use spanyard::report::{csv, json, terminal};
use spanyard::save::{Disk, Targets, make_folder};
use spanyard::survey::Survey;

use super::files::warnings;
use super::outputs::{self, unusable};
use super::solving::{Case, SolveArgs};
use super::{Answer, Exit, Format};

/// Arguments of `ask`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard ask\n  spanyard ask --letters letters\n\nBudget and funds do not limit what is asked."
)]
pub struct Args {
    #[command(flatten)]
    solving: SolveArgs,

    /// Write to this folder a letter and a table to fill in for each yard, and the conditional plan
    #[arg(long, value_name = "DIR")]
    letters: Option<PathBuf>,

    /// Output
    #[arg(long, value_enum, default_value_t = Format::Table)]
    format: Format,
}

/// Asks which facts would open crossings.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let read = args.solving.files.paths();
    if let Err(wrong) = Targets::default().folder("--letters", args.letters.as_deref()).check(&read)
    {
        return Ok(unusable(&wrong));
    }
    let case = match args.solving.solve(width)? {
        Ok(case) => case,
        Err(answer) => return Ok(answer),
    };
    let (inputs, plan) = (&case.reading.inputs, &case.solved.plan);
    let asked = ask(inputs, &case.options.effort);
    let stdout = match args.format {
        Format::Table => terminal::ask(inputs, plan, &asked, width),
        Format::Json => json::ask(inputs, plan, &asked)?,
        Format::Csv => csv::ask(inputs, &asked)?,
    };
    let mut written = Written::default();
    if let Some(folder) = &args.letters {
        make_folder(disk, folder)?;
        for file in letters(inputs, &asked)?.into_iter().chain(text_of_plan(&case, &asked, width)) {
            written.file(&folder.join(&file.name), Ok::<_, Infallible>(&file.content), disk);
        }
    }
    let exit = if asked.proven { Exit::Done } else { Exit::Unproven };
    let said = warnings(&case.reading, width) + &written.said;
    Ok(Answer::done(stdout).exit(outputs::ending(&written, exit)).beside(said))
}

/// The conditional plan, marked as such; none where it could not be made whole.
fn text_of_plan(
    case: &Case,
    asked: &Asked,
    width: usize,
) -> Option<spanyard::report::sheets::SheetFile> {
    let plan = asked.plan.as_ref()?;
    let inputs = &asked.inputs;
    let survey = Survey::new(inputs);
    let matching = Matching::new(inputs, &survey);
    let report = PlanReport { inputs, plan, matching: &matching, files: &case.reading.files };
    Some(conditional(&terminal::plan(&report, width)))
}
