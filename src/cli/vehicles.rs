//! `spanyard vehicles`: the vehicles that a crossing may be asked to carry.

use std::path::PathBuf;

use spanyard::folder::{Refusal, open};
use spanyard::rate::vehicles::Vehicle;
use spanyard::read::{self, Problems};
use spanyard::report::{json, terminal};

use super::files::{here, refusal};
use super::{Answer, TextOrJson};

/// Arguments of `vehicles`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  spanyard vehicles")]
pub struct Args {
    /// The agency's rules, TOML, with vehicles of its own
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,

    /// Output
    #[arg(long, value_enum, default_value_t = TextOrJson::Table)]
    format: TextOrJson,
}

/// Lists the built-in vehicles and the agency's own.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let of_folder = match here() {
        Ok(folder) => folder.rules,
        Err(refused) => return Ok(Answer::refused(refusal(&refused, width))),
    };
    let named = args.rules.as_deref().or(of_folder.as_deref());
    let rules = named
        .map(open)
        .transpose()
        .map_err(|problem| vec![*problem])
        .and_then(|source| read::rules(source.as_ref()));
    let rules = match rules {
        Ok(rules) => rules,
        Err(problems) => {
            let refused = Refusal { problems: Problems(problems), ..Refusal::default() };
            return Ok(Answer::refused(refusal(&refused, width)));
        }
    };
    let vehicles = Vehicle::all(&rules)?;
    Ok(Answer::done(match args.format {
        TextOrJson::Table => terminal::vehicles(&vehicles, width),
        TextOrJson::Json => json::vehicles(&vehicles)?,
    }))
}
