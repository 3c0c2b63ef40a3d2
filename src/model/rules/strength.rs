//! Rules on rating, posting and the strength of steel.

use super::Level;
use super::table::Kind::{Above, Below, Bool, Names, Number, Numbers, Text, Whole, Word};
use super::table::{Kind, list, table};
use crate::quantity::{Ksi, Psf, Tons};

/// Multiple presence: a factor for one, two, three and four or more lanes loaded.
const PRESENCE: Kind = Numbers(0.0, 1.5, 4, 4);

table! {
    /// Method of the rating.
    RatingRules "rating", "" {
        /// Does the allowable-stress rating (ASR) bar a car?
        allowable_stress: bool = true, Bool;
        /// Does the load-and-resistance rating (LRFR) bar a car?
        load_and_resistance: bool = true, Bool;
        /// Bar a car whose shear cannot be rated for want of plates?
        shear_required: bool = false, Bool;
        /// Does live-load deflection bar a car?
        deflection_bars: bool = false, Bool;
        /// Span over the greatest live-load deflection: L/800.
        deflection_span_fraction: f64 = 800.0, Number(100.0, 5000.0),
            "AASHTO LRFD 2.5.2.6.2, from memory";
        /// Share of a truck on one car: the whole, unless the agency states otherwise.
        truck_share: f64 = 1.0, Above(0.0, 1.0);
        /// Who answers for truck_share.
        truck_share_source: String = "one car carries the whole truck: common practice, no source",
            Text;
        /// Young's modulus of steel.
        elastic_modulus_ksi: Ksi = 29000.0, Number(20_000.0, 35_000.0),
            "AASHTO LRFD 6.4.1, from memory";
        /// Allowance for an overlay that may be laid later, beside the wearing surface; none planned.
        future_overlay_psf: Psf = 0.0, Number(0.0, 200.0), "common practice, no source";
        inner {
            /// The allowable-stress form.
            allowable_stress_factors: AllowableStress;
            /// The load-and-resistance form.
            resistance_factors: ResistanceFactors;
        }
    }
}

table! {
    /// Factors of the allowable-stress rating (ASR), as shares of the yield strength.
    AllowableStress "rating.allowable_stress_factors", "AASHTO MBE part 6B, from memory" {
        /// Bending, inventory.
        bending_inventory: f64 = 0.55, Above(0.0, 1.0);
        /// Bending, operating.
        bending_operating: f64 = 0.75, Above(0.0, 1.0);
        /// Shear, inventory.
        shear_inventory: f64 = 0.33, Above(0.0, 1.0);
        /// Shear, operating.
        shear_operating: f64 = 0.45, Above(0.0, 1.0);
        /// Multiple presence: 1, 2, 3, 4 and more lanes loaded.
        presence: [f64; 4] = [1.00, 1.00, 0.90, 0.75], PRESENCE,
            "AASHTO Standard Specifications 3.12, from memory";
        /// Level at which design loads (H, HS, HL-93) bar.
        design_level: Level = "inventory", Word(Level::of_design);
        /// Level at which legal, emergency and own vehicles bar, and by which signs are posted: most
        /// owners post somewhere between inventory and operating.
        legal_level: Level = "inventory", Word(Level::words);
        /// Whose posting practice that is; any other level than inventory needs one.
        legal_level_source: String = "the lowest of the levels in use: common practice, no source", Text;
    }
}

table! {
    /// Factors of the load-and-resistance rating (LRFR).
    ResistanceFactors "rating.resistance_factors",
        "AASHTO MBE 6A.4.2 and LRFD 6.5.4.2, from memory. Read: the least product in M. A. Khan, Bridge \
         and Highway Structure Rehabilitation and Repair, McGraw-Hill 2010, p. 187; phi and the gammas of \
         dead load and of inventory in A. S. Nowak and O. Iatsko, PCI Journal, May 2017, equation 2. \
         Rating factors that the Ohio DOT publishes (sheet PSBDD-1-25, read in a typed copy) bear out the \
         ratios of the live-load factors, 1.75 to 1.35 to 1.45, and 0.33 on axles alone" {
        /// Resistance factor, phi: steel in flexure and shear.
        resistance: f64 = 1.00, Above(0.0, 1.0);
        /// Condition factor, phi c: fair.
        condition: f64 = 0.95, Above(0.0, 1.0);
        /// System factor, phi s: a row of single main girders has little redundancy.
        system: f64 = 0.85, Above(0.0, 1.0);
        /// Least product of condition and system factor.
        condition_times_system_min: f64 = 0.85, Above(0.0, 1.0);
        /// Load factor of dead load, gamma DC.
        dead: f64 = 1.25, Number(1.0, 5.0);
        /// Load factor of wearing surfaces, gamma DW.
        wearing: f64 = 1.50, Number(1.0, 5.0);
        /// Live-load factor, gamma LL, of design loads, inventory.
        live_design_inventory: f64 = 1.75, Number(1.0, 5.0);
        /// Live-load factor of design loads, operating.
        live_design_operating: f64 = 1.35, Number(1.0, 5.0);
        /// Live-load factor of legal, emergency and own vehicles; traffic count unknown.
        live_legal: f64 = 1.45, Number(1.0, 5.0);
        /// Dynamic load allowance, IM.
        impact: f64 = 0.33, Number(0.0, 1.0);
        /// Multiple presence, m: 1, 2, 3, 4 and more lanes loaded.
        presence: [f64; 4] = [1.20, 1.00, 0.85, 0.65], PRESENCE,
            "AASHTO LRFD 3.6.1.1.2, from memory";
        /// Level at which design loads bar.
        design_level: Level = "inventory", Word(Level::of_design);
    }
}

table! {
    /// Posting.
    PostingRules "posting",
        "AASHTO MBE 6A.8.3; the floor read in Khan 2010, p. 187; the rest from memory" {
        /// Rating factor below which the vehicle is not allowed.
        factor_floor: f64 = 0.30, Below(0.0, 1.0);
        /// Below this weight for every vehicle the bridge is closed.
        close_below_tons: Tons = 3.0, Number(0.0, 50.0);
        /// Legal in the state, and rated whatever a crossing names: the sign is by these. Take out what
        /// the state does not allow, put in a `[[vehicle]]` of your own, with the law as the source.
        legal_vehicles: Vec<String> =
            ["Type 3", "Type 3S2", "Type 3-3", "SU4", "SU5", "SU6", "SU7"], Names;
        /// Which law says so.
        legal_vehicles_source: String =
            "AASHTO MBE 6A.4.4.2, 23 CFR 650 C: legal in at least one state, from memory", Text;
        /// Rate EV2 and EV3 everywhere: within reach of an Interstate, or the county's own fire engines.
        emergency_vehicles: bool = false, Bool;
    }
}

list! {
    /// One row of the yield-by-year table.
    SteelByYear "steel_by_year" {
        /// Last year of the row, included.
        built_through: i16, Whole(1850, 9999);
        /// Yield strength. One in psi typed for ksi lies far outside.
        yield_ksi: Ksi, Number(20.0, 100.0);
    }
    r#"
# Steel of unknown strength, by the year built; AASHTO MBE tables 6A.6.2.1-1 and 6B.5.2.1, from memory.
# A year on the boundary of two rows takes the lower strength; an unknown year takes the lowest.
[[steel_by_year]]
built_through = 1905
yield_ksi = 26.0
[[steel_by_year]]
built_through = 1936
yield_ksi = 30.0
[[steel_by_year]]
built_through = 1963
yield_ksi = 33.0
[[steel_by_year]]
built_through = 9999
yield_ksi = 36.0
"#
}
