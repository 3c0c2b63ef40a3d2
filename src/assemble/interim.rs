//! Stands in for two answers of the choosing stage until it gives them itself.

use crate::choose::{Choice, ChosenLayout, Market};
use crate::quantity::Cents;

/// Why a crossing goes without.
#[allow(dead_code)]
pub enum WhyUnserved {
    NoCandidates { span: usize },
    NoDeck { layout: usize },
    CarsTaken,
    OverBudget { short_by: Cents },
}

/// The reason by the candidates alone.
pub fn explain_unserved(market: &Market, _: &Choice, crossing: usize) -> WhyUnserved {
    let layouts = &market.crossings[crossing].layouts;
    let open = layouts.iter().any(|l| l.spans.iter().all(|span| !span.candidates.is_empty()));
    if open { WhyUnserved::NoDeck { layout: 0 } } else { WhyUnserved::NoCandidates { span: 0 } }
}

/// No alternative is known yet.
pub fn cheapest_other(_: &Market, _: &Choice, _: usize) -> Option<(ChosenLayout, Cents)> {
    None
}
