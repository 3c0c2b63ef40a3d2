//! `spanyard check`: what was understood of the files, and what is wrong with them.

use std::path::{Path, PathBuf};

use spanyard::read::{Checked, draft_mapping};
use spanyard::report::{json, terminal};

use super::files::{MoreFiles, Named, open, refusal_of};
use super::{Answer, Exit, TextOrJson};

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Inventory of cars, CSV or a dealer's own CSV, XLSX, XLS or ODS; may be looked at alone
    #[arg(value_name = "FILE")]
    files: Vec<PathBuf>,

    /// The same, as the other commands take it
    #[arg(long, value_name = "FILE", num_args = 1..)]
    inventory: Vec<PathBuf>,

    /// Yards and their terms, CSV
    #[arg(long, value_name = "FILE")]
    yards: Option<PathBuf>,

    /// Crossings, CSV
    #[arg(long, value_name = "FILE")]
    crossings: Option<PathBuf>,

    #[command(flatten)]
    more: MoreFiles,

    /// Print a first mapping for the dealer's own list FILE, to be edited, and do nothing else
    #[arg(
        long,
        value_name = "FILE",
        num_args = 0..=1,
        conflicts_with_all = ["yards", "crossings", "mapping", "lots", "rules", "strict"]
    )]
    draft_mapping: Option<Option<PathBuf>>,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

/// Reads the files. Problems are the result here, so they go to standard output.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let inventories = args.files.iter().chain(&args.inventory).map(PathBuf::as_path);
    if let Some(file) = &args.draft_mapping {
        let files: Vec<_> = inventories.chain(file.as_deref()).collect();
        return Ok(draft(&files, width));
    }
    let named = Named {
        inventories: inventories.collect(),
        yards: args.yards.as_deref(),
        crossings: args.crossings.as_deref(),
        more: &args.more,
    };
    if named.is_empty() {
        return Ok(Answer::input_problem("error: name a file to check; see spanyard check --help"));
    }
    // With all that a plan needs, what is missing is wrong; else it is merely not checked.
    let a_job = !named.inventories.is_empty() && named.yards.is_some() && named.crossings.is_some();
    let checked = named.read(a_job);
    let Checked { inputs, files, problems, warnings, not_checked, .. } = &checked;
    let stdout = match (inputs, args.format) {
        (None, TextOrJson::Table) => terminal::problems(problems, width),
        (None, TextOrJson::Json) => json::problems(problems, warnings)?,
        (Some(inputs), TextOrJson::Table) if a_job => terminal::check(inputs, files, width),
        (Some(inputs), TextOrJson::Json) if a_job => json::check(inputs, files, warnings)?,
        (_, TextOrJson::Table) => terminal::check_of_some(files, not_checked, width),
        (_, TextOrJson::Json) => json::check_of_some(files, not_checked, warnings)?,
    };
    let beside = match args.format {
        TextOrJson::Table => terminal::list_problems(warnings, "warning: ", width),
        TextOrJson::Json => String::new(),
    };
    let exit = if inputs.is_some() { Exit::Done } else { Exit::Input };
    Ok(Answer::done(stdout).beside(beside).exit(exit))
}

/// Drafts a mapping for the one file named.
fn draft(files: &[&Path], width: usize) -> Answer {
    let [path] = files else {
        return Answer::input_problem("error: --draft-mapping wants one FILE");
    };
    match open(path).and_then(|source| draft_mapping(&source)) {
        Ok(draft) => Answer::done(draft),
        Err(problem) => Answer::refused(refusal_of(*problem, width)),
    }
}
