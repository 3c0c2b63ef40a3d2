//! `spanyard check`: what was understood of the files, and what is wrong with them.

use std::path::PathBuf;

use spanyard::read::{Problems, draft_mapping};
use spanyard::report::{json, terminal};

use super::files::{FileArgs, open, refusal, warnings};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    files: Option<FileArgs>,

    /// Print a first mapping for a dealer's own list, to be edited, and do nothing else
    #[arg(long, value_name = "FILE", exclusive = true)]
    draft_mapping: Option<PathBuf>,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

/// Reads the files. Problems are the result here, so they go to standard output.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    if let Some(path) = &args.draft_mapping {
        return Ok(match open(path).and_then(|source| draft_mapping(&source)) {
            Ok(draft) => Answer::done(draft),
            Err(problem) => Answer::refused(refusal(&Problems(vec![*problem]))),
        });
    }
    let Some(files) = &args.files else {
        return Ok(Answer::input_problem("error: name the files, or --draft-mapping FILE"));
    };
    Ok(match (files.read(), args.format) {
        (Ok(reading), TextOrJson::Table) => {
            Answer::done(terminal::check(&reading.inputs, &reading.files, width))
                .beside(warnings(&reading))
        }
        (Ok(reading), TextOrJson::Json) => {
            Answer::done(json::check(&reading.inputs, &reading.files, &reading.warnings)?)
        }
        (Err(problems), TextOrJson::Table) => {
            Answer::done(terminal::problems(&problems)).exit(Exit::Input)
        }
        (Err(problems), TextOrJson::Json) => {
            Answer::done(json::problems(&problems)?).exit(Exit::Input)
        }
    })
}
