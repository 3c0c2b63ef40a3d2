//! The agency's rules: limits, methods and unit costs.
//!
//! The built-in rules are the text of [`DEFAULT_RULES`], which says for each value where it comes
//! from. A rules file given by the agency replaces single keys of it; `read::rules` does that.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::car::CarKind;
use super::words;
use crate::quantity::{Cents, Feet, Inches, Kips, KipsPerFoot, Ksi, Percent, Psf, Tons};

/// The built-in rules as printed by `spanyard rules`: a complete, commented TOML file.
pub const DEFAULT_RULES: &str = include_str!("rules_default.toml");

words! {
    /// Rating level: how much of the strength is counted on.
    Level {
        /// For unlimited use.
        Inventory = "inventory",
        /// The most that may be allowed, now and then.
        Operating = "operating",
    }
}

words! {
    /// Damage of a secondary member.
    Damage {
        /// Bent.
        Bent = "bent",
        /// Cracked.
        Cracked = "cracked",
        /// Corroded.
        Corroded = "corroded",
        /// Missing.
        Missing = "missing",
    }
}

/// All rules.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    /// Who buys, for the head of every paper.
    #[serde(default, skip_serializing_if = "Agency::is_unnamed")]
    pub agency: Agency,
    /// Ordering and left-over cars.
    pub purchase: PurchaseRules,
    /// What is served where not everything can be.
    pub service: ServiceRules,
    /// Limits of the screening.
    pub screen: ScreenRules,
    /// Limits of the grouping.
    pub group: GroupRules,
    /// Method and factors of the rating.
    pub rating: RatingRules,
    /// Posting.
    pub posting: PostingRules,
    /// Yield strength by year built, in rising order of years.
    pub steel_by_year: Vec<SteelByYear>,
    /// Joint types, at least one.
    pub joint: Vec<JointType>,
    /// Deck systems, at least one.
    pub deck: Vec<DeckSystem>,
    /// Rails.
    pub rail: RailRules,
    /// Haul.
    pub haul: HaulRules,
    /// Crane.
    pub crane: CraneRules,
    /// Trimming of ends.
    pub trim: TrimRules,
    /// Repair of secondary members.
    pub repair: RepairRules,
    /// Blasting, painting and lead.
    pub coating: CoatingRules,
    /// The agency's own vehicles.
    #[serde(default)]
    pub vehicle: Vec<OwnVehicle>,
    /// Shares of a truck on one car where a joint type hands on the rest.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joint_share: Vec<JointShare>,
    /// Funds that pay for the crossings that name them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fund: Vec<Fund>,
}

/// Who buys. It stands at the head of every paper and decides nothing.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Agency {
    /// Its name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Who answers for the purchase: person or office, address, telephone, mail.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contact: Option<String>,
    /// Days from the order date within which dealers are asked to answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reply_days: Option<u16>,
}

impl Agency {
    /// Whether nothing is said of it.
    fn is_unnamed(&self) -> bool {
        *self == Self::default()
    }
}

/// The agency's share of a truck on one car beside joints of one type.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointShare {
    /// Name of the joint type.
    pub joint: String,
    /// Share of a truck on one car.
    pub truck_share: f64,
    /// Who answers for it.
    pub source: String,
}

/// Money that pays for certain crossings only.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fund {
    /// Its name, as crossings name it.
    pub name: String,
    /// The most it may pay, in dollars.
    pub usd: f64,
}

impl Fund {
    /// The most it may pay.
    #[must_use]
    pub fn limit(&self) -> Cents {
        Cents::from_dollars(self.usd)
    }
}

/// Ordering and left-over cars.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PurchaseRules {
    /// Day on which orders are placed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order_date: Option<Date>,
    /// Days from leaving the yard to open for traffic.
    pub lead_time_days: u16,
    /// Worth of a left-over car of a lot, as a share of its even share of the lot's price.
    pub stock_value_pct: Percent,
    /// How much dearer than the cheapest plan one may be that changes less of a previous plan, as a
    /// share of net cost.
    pub change_tolerance_pct: Percent,
}

words! {
    /// What comes first where not every crossing can be served.
    ServeFirst {
        /// No crossing is given up for any number of less urgent ones.
        Urgent = "most urgent",
        /// The sum of the points of the crossings served is greatest.
        Points = "most points",
    }
}

/// What is served where not everything can be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ServiceRules {
    /// What comes first.
    pub first: ServeFirst,
    /// Points of a crossing of each priority, from 1 to 9.
    pub points: Vec<u32>,
}

impl ServiceRules {
    /// Points of a crossing of this priority.
    #[must_use]
    pub fn points_of(&self, priority: u8) -> u32 {
        let place = usize::from(priority.saturating_sub(1));
        self.points.get(place).copied().unwrap_or(1)
    }
}

