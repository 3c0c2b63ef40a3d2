//! The limits that somebody may relax: as they are, in which steps, and who decides.

use std::ops::Range;

use jiff::Span;

use crate::check::{Code, TOLERANCE, Value};
use crate::group::{MatchRule, RULES, Relaxed, match_rule};
use crate::model::crossing::{Crossing, Layout};
use crate::model::ends::pier_bearings;
use crate::model::inputs::{CrossingIx, Inputs};
use crate::quantity::{Cents, Feet, Kips, Tons};

/// Who may decide that a limit is relaxed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Decider {
    /// The agency: how the road is used and what is spent.
    Agency,
    /// The engineer: how the bridge is built.
    Engineer,
}

impl Decider {
    /// The word for reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Agency => "agency",
            Self::Engineer => "engineer",
        }
    }
}

/// A limit that may be relaxed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// How far a measure of a deck's cars may lie apart, by the check that asks it.
    Spread(Code),
    /// Total width beyond the width required.
    ExcessWidth,
    /// Clear width between the rails.
    ClearWidth,
    /// Cars side by side.
    Abreast,
    /// Number of piers.
    Piers,
    /// The least posting accepted.
    Posting,
    /// The date needed.
    Date,
    /// The longest load that the route takes.
    HaulLength,
    /// The heaviest car that the route takes.
    HaulWeight,
    /// The widest car that the route takes.
    HaulWidth,
    /// The heaviest pick of the crane.
    Crane,
}

impl Limit {
    /// Every limit, in the order of reports.
    pub fn all() -> impl Iterator<Item = Self> {
        let spreads = RULES.iter().filter(|rule| rule.relax.is_some());
        spreads.map(|rule| Self::Spread(rule.code)).chain(Self::OTHERS)
    }

    const OTHERS: [Self; 10] = [
        Self::ExcessWidth,
        Self::ClearWidth,
        Self::Abreast,
        Self::Piers,
        Self::Posting,
        Self::Date,
        Self::HaulLength,
        Self::HaulWeight,
        Self::HaulWidth,
        Self::Crane,
    ];

    /// What it is, in words.
    #[must_use]
    pub fn words(self) -> String {
        let words = match self {
            Self::Spread(code) => {
                let words = match_rule(code).map_or(code.kind().name, |rule| rule.words);
                return format!("{words} tolerance in the deck");
            }
            Self::ExcessWidth => "width beyond that required",
            Self::ClearWidth => "clear width",
            Self::Abreast => "cars abreast",
            Self::Piers => "piers",
            Self::Posting => "least posting accepted",
            Self::Date => "date needed",
            Self::HaulLength => "length that the route takes",
            Self::HaulWeight => "weight that the route takes",
            Self::HaulWidth => "width that the route takes",
            Self::Crane => "pick of the crane",
        };
        words.to_owned()
    }

    /// Who may decide it.
    #[must_use]
    pub fn decider(self) -> Decider {
        match self {
            Self::Spread(_) | Self::ExcessWidth | Self::Piers => Decider::Engineer,
            _ => Decider::Agency,
        }
    }

    /// The check that asks it.
    #[must_use]
    pub fn code(self) -> Code {
        match self {
            Self::Spread(code) => code,
            Self::ExcessWidth => Code::WidthMost,
            Self::ClearWidth => Code::WidthLeast,
            Self::Abreast => Code::Abreast,
            Self::Piers => Code::Support,
            Self::Posting => Code::Posting,
            Self::Date => Code::NeedDate,
            Self::HaulLength => Code::HaulLength,
            Self::HaulWeight => Code::HaulWeight,
            Self::HaulWidth => Code::HaulWidth,
            Self::Crane => Code::CranePick,
        }
    }

    /// The match rule whose tolerance it is, and its steps.
    fn relaxed(self) -> Option<(&'static MatchRule, &'static Relaxed)> {
        let Self::Spread(code) = self else { return None };
        let rule = match_rule(code)?;
        Some((rule, rule.relax.as_ref()?))
    }

    /// The step that people mean when they speak of a little more: its index.
    pub(super) fn usual_step(self) -> usize {
        self.relaxed().map_or(0, |(_, relaxed)| relaxed.usual)
    }

