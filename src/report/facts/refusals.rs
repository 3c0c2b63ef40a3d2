//! Cars refused, summed by reason.

use crate::check::registry::REGISTRY;
use crate::check::{Code, Outcome};
use crate::model::inputs::{CarIx, Inputs};

use super::matching::Matching;

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
    let size = |car: CarIx| inputs.car(car).quantity as usize;
    let reasons = REGISTRY
        .iter()
        .map(|kind| {
            let mut refusal =
                Refusal { code: kind.code, everywhere: 0, somewhere: 0, for_want_of_data: 0 };
            for car in inputs.car_indices() {
                let fits = matching.car(car);
                let barred: Vec<Outcome> =
                    fits.iter().filter_map(|fit| fit.barred_by(kind.code)).collect();
                if barred.is_empty() {
                    continue;
                }
                refusal.somewhere += size(car);
                if barred.len() == fits.len() {
                    refusal.everywhere += size(car);
                }
                if barred.iter().all(|&outcome| outcome == Outcome::Unknown) {
                    refusal.for_want_of_data += size(car);
                }
            }
            refusal
        })
        .filter(|refusal| refusal.somewhere > 0)
        .collect();
    Refusals {
        cars: inputs.car_indices().map(size).sum(),
        fit_none: inputs.car_indices().filter(|&car| !matching.fits_anywhere(car)).map(size).sum(),
        reasons,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Check, Limit, Value};
    use crate::report::fixture;
    use crate::survey;

    #[test]
    fn counts_cars_not_rows_and_tells_data_from_limits() {
        let inputs = fixture::inputs();
        let batch = fixture::car(&inputs, "DR-20");
        assert_eq!(inputs.car(batch).quantity, 2);
        let other = fixture::car(&inputs, "DR-30");
        let matching = Matching::with(&inputs, |car, site| {
            let span = Value::Feet(survey::span_of(&inputs, site));
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
        let found = refusals(&inputs, &matching);
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
