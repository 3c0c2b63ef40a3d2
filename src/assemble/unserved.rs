//! Why a crossing goes without, and which car came nearest.

use std::collections::BTreeSet;

use itertools::Itertools;

use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::choose::WhyUnserved;
use crate::deadline::Deadline;
use crate::group::{deck_checks, is_match};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::model::plan::{NearMiss, Unserved};
use crate::screen::Screening;
use crate::survey::{Barring, Survey};

/// The reasons of one crossing that the choice leaves without a bridge. Once the time is up, the car that came
/// nearest is left out.
pub fn reasons(
    inputs: &Inputs,
    survey: &Survey,
    why: &WhyUnserved,
    crossing: CrossingIx,
    end: &Deadline<'_>,
) -> Unserved {
    let mut reasons = fixed(inputs, survey, crossing);
    let of_layouts =
        inputs.crossing(crossing).layouts.iter().enumerate().map(|(layout, l)| {
            layout_reason(inputs, survey, crossing, layout, why).part(l.describe())
        });
    reasons.extend(of_layouts);
    Unserved { reasons, nearest: nearest(inputs, survey, crossing, why, end) }
}

/// Cars that by decision must lie here, each with what bars it on the span where least does.
fn fixed(inputs: &Inputs, survey: &Survey, crossing: CrossingIx) -> Vec<Check> {
    let cars: BTreeSet<CarIx> = inputs.fixed_to(crossing).collect();
    let reason = |car: CarIx| {
        let barred = inputs.sites(crossing).map(|site| survey.barred(car, site));
        let barred = barred.min_by_key(|barred| barred.count()).unwrap_or_default();
        let note = if barred.is_empty() {
            "passes every check, and no deck that holds it is left".to_owned()
        } else {
            format!("barred by {}", barred.codes().map(Code::id).join(", "))
        };
        let found = Value::Text(inputs.car(car).name());
        let limit = Limit::words("in the deck, by decision");
        Check::new(Code::FixedCar, found, limit, Outcome::Fail).note(note)
    };
    cars.into_iter().map(reason).collect()
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
    let rows = inputs.cars.len();
    let found = Value::Text(format!("{fewest} of {rows} rows on offer pass every check"));
    if fewest == 0 {
        let limit = Limit::words("at least 1 row");
        return Check::new(Code::NoCarFits, found, limit, Outcome::Fail);
    }
    match why {
        WhyUnserved::NoCandidates { .. } | WhyUnserved::NoDeck { .. } => {
            let keep = &inputs.crossing(crossing).keep;
            let keep = keep.iter().map(|keep| format!(", and {keep} as asked")).join("");
            let matching = "cars that match in section and measures and reach the width";
            let limit = Limit::words(format!("{matching}{keep}"));
            Check::new(Code::NoDeckFits, found, limit, Outcome::Fail)
                .note(nearest_pair(inputs, survey, crossing, layout))
        }
        WhyUnserved::CarsTaken => {
            let limit = Limit::words("cars left by the other crossings");
            Check::new(Code::CarsTaken, found, limit, Outcome::Fail)
                .note("no deck is left beside the other crossings' decks")
        }
        WhyUnserved::OrderTooSmall => {
            let limit = Limit::words("cars enough for the yard's minimum order");
            Check::new(Code::OrderTooSmall, found, limit, Outcome::Fail)
        }
        WhyUnserved::NotLookedInto => {
            let limit = Limit::words("a deck beside the other crossings' decks");
            Check::new(Code::NotLookedInto, found, limit, Outcome::Unknown)
                .note("the time was up before it was looked into")
        }
        WhyUnserved::OverFund { short_by } if inputs.crossing(crossing).fund.is_none() => {
            let other = inputs.crossing(crossing).other_bridge.as_ref();
            let limit = other.map_or_else(String::new, |other| {
                format!("nothing beyond {} at {}", other.words(), other.cost)
            });
            Check::new(
                Code::OtherBridge,
                Value::Money(*short_by),
                Limit::words(limit),
                Outcome::Fail,
            )
            .note("by so much the cheapest flat cars are dearer, the other crossings as planned")
        }
        WhyUnserved::OverFund { short_by } => {
            let fund = inputs.crossing(crossing).fund.clone().unwrap_or_default();
            let grant = inputs.rules.grant.iter().find(|grant| grant.fund == fund);
            let rest = grant.map(|grant| format!(" and its match, {}", grant.match_fund));
            let limit = format!("nothing beyond fund {fund}{}", rest.unwrap_or_default());
            let limit = Limit::words(limit);
            Check::new(Code::OverFund, Value::Money(*short_by), limit, Outcome::Fail)
                .note("by so much the fund is short, the other crossings as planned")
        }
        WhyUnserved::OverBudget { short_by } => {
            let limit = Limit::words("nothing beyond the budget");
            Check::new(Code::OverBudget, Value::Money(*short_by), limit, Outcome::Fail)
                .note("by so much the budget is short, the other crossings as planned")
        }
    }
}

