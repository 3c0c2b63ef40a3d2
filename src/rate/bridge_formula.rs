//! The federal bridge formula: whether an axle train is legal on the road or needs a permit.
//!
//! `W = 500 (L N / (N - 1) + 12 N + 36)` lb on any N axles over L feet, rounded to the nearest
//! 500 lb; 20,000 lb on a single axle, 34,000 lb on a tandem, 80,000 lb in all; two tandems of
//! 34,000 lb each where they stand 36 ft or more apart (23 U.S.C. 127(a): read). The published table takes exact ties down (from memory, FHWA
//! pamphlet on the bridge formula weights). States may allow more; this program does not know them.
//!
//! ```
//! use spanyard::rate::bridge_formula::{Verdict, allowed_pounds, verdict};
//! use spanyard::rate::vehicles::Vehicle;
//! assert_eq!(allowed_pounds(51.0, 5), Some(80_000.0));
//! let ev3 = Vehicle::built_in("EV3").unwrap();
//! assert!(matches!(verdict(&ev3.trains[0]), Verdict::Permit(_)));
//! ```

use serde::Serialize;

use super::train::Train;
use crate::quantity::{Feet, Kips};

const SINGLE_KIP: f64 = 20.0;
const TANDEM_KIP: f64 = 34.0;
const GROSS_KIP: f64 = 80.0;
/// Axles whose centers are at most this far apart count as one axle.
const SINGLE_WITHIN_FT: f64 = 40.0 / 12.0;
/// Two or more consecutive axles with extreme centers at most this far apart are a tandem.
const TANDEM_WITHIN_FT: f64 = 8.0;

/// One limit that a train breaks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Excess {
    /// First and last axle of the group, from 1.
    pub axles: (usize, usize),
    /// Distance between the two.
    #[serde(rename = "over_ft")]
    pub over: Feet,
    /// Their weight together.
    #[serde(rename = "weight_kip")]
    pub weight: Kips,
    /// The most that is allowed.
    #[serde(rename = "allowed_kip")]
    pub allowed: Kips,
    /// Which limit it is.
    pub limit: &'static str,
}

/// What the federal limits say of a train.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Within all of them.
    Legal,
    /// Not within these: it needs a permit, or an exception by law.
    Permit(Vec<Excess>),
}

/// The formula's weight in pounds for `axles` axles over `feet` feet; none for fewer than two axles
/// or no length. The gross limit of 80,000 lb is not in it.
#[must_use]
pub fn allowed_pounds(feet: f64, axles: usize) -> Option<f64> {
    if axles < 2 || !feet.is_finite() || feet <= 0.0 {
        return None;
    }
    let n = axles as f64;
    let steps = feet * n / (n - 1.0) + 12.0 * n + 36.0;
    // To the nearest step of 500 lb, an exact tie down.
    Some((steps - 0.5 - 1e-9).ceil() * 500.0)
}

/// Weighs every group of neighboring axles against the limits. Distances are rounded to the
/// nearest foot before they enter the formula, as the published table has whole feet.
#[must_use]
pub fn verdict(train: &Train) -> Verdict {
    let axles = train.axles();
    let mut excesses = Vec::new();
    for first in 0..axles.len() {
        for last in first..axles.len() {
            let over = axles[last].offset - axles[first].offset;
            let weight: Kips = axles[first..=last].iter().map(|axle| axle.load).sum();
            let (limit, allowed) = limit_of(train, first, last, over);
            if weight.0 > allowed + crate::check::TOLERANCE {
                excesses.push(Excess {
                    axles: (first + 1, last + 1),
                    over,
                    weight,
                    allowed: Kips(allowed),
                    limit,
                });
            }
        }
    }
    if train.gross().0 > GROSS_KIP + crate::check::TOLERANCE {
        excesses.push(Excess {
            axles: (1, axles.len()),
            over: train.wheelbase(),
            weight: train.gross(),
            allowed: Kips(GROSS_KIP),
            limit: "gross weight",
        });
    }
    if excesses.is_empty() { Verdict::Legal } else { Verdict::Permit(excesses) }
}

/// The limit of one group, in kips.
fn limit_of(train: &Train, first: usize, last: usize, over: Feet) -> (&'static str, f64) {
    let count = last - first + 1;
    if count == 1 || over.0 <= SINGLE_WITHIN_FT {
        return ("single axle", SINGLE_KIP);
    }
    if over.0 <= TANDEM_WITHIN_FT {
        return ("tandem", TANDEM_KIP);
    }
    let formula = allowed_pounds(over.0.round(), count).unwrap_or(0.0) / 1000.0;
    if is_two_tandems(train, first, last, over) {
        ("two tandems", formula.max(2.0 * TANDEM_KIP))
    } else {
        ("bridge formula", formula)
    }
}

