//! `spanyard rules`: the built-in rules.

use spanyard::model::rules::DEFAULT_RULES;

use super::Answer;

/// No arguments.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  spanyard rules > rules.toml")]
pub struct Args {}

/// Prints the rules as they stand in the program.
pub fn run(_: &Args) -> Answer {
    Answer::done(DEFAULT_RULES.to_string())
}
