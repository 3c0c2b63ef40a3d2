//! The reports as JSON, for other programs. `docs/json.md` describes every key.
//!
//! Keys carry their units (`span_ft`, `gap_in`, `amount_usd_cents`), cars are named by dealer and
//! ID, and a document begins with `schema_version`, which rises when a key changes its meaning or
//! goes away. A measured value or limit is an object with its unit as the key: `{"ft": 66.0}`.

mod ask;
mod change;
mod check;
mod compare;
mod crossings;
mod decisions;
mod explain;
mod matching;
mod plan;
mod prices;
mod purchases;
mod shared;
mod sheet;
mod spares;
mod sweep;
mod vehicles;
mod want;

pub use ask::ask;
pub use check::{check, check_of_some, problems};
pub use compare::compare;
pub use explain::explain;
pub use matching::match_report;
pub use plan::{plan, plan_and_change};
pub use prices::prices;
pub use sheet::{SheetOrReasons, sheets};
pub use spares::spares;
pub use sweep::sweep;
pub use vehicles::vehicles;
pub use want::want;

use serde::Serialize;

use crate::schema::Document;
pub use crate::schema::SCHEMA_VERSION;

/// A document as text, with a final line break.
fn render<T: Serialize>(report: &str, body: T) -> serde_json::Result<String> {
    let document = Document {
        schema_version: SCHEMA_VERSION,
        program: "spanyard".to_owned(),
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        report: report.to_owned(),
        body,
    };
    let mut text = crate::words::for_json(&serde_json::to_string_pretty(&document)?).into_owned();
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::registry::REGISTRY;
    use crate::report::facts::PlanReport;
    use crate::report::facts::matching::Matching;
    use crate::report::fixture;
    use crate::survey::Survey;
    use serde_json::Value;

    fn fixture_plan() -> Value {
        let (inputs, made, files) = (fixture::inputs(), fixture::plan(), fixture::files());
        let survey = Survey::with(&inputs, |_, _| Vec::new());
        let matching = Matching::new(&inputs, &survey);
        let report =
            PlanReport { inputs: &inputs, plan: &made, matching: &matching, files: &files };
        serde_json::from_str(&plan(&report).unwrap()).unwrap()
    }

    /// Calls `seen` with the key and value of every number in the document.
    fn numbers<'a>(key: &'a str, value: &'a Value, seen: &mut impl FnMut(&'a str, &'a Value)) {
        match value {
            Value::Number(_) => seen(key, value),
            Value::Array(items) => items.iter().for_each(|item| numbers(key, item, seen)),
            Value::Object(entries) => {
                entries.iter().for_each(|(key, value)| numbers(key, value, seen));
            }
            _ => {}
        }
    }

    #[test]
    fn every_number_says_its_unit_or_is_a_count() {
        const UNITS: &[&str] = &["ft", "in", "ratio", "percent", "short_tons", "usd_cents"];
        const COUNTS: &[&str] = &[
            "schema_version",
            "rows",
            "crossings",
            "served",
            "firm",
            "to_confirm",
            "site_by_site_served",
            "cars",
            "count",
            "span_number",
            "priority",
            "piers",
            "cars_that_fit_no_crossing",
        ];
        numbers("", &fixture_plan(), &mut |key, value| {
            let unit = UNITS.iter().any(|unit| key == *unit || key.ends_with(&format!("_{unit}")));
            assert!(unit || COUNTS.contains(&key), "{key}: {value}");
            if key.ends_with("usd_cents") {
                assert!(value.is_i64() || value.is_u64(), "{key} is not whole: {value}");
            }
        });
    }

    #[test]
    fn the_plan_in_json_tells_what_the_fixture_holds() {
        let plan = fixture_plan();
        for (pointer, expected) in [
            ("/schema_version", Value::from(1)),
            ("/summary/served", Value::from(2)),
            ("/summary/gap_usd_cents", Value::from(73_200)),
            ("/purchases/0/singles/1/car", Value::from("DR-20")),
            ("/purchases/0/singles/1/goes_to/1/crossing", Value::from("TC-02")),
            ("/purchases/0/singles/1/goes_to/1/span_number", Value::from(2)),
            ("/purchases/1/lots/0/left_over/0/car", Value::from("SS-3")),
            ("/purchases/1/lots/0/left_over_value_usd_cents", Value::from(140_000)),
            ("/crossings/0/status", Value::from("served")),
            ("/crossings/0/decks/0/cars_left_to_right/1/width_ft", Value::from(8.875)),
            ("/crossings/0/decks/0/joint/gap_in", Value::from(0.0)),
            ("/crossings/0/signs/0/sign_short_tons", Value::from(10.0)),
            ("/crossings/0/least_margins/1/check/measured/ratio", Value::from(1.04)),
            ("/crossings/0/cheapest_alternative/extra_usd_cents", Value::from(123_400)),
            ("/crossings/1/decks/1/joint", Value::Null),
            ("/crossings/2/status", Value::from("unserved")),
            ("/crossings/2/nearest_miss/barred_by/0/margin/ft", Value::from(-70.0)),
        ] {
            assert_eq!(plan.pointer(pointer), Some(&expected), "{pointer}");
        }
    }

    #[test]
    fn all_codes_explained() {
        let codes: Vec<_> = REGISTRY.iter().map(|kind| kind.code).collect();
        let document: Value = serde_json::from_str(&explain(&codes).unwrap()).unwrap();
        assert_eq!(document["checks"].as_array().map(Vec::len), Some(REGISTRY.len()));
    }
}
