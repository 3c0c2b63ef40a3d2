//! `spanyard explain`: what a check asks, why, where it comes from, and what to do about it.

use clap::ValueEnum;
use itertools::Itertools;
use spanyard::check::Code;
use spanyard::check::registry::REGISTRY;
use spanyard::report::{docs, json, terminal};

use super::Answer;

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  spanyard explain S05\n  spanyard explain")]
pub struct Args {
    /// Codes as printed in reports, such as S05; none: a list of all
    #[arg(value_name = "CODE")]
    codes: Vec<String>,

    /// Output
    #[arg(long, value_enum, default_value_t = ExplainFormat::Table)]
    format: ExplainFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ExplainFormat {
    /// Text for people.
    Table,
    /// JSON for other programs; see docs/json.md.
    Json,
    /// All checks as docs/checks.md, whatever codes are named.
    Markdown,
}

/// Explains the codes, or lists all.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let mut codes = Vec::new();
    let mut unknown = Vec::new();
    for text in &args.codes {
        match text.parse::<Code>() {
            Ok(code) => codes.push(code),
            Err(error) => unknown.push(format!("error: {error}{}", did_you_mean(text))),
        }
    }
    if !unknown.is_empty() {
        return Ok(Answer::input_problem(&unknown.join("\n")));
    }
    Ok(Answer::done(match args.format {
        ExplainFormat::Markdown => docs::checks_doc(),
        ExplainFormat::Json if codes.is_empty() => {
            json::explain(&REGISTRY.iter().map(|kind| kind.code).collect_vec())?
        }
        ExplainFormat::Json => json::explain(&codes)?,
        ExplainFormat::Table if codes.is_empty() => terminal::explain_all(width),
        ExplainFormat::Table => codes.iter().map(|&code| terminal::explain(code, width)).join("\n"),
    }))
}

/// The codes that somebody may have meant: one character off, or a word of their names.
fn did_you_mean(text: &str) -> String {
    let wanted = text.trim().to_ascii_uppercase();
    let near = REGISTRY
        .iter()
        .filter(|kind| {
            one_character_off(&wanted, kind.id)
                || (wanted.len() >= 3 && kind.name.to_ascii_uppercase().contains(&wanted))
        })
        .map(|kind| format!("\n  {} {}", kind.id, kind.name))
        .join("");
    if near.is_empty() { near } else { format!("\ndid you mean:{near}") }
}

/// Whether one character was typed wrong, left out or typed too much.
fn one_character_off(typed: &str, code: &str) -> bool {
    let (typed, code): (Vec<char>, Vec<char>) = (typed.chars().collect(), code.chars().collect());
    if typed.len() == code.len() {
        return typed.iter().zip(&code).filter(|(a, b)| a != b).count() == 1;
    }
    let (short, long) = if typed.len() < code.len() { (typed, code) } else { (code, typed) };
    long.len() == short.len() + 1
        && (0..long.len()).any(|left_out| {
            long.iter()
                .enumerate()
                .filter(|(place, _)| *place != left_out)
                .map(|(_, c)| c)
                .eq(short.iter())
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_codes() {
        for (typed, code, near) in [
            ("S5", "S05", true),
            ("S055", "S05", true),
            ("X05", "S05", true),
            ("S05", "S05", false),
            ("S50", "S05", false),
            ("", "S05", false),
        ] {
            assert_eq!(one_character_off(typed, code), near, "{typed} for {code}");
        }
    }
}
