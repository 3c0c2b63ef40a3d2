//! The agency's rules over the built-in ones.
//!
//! A key that the agency's file gives replaces the built-in key. Lists of tables (`steel_by_year`,
//! `joint`, `deck`, `vehicle`) are replaced as a whole when the file has one, because a list mixed
//! from two sources would hold joints or strengths that nobody decided on. Unknown keys are
//! problems: a misspelled key would otherwise leave the built-in value in force unseen.

mod document;
mod grants;
mod relations;
mod value;

use jiff::civil::Date;

use super::crossings::Known;
use super::problem::{Findings, Problem};
use super::text::SourceText;
use crate::check::Code;
use crate::model::rules::{DEFAULT_RULES, Rules};
use crate::model::vehicles::BUILT_IN;
use document::Document;

/// The rules and what crossings may name.
pub(super) struct Examined {
    /// The rules; `None` if there is a problem with them.
    pub rules: Option<Rules>,
    /// Vehicles and deck systems, also of rules with problems elsewhere.
    pub known: Known,
    /// The day of the order, also of rules with problems elsewhere.
    pub order_date: Option<Date>,
}

/// The built-in rules, with the keys of a rules file in place of theirs.
///
/// # Errors
///
/// All problems of the file, by line and column.
pub fn rules(source: Option<&SourceText>) -> Result<Rules, Vec<Problem>> {
    let mut findings = Findings::default();
    let examined = examine(source, &mut findings);
    findings.sort();
    match examined.rules {
        Some(rules) if findings.problems.is_empty() => Ok(rules),
        _ => Err(findings.problems),
    }
}

/// Reads the rules, with the names in them even where something else is wrong.
pub(super) fn examine(source: Option<&SourceText>, findings: &mut Findings) -> Examined {
    let defaults = DEFAULT_RULES.parse::<toml::Table>().unwrap_or_default();
    let nothing = || Examined { rules: None, known: Known::default(), order_date: None };
    let built_in = SourceText::new("built-in rules", "");
    let file = source.unwrap_or(&built_in);
    let text = match file.text() {
        Ok(text) => text,
        Err(problem) => {
            findings.problems.push(*problem);
            return nothing();
        }
    };
    let Some(mut document) = Document::parse(file, text, defaults, findings) else {
        return nothing();
    };
    document.take(findings);
    relations::check(&document, findings);
    let order_date = document.value("purchase.order_date").and_then(toml::Value::as_str);
    let order_date = order_date.and_then(|day| day.parse().ok());
    let known = Known {
        vehicles: Some(vehicles(&document)),
        decks: Some(document.names("deck")),
        funds: Some(document.names("fund")),
    };
    if !findings.problems.is_empty() {
        return Examined { rules: None, known, order_date };
    }
    match document.into_values().try_into::<Rules>() {
        Ok(rules) => Examined { rules: Some(rules), known, order_date },
        Err(error) => {
            let wrong = format!("cannot be understood: {}", error.message());
            let instead = "compare with the output of `spanyard rules`";
            findings.problems.push(Problem::of_file(
                Code::RulesMalformed,
                file.name.clone(),
                wrong,
                instead,
            ));
            Examined { rules: None, known, order_date }
        }
    }
}

/// Built-in vehicles and the agency's own.
fn vehicles(document: &Document<'_>) -> Vec<String> {
    let own = document.names("vehicle");
    BUILT_IN.iter().map(|known| known.name.to_owned()).chain(own).collect()
}
