//! `spanyard compare`: finished plans side by side.

use std::path::PathBuf;

use anyhow::Context;
use spanyard::after::compare::Scenario;
use spanyard::after::origin::{Origin, Seal};
use spanyard::folder::open_text;
use spanyard::report::{csv, json, terminal};

use super::{Answer, Format};

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  spanyard compare monday.json friday.json")]
pub struct Args {
    /// Plans as `spanyard plan --format json` prints them, two or more
    #[arg(value_name = "PLAN.json", required = true, num_args = 2..)]
    plans: Vec<PathBuf>,

    /// Output
    #[arg(long, value_enum, default_value_t = Format::Table)]
    format: Format,
}

/// Reads the plans and sets them side by side.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let mut scenarios = Vec::new();
    let mut origins: Vec<(String, Origin)> = Vec::new();
    let mut said = String::new();
    let stem = |path: &PathBuf| {
        path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
    };
    for path in &args.plans {
        let name = path.display().to_string();
        let text = open_text(path)?;
        // Two files of one name in two folders are told apart by their paths.
        let same = args.plans.iter().filter(|other| stem(other) == stem(path)).count();
        let short = if same > 1 { name.clone() } else { stem(path) };
        scenarios.push(Scenario::parse(&short, &text).with_context(|| name.clone())?);
        let origin = Origin::of(&text);
        said.extend(origin.doubts().map(|doubt| format!("warning: {name} {doubt}\n")));
        if let Some((first, other)) = origins.first()
            && origin.seal != Seal::Missing
        {
            let differences = other.differences(&origin);
            if !differences.is_empty() {
                said.push_str(&format!("{name} against {first}: {}\n", differences.join("; ")));
            }
        }
        origins.push((name, origin));
    }
    let answer = Answer::done(match args.format {
        Format::Table => terminal::compare(&scenarios, width),
        Format::Json => json::compare(&scenarios)?,
        Format::Csv => csv::compare(&scenarios)?,
    });
    Ok(answer.beside(said))
}