    /// The limit as it is.
    pub(super) fn present(self, inputs: &Inputs, crossing: CrossingIx) -> Value {
        let (group, at) = (&inputs.rules.group, inputs.crossing(crossing));
        let unless_unknown = |value: Option<Value>| value.unwrap_or(Value::Unknown);
        match self {
            Self::Spread(_) => {
                self.relaxed().map_or(Value::Unknown, |(rule, _)| rule.tolerance(group))
            }
            Self::ExcessWidth => Value::Feet(group.width_allowance_ft),
            Self::ClearWidth => Value::Feet(at.clear_width),
            Self::Abreast => Value::Count(i64::from(at.most_abreast)),
            Self::Piers => Value::Count(most_piers(at)),
            Self::Posting => match at.least_posting {
                Some(tons) => Value::Tons(tons),
                None => Value::Text("none accepted".to_owned()),
            },
            Self::Date => unless_unknown(at.needed_by.map(Value::Date)),
            Self::HaulLength => unless_unknown(at.haul_length_limit.map(Value::Feet)),
            Self::HaulWeight => unless_unknown(at.haul_weight_limit.map(Value::Kips)),
            Self::HaulWidth => unless_unknown(at.haul_width_limit.map(Value::Feet)),
            Self::Crane => unless_unknown(at.crane_limit.map(Value::Kips)),
        }
    }

    /// The steps to try, the smallest first; each admits all that the one before it does. None where
    /// there is nothing to relax. Common practice, no source, for their sizes and ends.
    pub(super) fn steps(self, inputs: &Inputs, crossing: CrossingIx) -> Vec<Value> {
        let (group, at) = (&inputs.rules.group, inputs.crossing(crossing));
        let feet = |from: Feet, step: f64, most: u32| -> Vec<Value> {
            (1..=most).map(|n| Value::Feet(Feet(from.0 + step * f64::from(n)))).collect()
        };
        match self {
            Self::Spread(_) => {
                let Some((rule, relaxed)) = self.relaxed() else { return Vec::new() };
                let present = rule.tolerance(group);
                let Some(number) = present.number() else { return Vec::new() };
                let step = |n: u32| present.with_number(number + relaxed.step * f64::from(n));
                (1..=relaxed.most).map(step).collect()
            }
            Self::ExcessWidth => feet(group.width_allowance_ft, 0.25, 12),
            Self::ClearWidth => {
                let narrower = |n: u32| Feet(at.clear_width.0 - 0.25 * f64::from(n));
                (1..=12).map(narrower).filter(|w| w.0 >= NARROWEST.0).map(Value::Feet).collect()
            }
            Self::Abreast => {
                let most = i64::from(at.most_abreast);
                (most + 1..=ABREAST_MOST).take(2).map(Value::Count).collect()
            }
            Self::Piers => vec![Value::Count(most_piers(at) + 1)],
            Self::Posting => {
                let from = at.least_posting.map_or(HEAVIEST_SIGN, |tons| tons.0.ceil() as i64 - 1);
                let least = inputs.rules.posting.close_below_tons.0.ceil() as i64;
                (least..=from).rev().map(|tons| Value::Tons(Tons(tons as f64))).collect()
            }
            Self::Date => {
                let Some(day) = at.needed_by else { return Vec::new() };
                let later = |weeks: i64| day.checked_add(Span::new().try_weeks(weeks).ok()?).ok();
                (1..=52).filter_map(later).map(Value::Date).collect()
            }
            Self::HaulLength => feet(at.haul_length_limit.unwrap_or(SHORTEST), 1.0, 60),
            Self::HaulWeight => heavier(at.haul_weight_limit),
            Self::HaulWidth => {
                let from = at.haul_width_limit.unwrap_or(inputs.rules.haul.permit_over_width_ft);
                feet(from, 0.25, 32)
            }
            Self::Crane => heavier(at.crane_limit),
        }
    }

    /// The first of these steps of which something holds. Each step admits all decks that the one
    /// before it does, so halving finds it; only a narrower roadway makes other decks too wide.
    pub(super) fn first(
        self,
        mut steps: Range<usize>,
        mut holds: impl FnMut(usize) -> bool,
    ) -> Option<usize> {
        match self {
            Self::ClearWidth => steps.find(|step| holds(*step)),
            _ => first_that(steps, holds),
        }
    }