/// Two consecutive tandems, each of two axles, 36 ft or more between the first and the last axle.
fn is_two_tandems(train: &Train, first: usize, last: usize, over: Feet) -> bool {
    let axles = train.axles();
    let apart = |a: usize, b: usize| axles[b].offset.0 - axles[a].offset.0;
    last - first == 3
        && over.0 >= 36.0
        && apart(first, first + 1) <= TANDEM_WITHIN_FT
        && apart(last - 1, last) <= TANDEM_WITHIN_FT
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rate::train::Spacing;
    use crate::rate::vehicles::Vehicle;

    /// Table of the FHWA pamphlet on bridge formula weights (from memory), in pounds; the first
    /// three are exact ties or their neighbors.
    #[test]
    fn the_published_table() {
        for (feet, axles, pounds) in [
            (9.0, 3, 42_500.0),
            (22.0, 5, 61_500.0),
            (10.0, 3, 43_500.0),
            (10.0, 2, 40_000.0),
            (16.0, 4, 52_500.0),
            (16.0, 5, 58_000.0),
            (20.0, 3, 51_000.0),
            (24.0, 4, 58_000.0),
            (24.0, 5, 63_000.0),
            (24.0, 6, 68_500.0),
            (30.0, 5, 66_500.0),
            (36.0, 4, 66_000.0),
            (51.0, 5, 80_000.0),
            (57.0, 4, 80_000.0),
        ] {
            assert_eq!(allowed_pounds(feet, axles), Some(pounds), "{feet} ft, {axles} axles");
        }
        assert_eq!(allowed_pounds(10.0, 1), None);
        assert_eq!(allowed_pounds(0.0, 2), None);
        assert_eq!(allowed_pounds(f64::NAN, 2), None);
    }

    fn train(kips: &[f64], feet: &[f64]) -> Train {
        let loads: Vec<_> = kips.iter().map(|&k| Kips(k)).collect();
        let spacings: Vec<_> = feet.iter().map(|&f| Spacing::fixed(Feet(f))).collect();
        Train::new("truck", &loads, &spacings).unwrap()
    }

    /// The pamphlet's example truck (from memory): 12 and 4 x 17 kips; axles 1 to 3 over 20 ft and 1
    /// to 5 over 51 ft pass, axles 2 to 5 over 35 ft carry 68,000 lb where 65,500 are allowed.
    #[test]
    fn the_pamphlets_example_truck_breaks_the_limit_of_its_inner_axles() {
        let truck = train(&[12.0, 17.0, 17.0, 17.0, 17.0], &[16.0, 4.0, 27.0, 4.0]);
        let Verdict::Permit(excesses) = verdict(&truck) else { panic!("not legal") };
        let groups: Vec<_> = excesses.iter().map(|e| (e.axles, e.weight.0, e.allowed.0)).collect();
        assert_eq!(groups, [((2, 5), 68.0, 65.5)]);
        // One foot longer and the exception for two tandems holds.
        let longer = train(&[12.0, 17.0, 17.0, 17.0, 17.0], &[16.0, 4.0, 28.0, 4.0]);
        assert_eq!(verdict(&longer), Verdict::Legal);
    }

    #[test]
    fn legal_loads_are_legal_and_emergency_vehicles_are_not() {
        for (name, legal) in [
            ("Type 3", true),
            ("Type 3S2", true),
            ("Type 3-3", true),
            ("EV2", false),
            ("EV3", false),
            ("H20", false),
        ] {
            let vehicle = Vehicle::built_in(name).unwrap();
            assert_eq!(verdict(&vehicle.trains[0]) == Verdict::Legal, legal, "{name}");
        }
    }

    /// Single units keep the bridge formula as long as three of their axles stand over more than 8
    /// ft: at exactly 8 ft the law counts the three as a tandem (34,000 lb), beyond it the table has
    /// 42,000 lb, which is what they weigh. Only SU5 as a whole is over: the formula's 61,750 lb is
    /// 61,500 lb in the table (FHWA pamphlet, from memory) and 62,000 lb in the Manual's figure.
    #[test]
    fn single_units_keep_the_formula_within_a_rounding() {
        for (name, over) in [("SU4", None), ("SU5", Some(61.5)), ("SU6", None), ("SU7", None)] {
            let truck = Vehicle::built_in(name).unwrap().trains[0].clone();
            let axles: Vec<_> = truck.axles().iter().map(|axle| axle.load.0).collect();
            let spacings: Vec<_> =
                (1..axles.len()).map(|i| if i == 1 { 10.0 } else { 4.01 }).collect();
            let found = match verdict(&train(&axles, &spacings)) {
                Verdict::Legal => None,
                Verdict::Permit(excesses) => {
                    assert_eq!(excesses.len(), 1);
                    Some(excesses[0].allowed.0)
                }
            };
            assert_eq!(found, over, "{name}");
        }
    }

    #[test]
    fn single_axle_tandem_and_gross_limits() {
        let limits = |truck: &Train| match verdict(truck) {
            Verdict::Legal => Vec::new(),
            Verdict::Permit(all) => all.into_iter().map(|e| (e.axles, e.limit)).collect(),
        };
        assert_eq!(limits(&train(&[20.5, 10.0], &[20.0])), [((1, 1), "single axle")]);
        assert_eq!(limits(&train(&[10.0, 11.0], &[3.0])), [((1, 2), "single axle")]);
        assert_eq!(limits(&train(&[18.0, 17.0], &[4.0])), [((1, 2), "tandem")]);
        let long = train(&[12.0, 15.0, 15.0, 15.0, 15.0, 12.0], &[15.0, 4.0, 36.0, 4.0, 16.0]);
        assert_eq!(limits(&long), [((1, 6), "gross weight")]);
    }
}
