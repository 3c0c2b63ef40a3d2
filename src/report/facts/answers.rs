//! Cars on the spans of crossings with all their checks.

use crate::check::{Check, Outcome};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::Feet;
use crate::survey;

use super::matching::different_spans;

/// One car on one span.
#[derive(Clone, Debug, PartialEq)]
pub struct Answered {
    /// The car.
    pub car: CarIx,
    /// The span; the first of several equal ones of the crossing.
    pub site: Site,
    /// Its length.
    pub span: Feet,
    /// Every check.
    pub checks: Vec<Check>,
}

impl Answered {
    /// The checks with this outcome, in order.
    pub fn with(&self, outcome: Outcome) -> impl Iterator<Item = &Check> {
        self.checks.iter().filter(move |check| check.outcome == outcome)
    }

    /// The checks that bar, in order.
    pub fn bars(&self) -> impl Iterator<Item = &Check> {
        self.checks.iter().filter(|check| check.outcome.bars())
    }

    /// The codes that bar, each once.
    #[must_use]
    pub fn codes_that_bar(&self) -> Vec<&'static str> {
        let mut codes: Vec<&'static str> = Vec::new();
        for check in self.bars() {
            if !codes.contains(&check.code.id()) {
                codes.push(check.code.id());
            }
        }
        codes
    }
}

/// Asks every check of these cars on every different span of these crossings.
#[must_use]
pub fn answers(inputs: &Inputs, cars: &[CarIx], crossings: &[CrossingIx]) -> Vec<Answered> {
    let mut answers = Vec::new();
    for &car in cars {
        for &crossing in crossings {
            for (site, span) in different_spans(inputs, crossing) {
                answers.push(Answered {
                    car,
                    site,
                    span,
                    checks: survey::checks(inputs, car, site),
                });
            }
        }
    }
    answers
}
