//! Every car against every crossing: where it fits, and which checks bar it where it does not.

use crate::check::Barred;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::Feet;
use crate::survey::Survey;

/// One car on spans of one length of a crossing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanFit {
    /// The span.
    pub span: Feet,
    /// What bars the car; empty where it fits.
    pub barred: Barred,
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
        self.spans.iter().any(|span| span.barred.is_empty())
    }

    /// What bars the car on the span with the fewest bars, the first of them.
    #[must_use]
    pub fn nearest(&self) -> Barred {
        let barred = self.spans.iter().map(|span| span.barred);
        barred.min_by_key(|barred| barred.count()).unwrap_or_default()
    }

    /// What bars the car on every span.
    #[must_use]
    pub fn barred(&self) -> Barred {
        self.spans.iter().map(|span| span.barred).reduce(Barred::and).unwrap_or_default()
    }
}

/// The survey, seen crossing by crossing.
#[derive(Clone, Debug)]
pub struct Matching<'a> {
    survey: &'a Survey,
    /// Per crossing its different spans.
    spans: Vec<Vec<(Site, Feet)>>,
}

impl<'a> Matching<'a> {
    /// A view of the survey of these inputs.
    #[must_use]
    pub fn new(inputs: &Inputs, survey: &'a Survey) -> Self {
        let crossings = inputs.crossing_indices();
        let spans = crossings.map(|crossing| different_spans(inputs, crossing)).collect();
        Self { survey, spans }
    }

    /// One car at one crossing.
    #[must_use]
    pub fn fit(&self, car: CarIx, crossing: CrossingIx) -> Fit {
        let spans = self.spans[crossing.0].iter();
        Fit {
            spans: spans
                .map(|&(site, span)| SpanFit { span, barred: self.survey.barred(car, site) })
                .collect(),
        }
    }

    /// The different spans of a crossing with the cars that pass on each, spans without any left
    /// out.
    #[must_use]
    pub fn passing(&self, inputs: &Inputs, crossing: CrossingIx) -> Vec<(Feet, Vec<CarIx>)> {
        let spans = self.spans[crossing.0].iter();
        let cars = |site: Site| {
            inputs.car_indices().filter(move |&car| self.survey.barred(car, site).is_empty())
        };
        spans
            .map(|&(site, span)| (span, cars(site).collect::<Vec<_>>()))
            .filter(|(_, cars)| !cars.is_empty())
            .collect()
    }

    /// One car at every crossing, in order.
    pub fn car(&self, car: CarIx) -> impl Iterator<Item = Fit> + '_ {
        (0..self.spans.len()).map(move |crossing| self.fit(car, CrossingIx(crossing)))
    }
}

/// The different span lengths of a crossing, each with its first site: a check depends on the
/// crossing and the length of the span, not on which of several equal spans it is.
#[must_use]
pub fn different_spans(inputs: &Inputs, crossing: CrossingIx) -> Vec<(Site, Feet)> {
    let mut sites: Vec<(Site, Feet)> = Vec::new();
    for site in inputs.sites(crossing) {
        let span = inputs.span(site);
        if !sites.iter().any(|(_, seen)| *seen == span) {
            sites.push((site, span));
        }
    }
    sites
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Check, Code, Limit, Value};
    use crate::report::fixture;

    #[test]
    fn a_failed_part_outweighs_an_unknown_part() {
        let fail = Check::words(Code::PrimaryMembers, "bent", Limit::None, false);
        let unknown = Check::unknown(Code::PrimaryMembers, Limit::None, "");
        let passed = Check::words(Code::CarKind, "flat", Limit::None, true);
        for (checks, for_want_of_data) in [
            (vec![passed.clone(), unknown.clone(), fail.clone()], false),
            (vec![fail, unknown.clone()], false),
            (vec![unknown], true),
        ] {
            let barred = Barred::by(&checks);
            assert_eq!(barred.codes().collect::<Vec<_>>(), [Code::PrimaryMembers]);
            assert_eq!(barred.unknown(Code::PrimaryMembers), for_want_of_data);
        }
        assert!(Barred::by(&[passed]).is_empty());
    }

    #[test]
    fn a_crossing_with_a_pier_passes_where_one_span_does() {
        let inputs = fixture::inputs();
        let survey = Survey::with(&inputs, |_, site| {
            let span = Value::Feet(inputs.span(site));
            vec![Check::at_least(Code::Support, Value::Feet(Feet(50.0)), span)]
        });
        // TC-01 is 46 ft; TC-02 is 90 ft or 45 + 45 ft; TC-03 is 120 ft.
        let fits: Vec<Fit> = Matching::new(&inputs, &survey).car(CarIx(0)).collect();
        assert_eq!(fits.iter().map(Fit::passes).collect::<Vec<_>>(), [true, true, false]);
        assert_eq!(fits[1].spans.len(), 2, "45 + 45 counts once");
        assert!(fits[1].nearest().is_empty());
        assert!(fits[1].barred().is_empty());
        assert!(fits[2].barred().contains(Code::Support));
        assert!(!fits[2].barred().unknown(Code::Support));
    }
}
