//! `spanyard check`: what was understood of the files, and what is wrong with them.

use spanyard::report::{json, terminal};

use super::files::{FileArgs, warnings};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    files: FileArgs,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

/// Reads the files. Problems are the result here, so they go to standard output.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    Ok(match (args.files.read(), args.format) {
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
