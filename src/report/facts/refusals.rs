//! Cars refused, summed by reason.

use crate::check::Barred;
use crate::check::Code;
use crate::check::registry::REGISTRY;
use crate::model::inputs::Inputs;

use super::matching::{Fit, Matching};

/// How often one check bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The check.
    pub code: Code,
    /// Cars that it bars at every crossing.
    pub everywhere: usize,
    /// Cars that it bars at one crossing at least.
    pub somewhere: usize,
    /// Of these, the cars barred for want of data and nowhere by a known value.
    pub for_want_of_data: usize,
}

/// All refusals and what is left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusals {
    /// Cars on offer.
    pub cars: usize,
    /// Cars that fit no crossing.
    pub fit_none: usize,
    /// One entry per check that bars any car anywhere, in the order of the registry. A car that
    /// several checks bar counts under each.
    pub reasons: Vec<Refusal>,
}

/// Sums the refusals; a row of several identical cars counts as so many cars.
#[must_use]
pub fn refusals(inputs: &Inputs, matching: &Matching) -> Refusals {
    let cars: Vec<(usize, Vec<Fit>)> = inputs
        .car_indices()
        .map(|car| (inputs.car(car).quantity as usize, matching.car(car).collect()))
        .collect();
    // Per car: its number, what bars it at every crossing, and what bars it at any.
    let barred: Vec<(usize, Barred, Barred)> = cars
        .iter()
        .map(|(number, fits)| {
            let at_each = || fits.iter().map(Fit::barred);
            (
                *number,
                at_each().reduce(Barred::and).unwrap_or_default(),
                at_each().reduce(Barred::or).unwrap_or_default(),
            )
        })
        .collect();
    let sum = |counts: &dyn Fn(Barred, Barred) -> bool| {
        barred.iter().filter(|(_, all, any)| counts(*all, *any)).map(|(number, ..)| number).sum()
    };
    let reasons = REGISTRY.iter().map(|kind| Refusal {
        code: kind.code,
        everywhere: sum(&|all, _| all.contains(kind.code)),
        somewhere: sum(&|_, any| any.contains(kind.code)),
        for_want_of_data: sum(&|_, any| any.unknown(kind.code)),
    });
    Refusals {
        cars: cars.iter().map(|(number, _)| number).sum(),
        fit_none: cars
            .iter()
            .filter(|(_, fits)| !fits.iter().any(Fit::passes))
            .map(|(number, _)| number)
            .sum(),
        reasons: reasons.filter(|refusal| refusal.somewhere > 0).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Check, Limit, Value};
    use crate::report::fixture;
    use crate::survey::Survey;

    #[test]
    fn counts_cars_not_rows_and_tells_data_from_limits() {
        let inputs = fixture::inputs();
        let batch = fixture::car(&inputs, "DR-20");
        assert_eq!(inputs.car(batch).quantity, 2);
        let other = fixture::car(&inputs, "DR-30");
        let survey = Survey::with(&inputs, |car, site| {
            let span = Value::Feet(inputs.span(site));
            let length = Value::Feet(crate::quantity::Feet(50.0));
            let mut checks = Vec::new();
            if car == batch {
                checks.push(Check::at_least(Code::Support, length, span));
            }
            if car == other {
                checks.push(Check::unknown(Code::WreckHistory, Limit::None, ""));
            }
            checks
        });
        let found = refusals(&inputs, &Matching::new(&inputs, &survey));
        assert_eq!(
            found.reasons,
            [
                Refusal {
                    code: Code::WreckHistory,
                    everywhere: 1,
                    somewhere: 1,
                    for_want_of_data: 1
                },
                // 50 ft reaches over TC-01 and the halves of TC-02, not over TC-03.
                Refusal { code: Code::Support, everywhere: 0, somewhere: 2, for_want_of_data: 0 },
            ]
        );
        assert_eq!(found.fit_none, 1);
    }
}