    /// Relaxes the limit at the one crossing of these inputs.
    pub(super) fn relax(self, inputs: &mut Inputs, to: &Value) {
        let Some(at) = inputs.crossings.first_mut() else { return };
        let group = &mut inputs.rules.group;
        match (self, to) {
            (Self::Spread(_), to) => {
                if let (Some((rule, _)), Some(to)) = (self.relaxed(), to.number()) {
                    rule.relax(group, to);
                }
            }
            (Self::ExcessWidth, Value::Feet(to)) => group.width_allowance_ft = *to,
            (Self::ClearWidth, Value::Feet(to)) => at.clear_width = *to,
            (Self::Abreast, Value::Count(to)) => {
                at.most_abreast = u8::try_from(*to).unwrap_or(at.most_abreast);
            }
            (Self::Piers, Value::Count(_)) => {
                let bearings = pier_bearings(&inputs.rules.screen, at);
                let more = with_one_more(at, bearings);
                at.layouts.extend(more);
            }
            (Self::Posting, Value::Tons(to)) => at.least_posting = Some(*to),
            (Self::Date, Value::Date(to)) => at.needed_by = Some(*to),
            (Self::HaulLength, Value::Feet(to)) => at.haul_length_limit = Some(*to),
            (Self::HaulWeight, Value::Kips(to)) => at.haul_weight_limit = Some(*to),
            (Self::HaulWidth, Value::Feet(to)) => at.haul_width_limit = Some(*to),
            (Self::Crane, Value::Kips(to)) => at.crane_limit = Some(*to),
            _ => {}
        }
    }

    /// What is not known of the relaxation's cost.
    pub(super) fn caveat(self, inputs: &Inputs, crossing: CrossingIx) -> Option<&'static str> {
        let unpriced = pier_price(inputs.crossing(crossing)).is_none();
        (self == Self::Piers && unpriced).then_some("the pier is not priced: add its cost")
    }
}

/// No road of an agency is narrower between rails.
const NARROWEST: Feet = Feet(8.0);
/// Most cars side by side that the crossings file takes.
const ABREAST_MOST: i64 = 6;
/// The heaviest sign that posts anything, short tons: the gross weight of a legal five-axle truck.
const HEAVIEST_SIGN: i64 = 40;
/// Where the route was not surveyed, the shortest load asked about.
const SHORTEST: Feet = Feet(40.0);
/// Where the route or crane is not known, the least weight asked about.
const LIGHTEST: Kips = Kips(20.0);

fn heavier(limit: Option<Kips>) -> Vec<Value> {
    let from = limit.unwrap_or(LIGHTEST);
    (1..=60).map(|n| Value::Kips(Kips(from.0 + f64::from(n)))).collect()
}

fn most_piers(at: &Crossing) -> i64 {
    at.layouts.iter().map(Layout::piers).max().unwrap_or_default() as i64
}

/// The price of one pier, where the crossing states any.
fn pier_price(at: &Crossing) -> Option<Cents> {
    let layout = at.layouts.iter().find(|layout| layout.piers() > 0)?;
    Some(Cents(layout.piers_cost.0 / i64::try_from(layout.piers()).ok()?))
}

/// A layout of equal spans with one pier more than any has, from the same bearings at the abutments: each
/// pier takes its part between the bearings of its two spans.
fn with_one_more(at: &Crossing, bearings: Feet) -> Option<Layout> {
    let total = at.layouts.first()?.total(bearings);
    let piers = most_piers(at) + 1;
    let left = total - bearings * piers as f64;
    // Spans are stated to the hundredth of a foot, and may be no shorter than the opening asks.
    let span = Feet((left.0 / (piers + 1) as f64 * 100.0 - TOLERANCE).ceil() / 100.0);
    if span.0 <= 0.0 {
        return None;
    }
    let each = pier_price(at).unwrap_or_default();
    Some(Layout { spans: vec![span; piers as usize + 1], piers_cost: each * piers })
}

/// The first of rising numbers of which something holds that, once it holds, holds for all after it.
fn first_that(range: Range<usize>, mut holds: impl FnMut(usize) -> bool) -> Option<usize> {
    let last = range.end.checked_sub(1).filter(|last| *last >= range.start)?;
    if !holds(last) {
        return None;
    }
    let (mut low, mut high) = (range.start, last);
    while low < high {
        let middle = low + (high - low) / 2;
        if holds(middle) { high = middle } else { low = middle + 1 }
    }
    Some(high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_that_holds_is_found() {
        for from in 0..6 {
            for first in 0..8 {
                let found = first_that(from..7, |n| n >= first);
                let expected = (from..7).find(|n| *n >= first);
                assert_eq!(found, expected, "{from} {first}");
            }
        }
        assert_eq!(first_that(3..3, |_| true), None);
    }
}
