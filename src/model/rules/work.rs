//! Rules on what the work costs: haul, crane, trimming, repair, coating.

use super::table::Kind::{Below, Bool, Money, Number, Text, Whole, Word};
use super::table::{list, table};
use super::{Damage, Laid};
use crate::quantity::{
    Cents, Feet, Kips, Percent, Pounds, UsdPerFoot, UsdPerMile, UsdPerSquareFoot,
};

table! {
    /// Haul: one car to a trailer, if no truckload is given.
    HaulRules "haul", "common practice, no source" {
        /// Road miles per mile of great circle.
        road_factor: f64 = 1.25, Number(1.0, 10.0);
        /// Rate per road mile.
        usd_per_mile: UsdPerMile = 8.50, Number(0.0, 1000.0);
        /// Least charge for one haul: half a day of tractor and driver.
        #[serde(with = "crate::quantity::dollars")]
        minimum_usd: Cents = 850.0, Money(0.0, 1_000_000.0);
        /// Length over which a load needs a permit.
        permit_over_length_ft: Feet = 53.0, Number(20.0, 200.0);
        /// Weight over which a load needs a permit.
        permit_over_weight_lb: Pounds = 48000.0, Number(5_000.0, 300_000.0);
        /// Width over which a load needs a permit: 102 in.
        permit_over_width_ft: Feet = 8.5, Number(7.0, 20.0), "23 CFR 658.15, from memory";
        /// Height over which a load needs a route of its own: 13 ft 6 in, the limit of most states.
        height_most_ft: Feet = 13.5, Number(8.0, 20.0), "common limit of the states, from memory";
        /// Height of the trailer's deck, on which the car lies.
        trailer_deck_ft: Feet = 5.0, Number(0.5, 8.0);
        /// Cost of a permit, per load over one of these limits.
        #[serde(with = "crate::quantity::dollars")]
        permit_usd: Cents = 250.0, Money(0.0, 1_000_000.0);
        /// Length over which a load needs an escort.
        escort_over_length_ft: Feet = 80.0, Number(20.0, 200.0);
        /// Width over which a load needs an escort.
        escort_over_width_ft: Feet = 12.0, Number(7.0, 20.0);
        /// Escort per road mile.
        escort_usd_per_mile: UsdPerMile = 2.25, Number(0.0, 1000.0);
        /// Least charge for one escort: a pilot car's day.
        #[serde(with = "crate::quantity::dollars")]
        escort_minimum_usd: Cents = 600.0, Money(0.0, 1_000_000.0);
        inner {
            /// How many cars may go on one trailer; none: each goes alone.
            #[serde(default, skip_serializing_if = "Vec::is_empty")]
            truckload: Vec<Truckload>;
        }
    }
}

impl HaulRules {
    /// What allows loads of this many cars: of the trailers that take as many or more, the one that
    /// takes fewest.
    #[must_use]
    pub fn truckload(&self, cars: usize) -> Option<&Truckload> {
        let take = self.truckload.iter().filter(|rule| rule.cars as usize >= cars);
        take.min_by_key(|rule| rule.cars)
    }

    /// Weight over which a load needs a permit.
    #[must_use]
    pub fn permit_over_weight(&self) -> Kips {
        self.permit_over_weight_lb.into()
    }
}

list! {
    /// A number of cars that may go on one trailer.
    Truckload "haul.truckload" {
        /// Cars of one load; a deck has six at most.
        cars: u32, Whole(2, 6);
        /// None of them weighs more. Kips or tons typed for pounds lie far outside.
        each_at_most_lb: Pounds, Number(5_000.0, 300_000.0);
        /// None of them is longer.
        each_at_most_ft: Feet, Number(20.0, 200.0);
        /// How they lie.
        laid: Laid, Word(Laid::words);
        /// Who says so.
        source: String, Text;
    }
    r#"
# Where a hauler takes several cars on one trailer: as many of one deck and one yard go together if none
# is heavier or longer than this. The route's limits hold for the whole load, and permit and escort are
# paid for it, as if all its cars were as heavy and as long as the heaviest and the longest. Whether a
# load is too high for its road is not checked.
# [[haul.truckload]]
# cars = 2
# each_at_most_lb = 24000.0
# each_at_most_ft = 53.0
# laid = "stacked"          # on each other; or "end to end": then their lengths add up
# source = "quotation of the hauler, 2026-03-02"
"#
}

table! {
    /// Crane.
    CraneRules "crane", "common practice, no source" {
        /// Bringing a crane to a crossing.
        #[serde(with = "crate::quantity::dollars")]
        mobilization_usd: Cents = 3800.0, Money(0.0, 1_000_000.0);
        /// Setting one car.
        #[serde(with = "crate::quantity::dollars")]
        pick_usd: Cents = 550.0, Money(0.0, 1_000_000.0);
    }
}