/// Limits of the screening.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScreenRules {
    /// Kinds of car that may be used.
    pub kinds_allowed: Vec<CarKind>,
    /// Greatest corrosion loss of primary members.
    pub primary_loss_max_pct: Percent,
    /// Greatest corrosion loss of secondary members.
    pub secondary_loss_max_pct: Percent,
    /// Damage of secondary members that may be repaired.
    pub secondary_repairable: Vec<Damage>,
    /// Pick weight over the car's weight.
    pub pick_weight_factor: f64,
    /// Overhang beyond a bearing above which the end is trimmed.
    pub max_overhang_ft: Feet,
}

/// Limits of the grouping.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroupRules {
    /// Largest less smallest camber in a deck.
    pub camber_tolerance_in: Inches,
    /// Largest less smallest truck centers in a deck.
    pub truck_centers_tolerance_ft: Feet,
    /// Total width above the width required.
    pub width_allowance_ft: Feet,
}

/// Method and factors of the rating.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RatingRules {
    /// Whether the allowable-stress rating bars a car.
    pub allowable_stress: bool,
    /// Whether the load-and-resistance rating bars a car.
    pub load_and_resistance: bool,
    /// Whether a car whose shear cannot be rated is barred.
    pub shear_required: bool,
    /// Whether live-load deflection bars a car.
    pub deflection_bars: bool,
    /// The span over the greatest live-load deflection.
    pub deflection_span_fraction: f64,
    /// Share of a truck on one car.
    pub truck_share: f64,
    /// Who says so.
    pub truck_share_source: String,
    /// Young's modulus of steel.
    pub elastic_modulus_ksi: Ksi,
    /// Allowance for an overlay that may be laid later; counts with the wearing surface.
    pub future_overlay_psf: Psf,
    /// The allowable-stress form.
    pub allowable_stress_factors: AllowableStress,
    /// The load-and-resistance form.
    pub resistance_factors: ResistanceFactors,
}

/// Factors of the allowable-stress form, as shares of the yield strength.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AllowableStress {
    /// Bending, inventory.
    pub bending_inventory: f64,
    /// Bending, operating.
    pub bending_operating: f64,
    /// Shear, inventory.
    pub shear_inventory: f64,
    /// Shear, operating.
    pub shear_operating: f64,
    /// Multiple presence: factor on one, two, three and four or more lanes loaded.
    pub presence: [f64; 4],
    /// Level at which design loads bar.
    pub design_level: Level,
    /// Level at which other vehicles bar.
    pub legal_level: Level,
}

/// Factors of the load-and-resistance form.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResistanceFactors {
    /// Resistance factor of steel.
    pub resistance: f64,
    /// Condition factor.
    pub condition: f64,
    /// System factor.
    pub system: f64,
    /// Least product of condition and system factor.
    pub condition_times_system_min: f64,
    /// Load factor of dead load.
    pub dead: f64,
    /// Load factor of wearing surfaces.
    pub wearing: f64,
    /// Live-load factor, design loads, inventory.
    pub live_design_inventory: f64,
    /// Live-load factor, design loads, operating.
    pub live_design_operating: f64,
    /// Live-load factor, legal, emergency and own vehicles.
    pub live_legal: f64,
    /// Dynamic load allowance.
    pub impact: f64,
    /// Multiple presence: factor on one, two, three and four or more lanes loaded.
    pub presence: [f64; 4],
    /// Level at which design loads bar.
    pub design_level: Level,
}

/// Posting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PostingRules {
    /// Rating factor below which the vehicle is not allowed.
    pub factor_floor: f64,
    /// Below this weight for every vehicle the bridge is closed.
    pub close_below_tons: Tons,
}

/// One row of the yield-by-year table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SteelByYear {
    /// Last year of the row, included.
    pub built_through: i16,
    /// Yield strength.
    pub yield_ksi: Ksi,
}

/// A longitudinal joint between two neighboring cars.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointType {
    /// Its name.
    pub name: String,
    /// Smallest gap it closes.
    pub gap_min_in: Inches,
    /// Widest gap it closes.
    pub gap_max_in: Inches,
    /// Least depth of the exterior girders on both sides.
    pub exterior_depth_min_in: Inches,
    /// Cost per foot of joint, in dollars; covers closing the gap for traffic.
    pub usd_per_ft: f64,
    /// Weight per foot of joint.
    pub weight_kip_per_ft: KipsPerFoot,
}

/// A deck system.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DeckSystem {
    /// Its name, as crossings name it.
    pub name: String,
    /// Cost per square foot of car, in dollars.
    pub usd_per_sqft: f64,
    /// Dead load without the wearing surface.
    pub dead_psf: Psf,
    /// Wearing surface.
    pub wearing_psf: Psf,
    /// Whether it is the car's own deck, which must then be sound.
    pub keeps_car_deck: bool,
}

