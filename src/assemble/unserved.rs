//! Why a crossing goes without, and which car came nearest.

use std::cmp::Ordering;

use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::choose::{Choice, Market, WhyUnserved, explain_unserved};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::model::plan::{NearMiss, Unserved};
use crate::quantity::Cents;
use crate::survey::{self, Survey};

/// The reasons of one crossing that the choice leaves without a bridge.
pub fn reasons(
    inputs: &Inputs,
    survey: &Survey,
    market: &Market,
    choice: &Choice,
    crossing: CrossingIx,
) -> Unserved {
    let why = explain_unserved(market, choice, crossing.0);
    let reasons = inputs
        .crossing(crossing)
        .layouts
        .iter()
        .enumerate()
        .map(|(layout, l)| layout_reason(inputs, survey, crossing, layout, &why).part(l.describe()))
        .collect();
    Unserved { reasons, nearest: nearest(inputs, survey, crossing, &why) }
}

/// The reason of one layout: the span with the fewest suitable cars speaks for it.
fn layout_reason(
    inputs: &Inputs,
    survey: &Survey,
    crossing: CrossingIx,
    layout: usize,
    why: &WhyUnserved,
) -> Check {
    let spans = 0..inputs.crossing(crossing).layouts[layout].spans.len();
    let fewest = spans
        .map(|span| survey.suitable(Site { crossing, layout, span }).count())
        .min()
        .unwrap_or_default();
    let found = Value::Count(fewest as i64);
    if fewest == 0 {
        let limit = Limit::AtLeast(Value::Count(1));
        return Check::new(Code::NoCarFits, found, limit, Outcome::Fail)
            .note("cars that pass every check on its span");
    }
    match why {
        WhyUnserved::NoCandidates { .. } | WhyUnserved::NoDeck { .. } => {
            let limit = Limit::words("cars that match in section, camber, truck centres and width");
            Check::new(Code::NoDeckFits, found, limit, Outcome::Fail)
                .note("cars pass singly, but no set of them matches")
        }
        WhyUnserved::CarsTaken => {
            let limit = Limit::words("cars left by the other crossings");
            Check::new(Code::CarsTaken, found, limit, Outcome::Fail)
                .note("cars pass singly, but no deck is left beside the other crossings' decks")
        }
        WhyUnserved::OverBudget { short_by } => {
            let limit = Limit::AtMost(Value::Money(Cents::ZERO));
            Check::new(Code::OverBudget, Value::Money(*short_by), limit, Outcome::Fail)
                .note("the budget falls short by this much with the other crossings as planned")
        }
    }
}

/// The car barred by the fewest codes on any span of the crossing; among equals the one whose
/// shortfalls, as shares of their limits, add up to least; then the first by name.
fn nearest(
    inputs: &Inputs,
    survey: &Survey,
    crossing: CrossingIx,
    why: &WhyUnserved,
) -> Option<NearMiss> {
    if !matches!(why, WhyUnserved::NoCandidates { .. }) {
        return None;
    }
    let pairs: Vec<(CarIx, Site)> = survey::sites_of(inputs, crossing)
        .flat_map(|site| inputs.car_indices().map(move |car| (car, site)))
        .filter(|(car, site)| !survey.barred(*car, *site).is_empty())
        .collect();
    let fewest = pairs.iter().map(|(car, site)| survey.barred(*car, *site).count()).min()?;
    pairs
        .into_iter()
        .filter(|(car, site)| survey.barred(*car, *site).count() == fewest)
        .map(|(car, site)| {
            let mut barred_by = survey::checks(inputs, car, site);
            barred_by.retain(|check| check.outcome.bars());
            NearMiss { car, site, barred_by }
        })
        .min_by(|a, b| shortfall(a).partial_cmp(&shortfall(b)).unwrap_or(Ordering::Equal))
}

/// Sum of the shortfalls as shares of their limits; a check without a scale counts as a whole.
fn shortfall(miss: &NearMiss) -> f64 {
    miss.barred_by.iter().map(|check| check.relative_margin().map_or(1.0, f64::abs)).sum()
}
