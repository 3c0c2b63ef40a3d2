//! The reports as JSON, for other programs. `docs/json.md` describes every key.
//!
//! Keys carry their units (`span_ft`, `gap_in`, `amount_usd_cents`), cars are named by dealer and
//! ID, and a document begins with `schema_version`, which rises when a key changes its meaning or
//! goes away. A measured value or limit is an object with its unit as the key: `{"ft": 66.0}`.

mod check;
mod explain;
mod matching;
mod plan;
mod shared;
mod vehicles;

pub use check::{check, problems};
pub use explain::explain;
pub use matching::match_report;
pub use plan::plan;
pub use vehicles::vehicles;

use serde::Serialize;

/// The version of the JSON documents.
pub const SCHEMA_VERSION: u32 = 1;

/// What every document begins with.
#[derive(Debug, Serialize)]
struct Document<T> {
    schema_version: u32,
    program: &'static str,
    program_version: &'static str,
    report: &'static str,
    #[serde(flatten)]
    body: T,
}

/// A document as text, with a final line break.
fn render<T: Serialize>(report: &'static str, body: T) -> serde_json::Result<String> {
    let document = Document {
        schema_version: SCHEMA_VERSION,
        program: "spanyard",
        program_version: env!("CARGO_PKG_VERSION"),
        report,
        body,
    };
    let mut text = serde_json::to_string_pretty(&document)?;
    text.push('\n');
    Ok(text)
}
