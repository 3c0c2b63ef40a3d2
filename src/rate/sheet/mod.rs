//! The calculation sheet: every step of a rating with its formula in symbols, the same in numbers,
//! the result with its unit, the clause and the place of the input in its file.
//!
//! The sheet computes nothing that decides: it lays out the numbers of a [`Rating`]. The `numbers` of
//! a line hold the values as printed in the lines before it, so that a reader with a pencil comes
//! to the printed result, to within what rounding them does to its last digit; a test does exactly
//! that for every line.

mod amount;
mod capacity;
mod closing;
mod dead;
mod deflection;
mod factors;
mod given;
mod line;
mod live;
mod members;
mod section;
mod slenderness;

pub use amount::{Amount, Unit};
pub use line::{Line, Part};

use serde::Serialize;

use super::posting::Posting;
use super::rating::{Rating, VehicleRating};
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::rules::Rules;
use crate::quantity::{Feet, Ratio};

/// What a sheet is made from.
pub(super) struct Case<'a> {
    pub rating: &'a Rating,
    pub car: &'a Car,
    pub crossing: &'a Crossing,
    pub rules: &'a Rules,
}

/// A calculation sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sheet {
    /// Dealer and ID of the car.
    pub car: String,
    /// File and line of the car.
    pub car_place: String,
    /// ID of the crossing.
    pub crossing: String,
    /// The road it carries.
    pub road: String,
    /// File and line of the crossing.
    pub crossing_place: String,
    /// The span between bearings.
    #[serde(rename = "span_ft")]
    pub span: Feet,
    /// What governs, in a sentence.
    pub governs: String,
    /// The factors that the rules look at, one row per vehicle.
    pub summary: Vec<Summary>,
    /// The calculation in parts.
    pub parts: Vec<Part>,
    /// What was not checked.
    pub not_checked: Vec<String>,
    /// What the calculation assumes and where it ends.
    pub limits: Vec<String>,
}

/// The factors of one vehicle that the rules look at.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// The vehicle.
    pub vehicle: String,
    /// Bending, allowable stress.
    pub bending_allowable: Ratio,
    /// Bending, load and resistance.
    pub bending_factored: Ratio,
    /// Shear, allowable stress; none without webs.
    pub shear_allowable: Option<Ratio>,
    /// Shear, load and resistance; none without webs.
    pub shear_factored: Option<Ratio>,
    /// The least of those that count.
    pub least: Ratio,
    /// Posting in words.
    pub posting: String,
}

impl Summary {
    fn of(rating: &VehicleRating) -> Self {
        let shear = rating.shear.as_ref();
        Self {
            vehicle: rating.on_span.vehicle.name.clone(),
            bending_allowable: rating.bending.by_allowable().factor,
            bending_factored: rating.bending.by_factored().factor,
            shear_allowable: shear.map(|forms| forms.by_allowable().factor),
            shear_factored: shear.map(|forms| forms.by_factored().factor),
            least: rating.least,
            posting: match rating.posting {
                Posting::NotNeeded => "none".to_owned(),
                Posting::UpTo { sign, .. } => Amount::from(sign).to_string(),
                Posting::NotAllowed => "not allowed".to_owned(),
            },
        }
    }
}

/// The calculation sheet of a rating.
#[must_use]
pub fn sheet(rating: &Rating, car: &Car, crossing: &Crossing, rules: &Rules) -> Sheet {
    let case = Case { rating, car, crossing, rules };
    let mut parts = vec![given::car(&case), given::crossing(&case)];
    parts.extend(section::parts(&case));
    parts.push(section::steel(&case));
    parts.extend(slenderness::slenderness(&case));
    parts.push(dead::loads(&case));
    parts.push(dead::effects(&case));
    parts.push(live::shares(&case));
    parts.extend(rating.vehicles.iter().map(|vehicle| live::vehicle(&case, vehicle)));
    parts.push(capacity::part(&case));
    parts.extend(rating.vehicles.iter().map(|vehicle| factors::part(&case, vehicle)));
    parts.push(factors::posting(&case));
    parts.extend(deflection::part(&case));
    parts.extend(members::parts(&case));
    Sheet {
        car: car.name(),
        car_place: car.place.to_string(),
        crossing: crossing.id.clone(),
        road: crossing.road.clone(),
        crossing_place: crossing.place.to_string(),
        span: rating.span(),
        governs: factors::governs(&case),
        summary: rating.vehicles.iter().map(Summary::of).collect(),
        parts,
        not_checked: closing::not_checked(&case),
        limits: closing::limits(&case),
    }
}
