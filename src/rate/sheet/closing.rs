//! What the sheet does not say.

use super::Case;
use crate::check::Outcome;
use crate::quantity::Feet;
use crate::rate::checks::checks_of;
use crate::rate::strength::Strength;

/// What was not checked, from the checks themselves.
pub(super) fn not_checked(case: &Case) -> Vec<String> {
    checks_of(case.rating, case.rules)
        .iter()
        .filter(|check| check.outcome == Outcome::NotChecked)
        .map(|check| format!("{}: {}", check.title(), check.note))
        .collect()
}

/// Assumptions and limits of use.
pub(super) fn limits(case: &Case) -> Vec<String> {
    let mut limits = vec![
        "The main girder alone carries the load, as a simple span; one car carries every truck that \
         can stand on it, unless the agency states a share."
            .to_owned(),
        "Flanges and cover plates are taken to run the whole length, and no rivet or bolt hole is \
         taken off them: where the tension flange has holes, an engineer takes off what the \
         code asks.".to_owned(),
    ];
    if let Strength::Stated { .. } = case.rating.girder.strength {
        limits.push(
            "A stated section modulus is taken to hold over the whole length; a girder that tapers \
             is weaker toward its ends."
                .to_owned(),
        );
    }
    if case.rating.overhang > Feet(0.0) {
        let rating = case.rating;
        let held = match rating.girder.unbraced_below(rating.span(), rating.overhang) {
            None => "the bolsters hold the girder over the bearings",
            Some(_) => {
                "the car bears inside its bolsters, and the bottom flange over the bearings counts \
                 as braced by nothing"
            }
        };
        limits.push(format!("The ends beyond the bearings carry deck and traffic; {held}."));
    }
    limits.push(
        "Values are carried unrounded from line to line: worked with the rounded numbers printed, a \
         result may come out a little different in its last digit."
            .to_owned(),
    );
    limits.push(
        "Not part of it: fatigue of old details, connections, bearings, foundations, scour, rail \
         crash-worthiness. A licensed engineer must check and seal the rating."
            .to_owned(),
    );
    limits
}
