//! One car that two dealers list: one offer until somebody says that they are two.

use std::collections::BTreeMap;

use unicode_security::confusable_detection::skeleton;

use crate::model::car::Car;
use crate::model::inputs::{CarIx, Inputs};
use crate::words::is_hidden;

/// How far two lists may state one length apart, feet: half an inch of rounding, and a little.
const LENGTHS_APART: f64 = 0.1;

/// For each car that another dealer seems to list too, the offer that counts.
///
/// IDs are alike when nothing but case, blanks, punctuation and characters that look alike tells them
/// apart (skeletons of Unicode Technical Standard 39, section 4); and the lengths are known and
/// alike, section and year alike as far as both are known. Of several offers the one counts that is
/// gone, for then the car is; else one that is the agency's own; else the cheapest.
#[must_use]
pub fn twins(inputs: &Inputs) -> BTreeMap<CarIx, CarIx> {
    let mut by_id: BTreeMap<String, Vec<CarIx>> = BTreeMap::new();
    for ix in inputs.car_indices() {
        let car = inputs.car(ix);
        if car.length.is_some() && !inputs.decided.different.contains_key(&ix) {
            by_id.entry(bare(&car.id)).or_default().push(ix);
        }
    }
    let mut twins = BTreeMap::new();
    for alike in by_id.into_values().filter(|alike| alike.len() > 1) {
        let mut left = alike;
        left.sort_by_key(|ix| rank(inputs, *ix));
        while let Some(first) = (!left.is_empty()).then(|| left.remove(0)) {
            left.retain(|other| {
                let same = is_same(inputs.car(first), inputs.car(*other));
                if same {
                    twins.insert(*other, first);
                }
                !same
            });
        }
    }
    twins
}

/// Which of several offers of one car counts: the least.
fn rank(inputs: &Inputs, ix: CarIx) -> (bool, bool, bool, i64, CarIx) {
    let car = inputs.car(ix);
    let gone = inputs.decided.standing.get(&ix).is_some_and(|standing| standing.fate.is_gone());
    let price = car.price.map_or(i64::MAX, |price| price.0);
    (!gone, !car.owned, car.price.is_none() && car.lot.is_none(), price, ix)
}

fn is_same(a: &Car, b: &Car) -> bool {
    let alike = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= LENGTHS_APART,
        _ => false,
    };
    let section = match (&a.section, &b.section) {
        (Some(a), Some(b)) => bare(a) == bare(b),
        _ => true,
    };
    let year = a.year_built.is_none() || b.year_built.is_none() || a.year_built == b.year_built;
    a.dealer != b.dealer
        && section
        && year
        && alike(a.length.map(|length| length.0), b.length.map(|length| length.0))
}

/// What is left of an ID without what is written now one way and now another.
fn bare(id: &str) -> String {
    let visible: String = id.chars().filter(|c| !is_hidden(*c)).collect();
    let alike: String = skeleton(&visible.to_uppercase()).collect();
    alike.chars().filter(|c| c.is_alphanumeric()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_alike_but_for_how_they_are_written() {
        for (a, b, same) in [
            ("UD-08", "ud 08", true),
            ("UD-08", "UD08", true),
            ("UD-O8", "UD-08", true),
            ("Q-I1", "Q-11", true),
            ("UD-08", "UD-8", false),
            ("UD-08", "UD-09", false),
            ("UD-08", "US-08", false),
        ] {
            assert_eq!(bare(a) == bare(b), same, "{a} {b}");
        }
    }
}