table! {
    /// Making a car ready for its span.
    FitRules "fit", "common practice, no source" {
        /// Couplers, draft gear and brake rigging taken off one car.
        #[serde(with = "crate::quantity::dollars")]
        gear_usd_per_car: Cents = 700.0, Money(0.0, 1_000_000.0);
        /// The car's own deck taken off and disposed of, where the crossing does not keep it.
        strip_usd_per_sqft: UsdPerSquareFoot = 2.0, Number(0.0, 1000.0);
        /// What is paid for the plate of a steel deck that is taken off.
        steel_deck_usd_per_sqft: UsdPerSquareFoot = 0.60, Number(0.0, 1000.0);
        /// Survey of one car before it is built in: members, thicknesses, camber.
        #[serde(with = "crate::quantity::dollars")]
        survey_usd_per_car: Cents = 400.0, Money(0.0, 1_000_000.0);
        /// Coupons cut and tested of a car whose yield strength nobody states with a source.
        #[serde(with = "crate::quantity::dollars")]
        coupons_usd_per_car: Cents = 900.0, Money(0.0, 1_000_000.0);
        /// Bearing and seat under one end of a car: pads, anchor bolts, leveling.
        #[serde(with = "crate::quantity::dollars")]
        bearing_usd_per_end: Cents = 450.0, Money(0.0, 1_000_000.0);
    }
}

table! {
    /// What is added in per cent, each rounded to the cent on each line that it is taken of.
    OverheadRules "overhead", "common practice, no source" {
        /// Sales tax on what dealers are paid; agencies are mostly exempt.
        sales_tax_pct: Percent = 0.0, Below(0.0, 100.0);
        /// Contingency, of the work and the piers; not of cars, nor of other works, which are as stated.
        contingency_pct: Percent = 10.0, Below(0.0, 100.0);
        /// Engineering and inspection of the work, of the same.
        engineering_pct: Percent = 12.0, Below(0.0, 100.0);
    }
}

table! {
    /// Trimming of ends.
    TrimRules "trim", "common practice, no source" {
        /// Cutting one end back and closing it with an end plate.
        #[serde(with = "crate::quantity::dollars")]
        usd_per_end: Cents = 650.0, Money(0.0, 1_000_000.0);
        /// May ends be cut at the dealer's yard before hauling, so that car and load are shorter on the road?
        /// The dealer and the engineer must agree to it.
        at_yard: bool = false, Bool;
        /// Cutting one end at the yard, and closing it with an end plate.
        #[serde(with = "crate::quantity::dollars")]
        at_yard_usd_per_end: Cents = 800.0, Money(0.0, 1_000_000.0);
        /// Stiffeners and a diaphragm over a bearing inside its bolster, per end.
        #[serde(with = "crate::quantity::dollars")]
        stiffener_usd_per_end: Cents = 850.0, Money(0.0, 1_000_000.0);
    }
}

table! {
    /// Repair of secondary members, per car and group.
    RepairRules "repair", "common practice, no source" {
        /// Bent members.
        #[serde(with = "crate::quantity::dollars")]
        bent_usd: Cents = 900.0, Money(0.0, 1_000_000.0);
        /// Cracked members.
        #[serde(with = "crate::quantity::dollars")]
        cracked_usd: Cents = 2500.0, Money(0.0, 1_000_000.0);
        /// Corroded members.
        #[serde(with = "crate::quantity::dollars")]
        corroded_usd: Cents = 1200.0, Money(0.0, 1_000_000.0);
        /// Missing members.
        #[serde(with = "crate::quantity::dollars")]
        missing_usd: Cents = 3000.0, Money(0.0, 1_000_000.0);
    }
}

impl RepairRules {
    /// Cost of repairing one group with this damage.
    #[must_use]
    pub fn cost(&self, damage: Damage) -> Cents {
        match damage {
            Damage::Bent => self.bent_usd,
            Damage::Cracked => self.cracked_usd,
            Damage::Corroded => self.corroded_usd,
            Damage::Missing => self.missing_usd,
        }
    }
}

table! {
    /// Blasting, painting and lead, per foot of what lies there: some 40 sq ft of steel.
    CoatingRules "coating", "common practice, no source" {
        /// A sound coating.
        sound_usd_per_ft: UsdPerFoot = 0.0, Number(0.0, 10_000.0);
        /// A worn coating: sweep blasting and a coat, some $2.50 a square foot.
        worn_usd_per_ft: UsdPerFoot = 100.0, Number(0.0, 10_000.0);
        /// A failed or unknown coating: blasting to bare steel and two coats, some $4.50 a square foot.
        failed_usd_per_ft: UsdPerFoot = 180.0, Number(0.0, 10_000.0);
        /// Containment and disposal for one car that is blasted and has lead, or is not tested for it.
        #[serde(with = "crate::quantity::dollars")]
        lead_usd_per_car: Cents = 6000.0, Money(0.0, 1_000_000.0);
    }
}