/// Pairs looked at in search of the nearest one: enough for any list that a person reads.
const PAIRS_MOST: usize = 20_000;

/// Which two cars that pass singly come nearest to matching, and by what they miss it.
fn nearest_pair(inputs: &Inputs, survey: &Survey, crossing: CrossingIx, layout: usize) -> String {
    let spans = 0..inputs.crossing(crossing).layouts[layout].spans.len();
    let pairs = spans.flat_map(|span| {
        let site = Site { crossing, layout, span };
        let cars: Vec<CarIx> = survey.suitable(site).collect();
        cars.into_iter().array_combinations().map(move |[a, b]| (site, a, b))
    });
    let misses = pairs.take(PAIRS_MOST).map(|(site, a, b)| {
        let mut checks = deck_checks(inputs, site, &[a, b], None);
        checks.retain(|check| is_match(check.code) && check.outcome.bars());
        (checks, a, b)
    });
    let nearest = misses.min_by(|(x, ..), (y, ..)| {
        let by_number = x.len().cmp(&y.len());
        by_number.then(shortfall(x).total_cmp(&shortfall(y)))
    });
    match nearest {
        None => "one car passes singly, and has no partner".to_owned(),
        Some((checks, a, b)) => {
            let names = format!("{} and {}", inputs.car(a).name(), inputs.car(b).name());
            if checks.is_empty() {
                return format!("{names} match, and the total width or the joint is not reached");
            }
            let misses = checks.iter().map(Check::sentence).join("; ");
            format!("nearest are {names}: {misses}")
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
    end: &Deadline<'_>,
) -> Option<NearMiss> {
    if !matches!(why, WhyUnserved::NoCandidates { .. }) || end.has_passed() {
        return None;
    }
    let pairs: Vec<(CarIx, Site)> = inputs
        .sites(crossing)
        .flat_map(|site| inputs.car_indices().map(move |car| (car, site)))
        .filter(|(car, site)| !survey.barred(*car, *site).is_empty())
        .collect();
    let weight = |car: CarIx, site: Site| {
        let barred = survey.barred(car, site);
        // A car that cannot be rated was not asked for bending in either form: it stands for them.
        barred.count() + if barred.contains(Code::Rateable) { 2 } else { 0 }
    };
    let fewest = pairs.iter().map(|(car, site)| weight(*car, *site)).min()?;
    let screening = Screening::new(inputs);
    let mut at_site: Option<(Site, Barring)> = None;
    pairs
        .into_iter()
        .filter(|(car, site)| weight(*car, *site) == fewest)
        .map(|(car, site)| {
            let barring = match at_site.take() {
                Some((known, barring)) if known == site => barring,
                _ => Barring::new(inputs, &screening, site),
            };
            let barred_by = barring.with_remarks(car, survey.barred(car, site), false);
            at_site = Some((site, barring));
            (shortfall(&barred_by), car, site)
        })
        .take_while(|_| !end.has_passed())
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|_| !end.has_passed())
        .map(|(_, car, site)| {
            let barring = Barring::new(inputs, &screening, site);
            NearMiss { car, site, barred_by: barring.checks(car, survey.barred(car, site)) }
        })
}

/// Sum of the shortfalls as shares of their limits; a check without a scale counts as a whole.
fn shortfall(checks: &[Check]) -> f64 {
    checks.iter().map(|check| check.relative_margin().map_or(1.0, f64::abs)).sum()
}
