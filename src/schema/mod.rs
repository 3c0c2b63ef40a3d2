//! The plan's JSON document as types: `report` writes it and `after` reads it back, so that a key
//! that is renamed here is renamed for both, and one that is missing says so where it is read.
//!
//! Keys carry their units (`span_ft`, `gap_in`, `amount_usd_cents`), cars are named by dealer and ID.
//! A reader ignores keys that it does not know. `docs/json.md` describes every key, and
//! `docs/json.schema.json` states them for programs that check documents.

mod crossings;
mod pieces;
mod plan;
mod purchases;

pub use crossings::{
    Alternative, Confirmation, Crossing, Deck, IfRefused, Joint, Layout, NearMiss, OtherBridge,
    Passing, Placed, Sign, Status,
};
pub use pieces::{CarName, ChangedRule, CheckStated, CostLine, RestsOnStated, RulesStated, Said};
pub use plan::{
    Change, ChangedCrossing, Decision, Decisions, FileStated, Fund, Funds, Hauls, InStock,
    ItemTotal, NotTaken, Origin, PlanDocument, Refusal, Refused, Summary, TakenOut, Way,
};
pub use purchases::{Bought, Destination, LeftOver, Lot, PriceLevel, Purchase, Spare};

use serde::{Deserialize, Serialize};

use crate::quantity::Cents;

/// The version of the JSON documents. It rises when a key changes its meaning or goes away.
pub const SCHEMA_VERSION: u32 = 1;

/// What every document begins with, and its body.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Document<T> {
    /// The version of the document's keys.
    pub schema_version: u32,
    /// `spanyard`.
    pub program: String,
    /// Its version.
    pub program_version: String,
    /// What kind of document it is.
    pub report: String,
    /// What it says.
    #[serde(flatten)]
    pub body: T,
}

/// The text is no plan of this program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("is no plan as `spanyard plan --format json` prints it: {0}")]
pub struct NotAPlan(pub String);

/// The head of a document, whatever follows.
#[derive(Deserialize)]
struct Head {
    schema_version: Option<u32>,
    report: Option<String>,
}

/// Reads a plan's JSON.
///
/// # Errors
/// [`NotAPlan`] with what is wrong or missing.
pub fn read_plan(text: &str) -> Result<PlanDocument, NotAPlan> {
    let wrong = |error: serde_json::Error| NotAPlan(error.to_string());
    let head: Head = serde_json::from_str(text).map_err(wrong)?;
    if head.report.as_deref() != Some("plan") {
        return Err(NotAPlan("its `report` is not `plan`".to_owned()));
    }
    if head.schema_version != Some(SCHEMA_VERSION) {
        return Err(NotAPlan(format!(
            "its `schema_version` is not {SCHEMA_VERSION}; make the plan again with this version"
        )));
    }
    let document: Document<PlanDocument> = serde_json::from_str(text).map_err(wrong)?;
    sane(&document.body)?;
    Ok(document.body)
}

/// Every amount that is worked on further is one that a purchase may have.
fn sane(plan: &PlanDocument) -> Result<(), NotAPlan> {
    let summary = &plan.summary;
    let paid = plan.decisions.as_ref().map_or(Cents::ZERO, |made| made.already_paid_usd_cents);
    let mut amounts = vec![
        ("summary.outlay_usd_cents".to_owned(), summary.outlay_usd_cents),
        ("summary.stock_value_usd_cents".to_owned(), summary.stock_value_usd_cents),
        ("summary.net_usd_cents".to_owned(), summary.net_usd_cents),
        ("summary.budget_usd_cents".to_owned(), summary.budget_usd_cents.unwrap_or_default()),
        ("decisions.already_paid_usd_cents".to_owned(), paid),
    ];
    for crossing in &plan.crossings {
        if let Status::Served { total_usd_cents, .. } = crossing.status {
            amounts.push((format!("the total of crossing {}", crossing.crossing), total_usd_cents));
        }
    }
    if let Some((name, _)) = amounts.iter().find(|(_, amount)| !amount.is_sane()) {
        return Err(NotAPlan(format!("{name} is no amount of money that a purchase may have")));
    }
    if paid < Cents::ZERO {
        return Err(NotAPlan("decisions.already_paid_usd_cents is less than nothing".to_owned()));
    }
    Ok(())
}
