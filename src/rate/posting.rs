//! What a sign must say when a vehicle rates below 1.

use serde::Serialize;

use crate::model::rules::PostingRules;
use crate::quantity::{Ratio, Tons};

/// The posting that follows from a vehicle's rating factor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "posting")]
pub enum Posting {
    /// The vehicle rates at least 1.
    NotNeeded,
    /// The vehicle may pass up to this weight.
    UpTo {
        /// By the formula.
        #[serde(rename = "safe_load_short_tons")]
        safe_load: Tons,
        /// On the sign: whole tons, rounded down.
        #[serde(rename = "sign_short_tons")]
        sign: Tons,
    },
    /// Below the floor: the vehicle is not allowed.
    NotAllowed,
}

impl Posting {
    /// The weight on the sign; zero where the vehicle is not allowed, none where no sign is needed.
    #[must_use]
    pub fn sign(self) -> Option<Tons> {
        match self {
            Self::NotNeeded => None,
            Self::UpTo { sign, .. } => Some(sign),
            Self::NotAllowed => Some(Tons(0.0)),
        }
    }
}

/// Safe posting load `W / 0.7 (RF - 0.3)`; the floor of the rules stands in the place of 0.3 and
/// 1 less it in the place of 0.7, so that the line always runs from nothing at the floor to `W` at 1
/// (AASHTO Manual for Bridge Evaluation 6A.8.3, as given by M. A. Khan, Bridge and Highway Structure
/// Rehabilitation and Repair, McGraw-Hill 2010, p. 187, read).
#[must_use]
pub fn posting(weight: Tons, factor: Ratio, rules: &PostingRules) -> Posting {
    let floor = rules.factor_floor;
    if super::outcome::reaches_one(factor) {
        return Posting::NotNeeded;
    }
    // A factor that is no number is not allowed either.
    let above_floor = factor.0 >= floor && (0.0..1.0).contains(&floor);
    if !above_floor {
        return Posting::NotAllowed;
    }
    let safe_load = weight / (1.0 - floor) * (factor.0 - floor);
    // A safe load of 15 tons less rounding noise is 15 tons.
    Posting::UpTo { safe_load, sign: Tons((safe_load.0 + crate::check::TOLERANCE).floor()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules() -> PostingRules {
        PostingRules {
            factor_floor: 0.3,
            close_below_tons: Tons(3.0),
            legal_vehicles: vec![],
            legal_vehicles_source: String::new(),
            emergency_vehicles: false,
        }
    }

    /// Pairs recomputed from the formula of MBE 6A.8.3 (read in Khan 2010, p. 187); the first is also
    /// the hand-checked case of another program (the tests of `CivilPy`, 2026), 40 x 0.35 / 0.7.
    #[test]
    fn safe_loads_by_the_formula() {
        for (tons, factor, safe, sign) in [
            (40.0, 0.65, 20.0, 20.0),
            (25.0, 0.65, 12.5, 12.0),
            (36.0, 0.8, 25.714, 25.0),
            (40.0, 0.5, 11.429, 11.0),
            (27.0, 0.3, 0.0, 0.0),
            (43.0, 0.4, 6.143, 6.0),
        ] {
            let Posting::UpTo { safe_load, sign: on_sign } =
                posting(Tons(tons), Ratio(factor), &rules())
            else {
                panic!("{tons} tons at {factor} is posted");
            };
            assert!((safe_load.0 - safe).abs() < 5e-4, "{tons} tons at {factor}: {safe_load}");
            assert_eq!(on_sign, Tons(sign));
        }
    }

    #[test]
    fn at_one_no_sign_and_below_the_floor_no_passage() {
        for (factor, expected) in [
            (1.0, Posting::NotNeeded),
            (1.7, Posting::NotNeeded),
            (0.299, Posting::NotAllowed),
            (-0.2, Posting::NotAllowed),
            (f64::NAN, Posting::NotAllowed),
        ] {
            assert_eq!(posting(Tons(25.0), Ratio(factor), &rules()), expected);
        }
    }

    /// The line of 3 tons lies at RF = 0.3 + 2.1 / W (recomputed).
    #[test]
    fn the_three_ton_line() {
        let sign = |factor| posting(Tons(25.0), Ratio(factor), &rules()).sign().unwrap();
        assert_eq!(sign(0.3 + 2.1 / 25.0), Tons(3.0));
        assert_eq!(sign(0.3 + 2.09 / 25.0), Tons(2.0));
    }
}
