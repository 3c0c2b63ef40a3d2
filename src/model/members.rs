//! The members of a car in groups, and the condition of each.

use serde::Serialize;

use super::words;
use crate::quantity::Percent;

words! {
    /// A group of members of the car.
    MemberGroup {
        /// The girder along the middle, which carries most of the traffic load.
        MainGirder = "main girder",
        /// The girders along the sides, which carry the joints.
        ExteriorGirders = "exterior girders",
        /// The cross-frames over the wheel trucks, where the car bears.
        Bolsters = "bolsters",
        /// Members across the car.
        CrossMembers = "cross-members",
        /// Members along the car, under the deck.
        Stringers = "stringers",
    }
}

impl MemberGroup {
    /// Whether the group belongs to the primary members, which admit no damage.
    #[must_use]
    pub fn is_primary(self) -> bool {
        matches!(self, Self::MainGirder | Self::ExteriorGirders | Self::Bolsters)
    }
}

words! {
    /// Damage of a member.
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

/// Condition of a group of members.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "state", content = "loss_pct")]
pub enum MemberCondition {
    /// Nothing wrong.
    Sound,
    /// Bent.
    Bent,
    /// Cracked.
    Cracked,
    /// Corroded, with the greatest share of thickness lost.
    Corroded(Percent),
    /// A member is missing.
    Missing,
}

impl MemberCondition {
    /// The condition as written in files: `sound`, `bent`, `cracked`, `corroded 8 %`, `missing`.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Sound => "sound".to_owned(),
            Self::Bent => "bent".to_owned(),
            Self::Cracked => "cracked".to_owned(),
            Self::Corroded(loss) => format!("corroded {loss}"),
            Self::Missing => "missing".to_owned(),
        }
    }

    /// The kind of damage; none for sound members.
    #[must_use]
    pub fn damage(self) -> Option<Damage> {
        Some(match self {
            Self::Sound => return None,
            Self::Bent => Damage::Bent,
            Self::Cracked => Damage::Cracked,
            Self::Corroded(_) => Damage::Corroded,
            Self::Missing => Damage::Missing,
        })
    }
}

/// Condition of every group of members; `None` where it was not inspected.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Members {
    /// The main girder.
    pub main_girder: Option<MemberCondition>,
    /// Both exterior girders.
    pub exterior_girders: Option<MemberCondition>,
    /// Both bolsters.
    pub bolsters: Option<MemberCondition>,
    /// All cross-members.
    pub cross_members: Option<MemberCondition>,
    /// All stringers.
    pub stringers: Option<MemberCondition>,
}

impl Members {
    /// The condition of one group.
    #[must_use]
    pub fn of(&self, group: MemberGroup) -> Option<MemberCondition> {
        match group {
            MemberGroup::MainGirder => self.main_girder,
            MemberGroup::ExteriorGirders => self.exterior_girders,
            MemberGroup::Bolsters => self.bolsters,
            MemberGroup::CrossMembers => self.cross_members,
            MemberGroup::Stringers => self.stringers,
        }
    }
}
