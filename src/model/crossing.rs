//! One bridge site that wants a bridge.

use itertools::Itertools;
use jiff::civil::Date;
use serde::Serialize;

use super::place::{Position, RowPlace};
use super::season::Seasons;
use super::words;
use crate::quantity::{Cents, Feet, Kips, Tons};

/// One way to divide the opening: without piers, or with piers between several simple spans.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Layout {
    /// Spans from bearing to bearing, in order along the road.
    pub spans: Vec<Feet>,
    /// Cost of all piers of this layout.
    pub piers_cost: Cents,
}

impl Layout {
    /// Number of piers: one fewer than spans.
    #[must_use]
    pub fn piers(&self) -> usize {
        self.spans.len().saturating_sub(1)
    }

    /// Length from abutment to abutment, between the outermost bearings: all spans, and on each pier the
    /// distance between the bearings of its two spans.
    #[must_use]
    pub fn total(&self, pier_bearings: Feet) -> Feet {
        self.spans.iter().sum::<Feet>() + pier_bearings * self.piers() as f64
    }

    /// `66 ft` or `45 + 45 ft, 1 pier`.
    #[must_use]
    pub fn describe(&self) -> String {
        let spans = self.spans.iter().map(|span| span.0.to_string()).join(" + ");
        match self.piers() {
            0 => format!("{spans} ft"),
            1 => format!("{spans} ft, 1 pier"),
            n => format!("{spans} ft, {n} piers"),
        }
    }
}

words! {
    /// What the agency asks of a bridge beyond matching cars.
    Keep {
        /// The cars of each deck come from one yard.
        OneYard = "one yard",
        /// The decks of all spans are of one section.
        OneSection = "one section",
    }
}

/// A culvert, timber or prefabricated bridge that could be built in place of one of flat cars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherBridge {
    /// What it would cost, in all.
    pub cost: Cents,
    /// What it is.
    pub what: Option<String>,
    /// How long it would last; `None`: not stated.
    pub years: Option<u16>,
}

impl OtherBridge {
    /// `the culvert`, as the crossings file calls it, or `another bridge`.
    #[must_use]
    pub fn words(&self) -> String {
        self.what.as_ref().map_or_else(|| "another bridge".to_owned(), |what| format!("the {what}"))
    }
}

/// A crossing and what its bridge must do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Crossing {
    /// The agency's ID.
    pub id: String,
    /// The road it carries.
    pub road: String,
    /// Layouts the site allows, at least one; the choice takes the cheapest that can be served.
    pub layouts: Vec<Layout>,
    /// What it costs beside the flat-car bridge: abutments, approaches and the like; `None`: not stated,
    /// and not in the total.
    pub other: Option<Cents>,
    /// What that is for.
    pub other_for: Option<String>,
    /// What another bridge would cost there; `None`: not stated.
    pub other_bridge: Option<OtherBridge>,
    /// Distance between the bearings of two spans on one pier; `None`: as the rules have it.
    pub pier_bearings: Option<Feet>,
    /// Clear width between the rails.
    pub clear_width: Feet,
    /// Names of the vehicles it must carry, each of the built-in table or of the rules.
    pub vehicles: Vec<String>,
    /// Name of the deck system, one of the rules'.
    pub deck_system: String,
    /// Most cars side by side.
    pub most_abreast: u8,
    /// Longest load that the route takes; `None`: not surveyed.
    pub haul_length_limit: Option<Feet>,
    /// Greatest width of a car on the route; none where it is not surveyed for width.
    pub haul_width_limit: Option<Feet>,
    /// Greatest height of a load on the route; `None`: not surveyed for height.
    pub haul_height_limit: Option<Feet>,
    /// Heaviest car that the route takes; `None`: not surveyed.
    pub haul_weight_limit: Option<Kips>,
    /// Heaviest pick of the crane at this site; `None`: not known.
    pub crane_limit: Option<Kips>,
    /// Rank: 1 is served before 2, and so on.
    pub priority: u8,
    /// Name of the fund that pays for it, one of the rules'; `None`: the budget alone.
    pub fund: Option<String>,
    /// Day on which it must be open; `None`: no date.
    pub needed_by: Option<Date>,
    /// Days on which nothing is hauled there; `None`: not asked.
    pub no_haul: Option<Seasons>,
    /// Days on which no work is done in the stream; `None`: not asked.
    pub no_stream_work: Option<Seasons>,
    /// What must be kept together, each once.
    pub keep: Vec<Keep>,
    /// Where it is.
    pub position: Position,
    /// Least posting the agency accepts for every vehicle; `None`: no posting is accepted, every
    /// vehicle must rate at least 1.
    pub least_posting: Option<Tons>,
    /// Where the row stands.
    pub place: RowPlace,
}
