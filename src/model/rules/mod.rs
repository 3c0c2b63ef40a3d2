//! The agency's rules: limits, methods and unit costs.
//!
//! Each key stands once, as a row of a table in one of the files beside this one: the field, its
//! built-in value, where that comes from, its limits, and what it means. [`DEFAULT_RULES`] prints the
//! tables as a rules file; `read::rules` accepts a file by the same tables. A rules file given by the
//! agency replaces single keys.

mod building;
mod choosing;
mod evidence;
mod grades;
mod strength;
pub mod table;
mod work;

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

pub use super::car::Damage;
use super::words;
use crate::quantity::{Feet, Inches};
use table::Section;

pub use building::{DeckSystem, Fund, Grant, JointShare, JointType, OwnVehicle, RailRules};
pub use choosing::{Agency, GroupRules, PurchaseRules, ScreenRules, ServiceRules};
pub use evidence::EvidenceRules;
pub use grades::{FactKind, Least, ToPay, ToPlan};
pub use strength::{AllowableStress, PostingRules, RatingRules, ResistanceFactors, SteelByYear};
pub use work::{
    CoatingRules, CraneRules, FitRules, HaulRules, OverheadRules, RepairRules, TrimRules, Truckload,
};

/// The built-in rules as printed by `spanyard rules`: a complete, commented TOML file.
pub static DEFAULT_RULES: LazyLock<String> = LazyLock::new(|| table::text(OPENING, SECTIONS));

/// What stands above the printed rules.
const OPENING: &str = "The rules of spanyard, complete. Copy this file, change what your agency decides \
    otherwise, and give it with --rules; keys left out keep the values below. Every value says where it \
    comes from: a published source, \"from memory\" (recalled from the source named, to be confirmed in \
    it), or \"common practice, no source\". Money is in US dollars.";

/// Every table and list, in the order in which they are printed.
pub const SECTIONS: &[Section] = &[
    Section::Table(Agency::TABLE),
    Section::Table(PurchaseRules::TABLE),
    Section::Table(ServiceRules::TABLE),
    Section::Table(EvidenceRules::TABLE),
    Section::Table(ToPlan::TABLE),
    Section::Table(ToPay::TABLE),
    Section::Table(ScreenRules::TABLE),
    Section::Table(GroupRules::TABLE),
    Section::Table(RatingRules::TABLE),
    Section::Table(AllowableStress::TABLE),
    Section::Table(ResistanceFactors::TABLE),
    Section::Table(PostingRules::TABLE),
    Section::List(SteelByYear::LIST),
    Section::List(JointType::LIST),
    Section::List(JointShare::LIST),
    Section::List(DeckSystem::LIST),
    Section::Table(RailRules::TABLE),
    Section::Table(HaulRules::TABLE),
    Section::List(Truckload::LIST),
    Section::Table(CraneRules::TABLE),
    Section::Table(FitRules::TABLE),
    Section::Table(TrimRules::TABLE),
    Section::Table(RepairRules::TABLE),
    Section::Table(CoatingRules::TABLE),
    Section::Table(OverheadRules::TABLE),
    Section::List(OwnVehicle::LIST),
    Section::List(Fund::LIST),
    Section::List(Grant::LIST),
];

words! {
    /// Rating level: how much of the strength is counted on.
    Level {
        /// For unlimited use.
        Inventory = "inventory",
        /// Halfway: the mean of the two stresses.
        Between = "between",
        /// The most that may be allowed, now and then.
        Operating = "operating",
    }
}

impl Level {
    /// The levels of design loads.
    #[must_use]
    pub fn of_design() -> Vec<&'static str> {
        vec![Self::Inventory.word(), Self::Operating.word()]
    }
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

words! {
    /// How the cars of one load lie on their trailer.
    Laid {
        /// On each other: the load is as long as its longest car.
        Stacked = "stacked",
        /// One behind the other: their lengths add up.
        EndToEnd = "end to end",
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
    /// What a fact must rest on.
    pub evidence: EvidenceRules,
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
    /// Making a car ready for its span.
    pub fit: FitRules,
    /// Trimming of ends.
    pub trim: TrimRules,
    /// Repair of secondary members.
    pub repair: RepairRules,
    /// Blasting, painting and lead.
    pub coating: CoatingRules,
    /// What is added in per cent.
    pub overhead: OverheadRules,
    /// The agency's own vehicles.
    #[serde(default)]
    pub vehicle: Vec<OwnVehicle>,
    /// Shares of a truck on one car where a joint type hands on the rest.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joint_share: Vec<JointShare>,
    /// Funds that pay for the crossings that name them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fund: Vec<Fund>,
    /// Funds that pay a share only.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub grant: Vec<Grant>,
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
