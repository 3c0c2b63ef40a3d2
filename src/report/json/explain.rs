//! The registry as JSON.

use serde::Serialize;

use super::render;
use crate::check::Code;
use crate::check::registry::Example;

#[derive(Debug, Serialize)]
struct Registry {
    checks: Vec<Entry>,
}

#[derive(Debug, Serialize)]
struct Entry {
    code: &'static str,
    name: &'static str,
    stage: &'static str,
    about: &'static str,
    remedy: &'static str,
    source: String,
    examples: &'static [Example],
}

/// What the registry says of these codes.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn explain(codes: &[Code]) -> serde_json::Result<String> {
    let checks = codes
        .iter()
        .map(|code| {
            let kind = code.kind();
            Entry {
                code: kind.id,
                name: kind.name,
                stage: kind.stage.title(),
                about: kind.about,
                remedy: kind.remedy,
                source: kind.basis.to_string(),
                examples: kind.examples,
            }
        })
        .collect();
    render("explain", Registry { checks })
}
