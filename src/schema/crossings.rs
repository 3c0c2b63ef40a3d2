//! What each crossing gets.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::pieces::{CarName, CheckStated, CostLine, Said, Word};
use crate::check::{Grade, Limit};
use crate::model::crossing::Keep;
use crate::model::rules::FactKind;
use crate::quantity::{Cents, Feet, Inches, Tons};

/// A crossing, and what the plan does for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Crossing {
    /// Its ID.
    pub crossing: String,
    /// The road.
    pub road: String,
    /// Its priority, 1 the most urgent.
    pub priority: u8,
    /// The day on which the bridge must be open.
    pub needed_by: Option<Date>,
    /// The fund that pays for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fund: Option<String>,
    /// Another bridge that could be built there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_bridge: Option<OtherBridge>,
    /// What of the old bridge is kept.
    pub keep: Vec<Keep>,
    /// The clear width asked for.
    pub clear_width_ft: Feet,
    /// The vehicles it must carry.
    pub vehicles: Vec<String>,
    /// The deck system.
    pub deck_system: String,
    /// The least weight posting accepted; none: no posting is.
    pub least_posting_short_tons: Option<Tons>,
    /// What it gets, or why nothing.
    #[serde(flatten)]
    pub status: Status,
}

/// Another bridge, against flat cars.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OtherBridge {
    /// What it would be.
    pub what: Option<String>,
    /// What it would cost.
    pub cost_usd_cents: Cents,
    /// How long it would last.
    pub years: Option<u16>,
    /// What the flat cars save; below zero where they cost more; none where they are not laid.
    pub saves_usd_cents: Option<Cents>,
    /// What it costs by the year of service; none where a life is not stated.
    pub by_the_year_usd_cents: Option<Cents>,
    /// What the flat cars cost by the year of service.
    pub flat_cars_by_the_year_usd_cents: Option<Cents>,
    /// Whether it is cheaper than any flat cars that could be laid.
    pub is_cheaper: bool,
}

/// What a crossing gets, or why nothing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "status", rename_all = "snake_case")]
pub enum Status {
    /// It gets a bridge.
    Served {
        /// Its spans.
        layout: Layout,
        /// The weight posting that the bridge needs; empty where none.
        signs: Vec<Sign>,
        /// The decks, span by span.
        decks: Vec<Deck>,
        /// What it costs, line by line.
        cost_lines: Vec<CostLine>,
        /// The sum of the lines.
        total_usd_cents: Cents,
        /// What was paid already for its cars, by decision, and is not in the sum.
        #[serde(default)]
        paid_already_usd_cents: Cents,
        /// The lowest rating factor, passed or not.
        lowest_rating: Option<Box<Said>>,
        /// The checks passed with the least margin, least first.
        least_margins: Vec<Said>,
        /// What wants attention.
        cautions: Vec<Said>,
        /// The cheapest other bridge, the rest of the plan as it is.
        cheapest_alternative: Option<Alternative>,
        /// Whether no alternative costs less or, without one, there is none.
        #[serde(default)]
        alternative_proven: bool,
        /// Whether every fact that decides is enough to pay on.
        #[serde(default)]
        firm: bool,
        /// What has to be confirmed before money is paid.
        #[serde(default)]
        confirmations: Vec<Confirmation>,
        /// What follows if a car of the bridge is refused, car by car.
        #[serde(default)]
        if_refused: Vec<IfRefused>,
    },
    /// It goes without.
    Unserved {
        /// Why.
        reasons: Vec<CheckStated>,
        /// The car that comes nearest.
        nearest_miss: Option<NearMiss>,
        /// Cars that pass every check of a single car.
        cars_that_pass: Vec<Passing>,
    },
}

/// The spans of a bridge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Layout {
    /// Span by span, from bearing to bearing.
    pub spans_ft: Vec<Feet>,
    /// Piers between them.
    pub piers: usize,
}

/// A fact that is enough to plan with and not enough to pay on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Confirmation {
    /// The car.
    #[serde(flatten)]
    pub name: CarName,
    /// The span, from 1.
    pub span_number: usize,
    /// The facts that are found out together.
    pub kind: FactKind,
    /// The fact, by its column in the inventory; of plates the first column stands for all.
    pub fact: Word,
    /// How well it is known; null: it is not.
    pub evidence_now: Option<Grade>,
    /// How well it must be known.
    pub evidence_needed: Grade,
    /// What it must be, all else as it is.
    pub value_needed: Limit,
    /// How to find it out.
    pub asked: Word,
}

/// What follows if a car is refused, the rest of the plan as it is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct IfRefused {
    /// The car.
    #[serde(flatten)]
    pub name: CarName,
    /// `instead`, `without` or `not worked out`.
    pub then: Word,
    /// The bridge instead; absent where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instead: Option<Alternative>,
    /// What the plan's net cost then is; absent where it cannot be told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plan_net_usd_cents: Option<Cents>,
}

/// A weight posting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sign {
    /// The vehicle.
    pub vehicle: String,
    /// The weight on the sign.
    pub sign_short_tons: Tons,
}

/// The cars side by side over one span.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Deck {
    /// The span, from 1.
    pub span_number: usize,
    /// From bearing to bearing.
    pub span_ft: Feet,
    /// The cars, looking along the road.
    pub cars_left_to_right: Vec<Placed>,
    /// Cars that come on one trailer, load by load.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shared_loads: Vec<Vec<CarName>>,
    /// The joint between neighbors; none for a single car.
    pub joint: Option<Joint>,
    /// Widths and gaps together.
    pub total_width_ft: Feet,
    /// The width required.
    pub required_width_ft: Feet,
    /// Checks of the deck as a whole.
    pub checks: Vec<CheckStated>,
}

/// A car in its deck.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// The length to which its ends are cut at the yard, before hauling; none: it is hauled as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_at_yard_to_ft: Option<Feet>,
    /// Its name.
    #[serde(flatten)]
    pub name: CarName,
    /// The ID of the row that it was a part of, where a decision gave it one of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_listed_as: Option<String>,
    /// Its section.
    pub section: Option<String>,
    /// Its width.
    pub width_ft: Option<Feet>,
    /// Its camber.
    pub camber_in: Option<Inches>,
    /// Its truck centers.
    pub truck_centers_ft: Option<Feet>,
    /// Where it is listed, file:line.
    pub inventory_row: String,
    /// Its checks.
    pub checks: Vec<CheckStated>,
}

/// The joint between neighbors.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Joint {
    /// Its type.
    pub name: String,
    /// Its gap.
    pub gap_in: Inches,
}

/// Another bridge for a crossing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Alternative {
    /// Its spans.
    pub layout: Layout,
    /// Its cars, deck by deck.
    pub decks: Vec<Vec<CarName>>,
    /// What the plan would cost more with it.
    pub extra_usd_cents: Cents,
}

/// The car that comes nearest to a crossing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NearMiss {
    /// The car.
    #[serde(flatten)]
    pub name: CarName,
    /// The span that it was tried on.
    pub span_ft: Feet,
    /// What bars it there.
    pub barred_by: Vec<CheckStated>,
}

/// Cars that pass every check of a single car.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Passing {
    /// The span.
    pub span_ft: Feet,
    /// The cars.
    pub cars: Vec<CarName>,
}
