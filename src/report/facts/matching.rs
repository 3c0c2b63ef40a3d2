//! Every car against every crossing: where it fits, and which checks bar it where it does not.

use crate::check::{Check, Code, Outcome};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::Feet;
use crate::survey;

/// A check that bars, without its numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bar {
    /// The check.
    pub code: Code,
    /// [`Outcome::Fail`] or [`Outcome::Unknown`]; where a check of several parts has both, it fails.
    pub outcome: Outcome,
}

/// One car on spans of one length of a crossing.
#[derive(Clone, Debug, PartialEq)]
pub struct SpanFit {
    /// The first site of the crossing with this span.
    pub site: Site,
    /// The span.
    pub span: Feet,
    /// What bars the car, in the order of the checks; empty where it fits.
    pub bars: Vec<Bar>,
}

/// One car at one crossing, on each of its different spans.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// In the order of the crossing's layouts; never empty.
    pub spans: Vec<SpanFit>,
}

impl Fit {
    /// Whether the car fits at least one span.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.spans.iter().any(|span| span.bars.is_empty())
    }

    /// The span with the fewest bars, the first of them.
    #[must_use]
    pub fn best(&self) -> Option<&SpanFit> {
        self.spans.iter().min_by_key(|span| span.bars.len())
    }

    /// Whether a check bars the car on every span; the outcome is unknown only where it is unknown
    /// on every span.
    #[must_use]
    pub fn barred_by(&self, code: Code) -> Option<Outcome> {
        let mut found = Outcome::Unknown;
        for span in &self.spans {
            let bar = span.bars.iter().find(|bar| bar.code == code)?;
            if bar.outcome == Outcome::Fail {
                found = Outcome::Fail;
            }
        }
        Some(found)
    }
}

/// Every car against every crossing.
#[derive(Clone, Debug, PartialEq)]
pub struct Matching {
    /// Per car, per crossing.
    fits: Vec<Vec<Fit>>,
}

impl Matching {
    /// Asks every check of every car on every different span of every crossing.
    #[must_use]
    pub fn of(inputs: &Inputs) -> Self {
        Self::with(inputs, |car, site| survey::checks(inputs, car, site))
    }

    /// The same with another source of checks.
    #[must_use]
    pub fn with(inputs: &Inputs, checks: impl Fn(CarIx, Site) -> Vec<Check>) -> Self {
        let sites: Vec<Vec<(Site, Feet)>> =
            inputs.crossing_indices().map(|crossing| different_spans(inputs, crossing)).collect();
        let fits = inputs
            .car_indices()
            .map(|car| {
                sites
                    .iter()
                    .map(|sites| Fit {
                        spans: sites
                            .iter()
                            .map(|&(site, span)| SpanFit {
                                site,
                                span,
                                bars: bars(&checks(car, site)),
                            })
                            .collect(),
                    })
                    .collect()
            })
            .collect();
        Self { fits }
    }

    /// One car at one crossing.
    #[must_use]
    pub fn fit(&self, car: CarIx, crossing: CrossingIx) -> &Fit {
        &self.fits[car.0][crossing.0]
    }

    /// One car at every crossing, in order.
    #[must_use]
    pub fn car(&self, car: CarIx) -> &[Fit] {
        &self.fits[car.0]
    }

    /// Whether the car fits any crossing.
    #[must_use]
    pub fn fits_anywhere(&self, car: CarIx) -> bool {
        self.car(car).iter().any(Fit::passes)
    }
}

/// The different span lengths of a crossing, each with its first site: a check depends on the
/// crossing and the length of the span, not on which of several equal spans it is.
#[must_use]
pub fn different_spans(inputs: &Inputs, crossing: CrossingIx) -> Vec<(Site, Feet)> {
    let mut sites: Vec<(Site, Feet)> = Vec::new();
    for (layout, spans) in inputs.crossing(crossing).layouts.iter().enumerate() {
        for (span, &length) in spans.spans.iter().enumerate() {
            if !sites.iter().any(|(_, seen)| *seen == length) {
                sites.push((Site { crossing, layout, span }, length));
            }
        }
    }
    sites
}

/// The checks that bar, each code once.
fn bars(checks: &[Check]) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    for check in checks.iter().filter(|check| check.outcome.bars()) {
        match bars.iter_mut().find(|bar| bar.code == check.code) {
            Some(bar) if check.outcome == Outcome::Fail => bar.outcome = Outcome::Fail,
            Some(_) => {}
            None => bars.push(Bar { code: check.code, outcome: check.outcome }),
        }
    }
    bars
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Limit, Value};
    use crate::report::fixture;

    #[test]
    fn a_failed_part_outweighs_an_unknown_part() {
        let fail = Check::words(Code::PrimaryMembers, "bent", Limit::None, false);
        let unknown = Check::unknown(Code::PrimaryMembers, Limit::None, "");
        let passed = Check::words(Code::CarKind, "flat", Limit::None, true);
        for checks in [
            vec![passed.clone(), unknown.clone(), fail.clone()],
            vec![fail.clone(), unknown.clone()],
        ] {
            assert_eq!(bars(&checks), [Bar { code: Code::PrimaryMembers, outcome: Outcome::Fail }]);
        }
        assert_eq!(bars(&[passed]), []);
    }

    #[test]
    fn a_crossing_with_a_pier_passes_where_one_span_does() {
        let inputs = fixture::inputs();
        let matching = Matching::with(&inputs, |_, site| {
            let span = survey::span_of(&inputs, site);
            vec![Check::at_least(Code::Support, Value::Feet(Feet(50.0)), Value::Feet(span))]
        });
        // TC-01 is 46 ft; TC-02 is 90 ft or 45 + 45 ft; TC-03 is 120 ft.
        let fits = matching.car(CarIx(0));
        assert_eq!(fits.iter().map(Fit::passes).collect::<Vec<_>>(), [true, true, false]);
        assert_eq!(fits[1].spans.len(), 2, "45 + 45 counts once");
        assert_eq!(fits[1].best().map(|span| span.span), Some(Feet(45.0)));
        assert_eq!(fits[1].barred_by(Code::Support), None);
        assert_eq!(fits[2].barred_by(Code::Support), Some(Outcome::Fail));
    }
}