/// Rails.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RailRules {
    /// Cost per foot and side, in dollars.
    pub usd_per_ft: f64,
    /// Deck width taken on each side.
    pub width_ft: Feet,
    /// Weight per foot and side.
    pub weight_kip_per_ft: KipsPerFoot,
}

/// Haul.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HaulRules {
    /// Road miles per mile of great circle.
    pub road_factor: f64,
    /// Rate per road mile, in dollars.
    pub usd_per_mile: f64,
    /// Least charge for one haul, in dollars.
    pub minimum_usd: f64,
    /// Length over which a load needs a permit.
    pub permit_over_length_ft: Feet,
    /// Weight in pounds over which a load needs a permit.
    pub permit_over_weight_lb: f64,
    /// Cost of a permit, in dollars.
    pub permit_usd: f64,
    /// Length over which a load needs an escort.
    pub escort_over_length_ft: Feet,
    /// Escort per road mile, in dollars.
    pub escort_usd_per_mile: f64,
    /// How many cars may go on one trailer; none: each goes alone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub truckload: Vec<Truckload>,
}

words! {
    /// How the cars of one load lie on their trailer.
    Laid {
        /// On each other: the load is as long as its longest car.
        Stacked = "stacked",
        /// One behind the other: their lengths add up.
        EndToEnd = "end to end",
    }
}

/// So many cars may go on one trailer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Truckload {
    /// Cars of one load.
    pub cars: u32,
    /// None of them weighs more, in pounds.
    pub each_at_most_lb: f64,
    /// None of them is longer.
    pub each_at_most_ft: Feet,
    /// How they lie.
    pub laid: Laid,
    /// Who says so.
    pub source: String,
}

impl HaulRules {
    /// What allows loads of so many cars: of the trailers that take as many or more, the one that
    /// takes fewest.
    #[must_use]
    pub fn truckload(&self, cars: usize) -> Option<&Truckload> {
        let take = self.truckload.iter().filter(|rule| rule.cars as usize >= cars);
        take.min_by_key(|rule| rule.cars)
    }

    /// Weight over which a load needs a permit.
    #[must_use]
    pub fn permit_over_weight(&self) -> Kips {
        Kips::from_pounds(self.permit_over_weight_lb)
    }
}

/// Crane.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CraneRules {
    /// Bringing a crane to a crossing, in dollars.
    pub mobilization_usd: f64,
    /// Setting one car, in dollars.
    pub pick_usd: f64,
}

/// Trimming of ends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrimRules {
    /// Cutting one end back, in dollars.
    pub usd_per_end: f64,
}

/// Repair of secondary members, per car and group, in dollars.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RepairRules {
    /// Bent members.
    pub bent_usd: f64,
    /// Cracked members.
    pub cracked_usd: f64,
    /// Corroded members.
    pub corroded_usd: f64,
    /// Missing members.
    pub missing_usd: f64,
}

impl RepairRules {
    /// Cost of repairing one group with this damage, in dollars.
    #[must_use]
    pub fn rate_usd(&self, damage: Damage) -> f64 {
        match damage {
            Damage::Bent => self.bent_usd,
            Damage::Cracked => self.cracked_usd,
            Damage::Corroded => self.corroded_usd,
            Damage::Missing => self.missing_usd,
        }
    }
}

/// Blasting, painting and lead.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoatingRules {
    /// Per foot of car with a sound coating, in dollars.
    pub sound_usd_per_ft: f64,
    /// Per foot of car with a worn coating, in dollars.
    pub worn_usd_per_ft: f64,
    /// Per foot of car with a failed or unknown coating, in dollars.
    pub failed_usd_per_ft: f64,
    /// Containment and disposal for one car with lead or untested paint that is blasted, in dollars.
    pub lead_usd_per_car: f64,
}

/// A vehicle of the agency's own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnVehicle {
    /// Its name, as crossings name it.
    pub name: String,
    /// Axle loads from the front.
    pub axles_kip: Vec<Kips>,
    /// Distances between neighboring axles, one fewer than axles.
    pub spacings_ft: Vec<Feet>,
    /// Where the numbers come from.
    pub source: String,
}

impl Rules {
    /// The deck system of this name.
    #[must_use]
    pub fn deck_system(&self, name: &str) -> Option<&DeckSystem> {
        self.deck.iter().find(|deck| deck.name == name)
    }

    /// The joint type of this name.
    #[must_use]
    pub fn joint_type(&self, name: &str) -> Option<&JointType> {
        self.joint.iter().find(|joint| joint.name == name)
    }

    /// The widest gap that any joint type closes.
    #[must_use]
    pub fn widest_joint_gap(&self) -> Feet {
        self.joint.iter().map(|joint| joint.gap_max_in).fold(Inches(0.0), Inches::max).into()
    }

    /// Total width that a deck needs for a clear width: the roadway and both rails.
    #[must_use]
    pub fn width_required(&self, clear_width: Feet) -> Feet {
        clear_width + self.rail.width_ft * 2.0
    }
}
