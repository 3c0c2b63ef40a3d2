//! One retired flat car on offer, or a batch of identical ones.

use jiff::civil::Date;
use serde::Serialize;

use super::evidence::Evidences;
pub use super::members::{Damage, MemberCondition, MemberGroup, Members};

use super::index::{LotIx, YardIx};
use super::place::RowPlace;
use super::words;
use crate::quantity::{Cents, CubicInches, Feet, Inches, Kips, Ksi, Percent};

words! {
    /// The kind of car, by how it carries its load.
    CarKind {
        /// Carries its load on its frame: the kind that makes a bridge.
        Flat = "flat",
        /// A flat car with end bulkheads.
        BulkheadFlat = "bulkhead flat",
        /// Open car with sides that share the load.
        Gondola = "gondola",
        /// Closed car; sides and roof carry.
        Boxcar = "boxcar",
        /// Car for motor vehicles; its superstructure carries.
        CarHauler = "car hauler",
    }
}

words! {
    /// Whether the main girder is one with the frame.
    Underframe {
        /// It is: it carries what stands on the car.
        Fixed = "fixed",
        /// The center sill slides in the frame to cushion shocks, and does not carry with it.
        Sliding = "sliding",
    }
}

words! {
    /// How the plates of the main girder are held together.
    Fabrication {
        /// Built up with rivets or bolts.
        Riveted = "riveted",
        /// Welded.
        Welded = "welded",
    }
}

words! {
    /// The surface on a car's deck as it comes.
    CarDeck {
        /// No deck left.
        NoDeck = "none",
        /// Planks.
        Timber = "timber",
        /// Steel plate.
        SteelPlate = "steel plate",
    }
}

words! {
    /// Soundness of the car's own deck.
    DeckCondition {
        /// Fit to carry traffic as it is.
        Sound = "sound",
        /// Worn: to be replaced.
        Worn = "worn",
        /// Rotten, holed or missing in parts.
        Failed = "failed",
    }
}

words! {
    /// State of the coating.
    Coating {
        /// Holds.
        Sound = "sound",
        /// Flakes or is worn through in places.
        Worn = "worn",
        /// Gone.
        Failed = "failed",
    }
}

words! {
    /// Whether the paint holds lead.
    LeadStatus {
        /// Tested, no lead found.
        Free = "lead-free",
        /// Tested, lead found.
        Present = "lead",
    }
}

/// A plate measured with calipers: width (or depth, for a web) and thickness.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Plate {
    /// Width across, or depth for a web.
    pub width_in: Inches,
    /// Thickness as new; losses are recorded apart.
    pub thickness_in: Inches,
}

/// The main girder's plates at mid-span, as measured.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GirderPlates {
    /// Number of webs: two for a box, one for an I.
    pub webs: u8,
    /// One web, clear depth between the flanges at mid-span, and its thickness.
    pub web: Plate,
    /// Clear depth of the web at the wheel trucks, for girders that taper; `None`: as at mid-span.
    pub web_depth_at_trucks_in: Option<Inches>,
    /// Top flange.
    pub top_flange: Plate,
    /// Bottom flange.
    pub bottom_flange: Plate,
    /// Cover plate on the top flange.
    pub top_cover: Option<Plate>,
    /// Cover plate under the bottom flange.
    pub bottom_cover: Option<Plate>,
    /// Share of the web's thickness lost to corrosion.
    pub web_loss_pct: Percent,
    /// Share of the top flange's (and its cover's) thickness lost.
    pub top_loss_pct: Percent,
    /// Share of the bottom flange's (and its cover's) thickness lost.
    pub bottom_loss_pct: Percent,
}

/// What is known of the main girder's strength. Measured plates outrank a stated modulus.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct MainGirder {
    /// Section modulus at mid-span as the dealer or a drawing states it.
    pub stated_modulus: Option<CubicInches>,
    /// Who states it.
    pub modulus_source: Option<String>,
    /// Measured plates.
    pub plates: Option<GirderPlates>,
    /// Greatest length of the compression flange without lateral support.
    pub unbraced_ft: Option<Feet>,
}

/// Dimensions of the secondary members, where somebody measured them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct SecondaryMembers {
    /// Section modulus of one stringer.
    pub stringer_modulus: Option<CubicInches>,
    /// Distance between stringers.
    pub stringer_spacing: Option<Feet>,
    /// Section modulus of one cross-member.
    pub cross_member_modulus: Option<CubicInches>,
    /// Distance between cross-members.
    pub cross_member_spacing: Option<Feet>,
}

/// When a car can leave the yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Availability {
    /// Stands in the yard, free.
    Now,
    /// Free from this day.
    From(Date),
}

/// One car on offer, or a batch of identical cars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Car {
    /// The dealer's ID; unique with the dealer's name.
    pub id: String,
    /// The dealer's name.
    pub dealer: String,
    /// The yard it stands in.
    pub yard: YardIx,
    /// The lot it is sold with; `None`: sold singly.
    pub lot: Option<LotIx>,
    /// Whether the agency owns it already: it is used, not bought.
    pub owned: bool,
    /// How many identical cars the row offers, at least 1.
    pub quantity: u32,
    /// Kind of car.
    pub kind: Option<CarKind>,
    /// Name of the cross-section design.
    pub section: Option<String>,
    /// Name that cars share of which no two may lie in one deck; `None`: free.
    pub apart: Option<String>,
    /// Length over ends.
    pub length: Option<Feet>,
    /// Distance between the centerlines of the two wheel trucks.
    pub truck_centers: Option<Feet>,
    /// Width over the exterior girders.
    pub width: Option<Feet>,
    /// Width over all that stands out: stake pockets, ladders.
    pub width_over_all: Option<Feet>,
    /// Depth over all, from the lowest steel to the top of the deck.
    pub depth_over_all: Option<Inches>,
    /// Ride height: from the underside of the bolsters, where the car bears, to the top of the deck.
    pub ride_height: Option<Inches>,
    /// Sideways bow of the main girder between the bolsters.
    pub sweep: Option<Inches>,
    /// How far one corner lies out of the plane of the others.
    pub twist: Option<Inches>,
    /// Whether the main girder is one with the frame.
    pub underframe: Option<Underframe>,
    /// How the main girder's plates are held together.
    pub fabrication: Option<Fabrication>,
    /// Whether members were repaired, spliced or straightened before.
    pub repaired: Option<bool>,
    /// Length of the main girder's cover plates, about mid-length.
    pub cover_length: Option<Feet>,
    /// Notch toughness of the main girder's steel, as stated.
    pub toughness: Option<String>,
    /// Camber at mid-length over the line through the bolsters; negative for a sag.
    pub camber: Option<Inches>,
    /// Year built.
    pub year_built: Option<i16>,
    /// Yield strength of the steel, stated.
    pub steel_yield: Option<Ksi>,
    /// Who states the yield strength.
    pub yield_source: Option<String>,
    /// The main girder's strength data.
    pub girder: MainGirder,
    /// Depth of the shallower exterior girder.
    pub exterior_depth: Option<Inches>,
    /// Dimensions of the secondary members.
    pub secondary: SecondaryMembers,
    /// Weight of the car as offered, without its wheel trucks.
    pub weight: Option<Kips>,
    /// The car's own deck.
    pub deck: Option<CarDeck>,
    /// Soundness of the car's own deck.
    pub deck_condition: Option<DeckCondition>,
    /// Coating.
    pub coating: Option<Coating>,
    /// Lead in the paint; `None`: not tested, so lead is assumed.
    pub lead: Option<LeadStatus>,
    /// Condition of the members.
    pub members: Members,
    /// Whether the car was ever in a wreck.
    pub wrecked: Option<bool>,
    /// Price of one car, sold singly; of a car of the agency's own, what it is worth to the agency.
    pub price: Option<Cents>,
    /// Last day on which the quote holds.
    pub quote_expires: Option<Date>,
    /// When it can leave the yard.
    pub available: Option<Availability>,
    /// Free remarks, carried along.
    pub notes: Option<String>,
    /// Where the row stands.
    pub place: RowPlace,
    /// What its facts rest on, where that is not the row.
    #[serde(skip)]
    pub evidence: Evidences,
}

impl Car {
    /// One car of which nothing is known but who offers it where.
    #[must_use]
    pub fn unknown(id: &str, dealer: &str, yard: YardIx, place: RowPlace) -> Self {
        Self {
            id: id.to_owned(),
            dealer: dealer.to_owned(),
            yard,
            lot: None,
            owned: false,
            quantity: 1,
            kind: None,
            section: None,
            apart: None,
            length: None,
            truck_centers: None,
            width: None,
            width_over_all: None,
            depth_over_all: None,
            ride_height: None,
            sweep: None,
            twist: None,
            underframe: None,
            fabrication: None,
            repaired: None,
            cover_length: None,
            toughness: None,
            camber: None,
            year_built: None,
            steel_yield: None,
            yield_source: None,
            girder: MainGirder::default(),
            exterior_depth: None,
            secondary: SecondaryMembers::default(),
            weight: None,
            deck: None,
            deck_condition: None,
            coating: None,
            lead: None,
            members: Members::default(),
            wrecked: None,
            price: None,
            quote_expires: None,
            available: None,
            notes: None,
            place,
            evidence: Evidences::default(),
        }
    }

    /// Width on the road: over all that stands out, where that is known, else over the exterior girders.
    #[must_use]
    pub fn width_on_road(&self) -> Option<Feet> {
        Some(self.width?.max(self.width_over_all.unwrap_or_default()))
    }

    /// Whether it is bought, and not only with a lot.
    #[must_use]
    pub fn is_sold_singly(&self) -> bool {
        self.lot.is_none() && !self.owned
    }

    /// Dealer and ID, the car's name across all files: `Olver Cars OC-12`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{} {}", self.dealer, self.id)
    }
}
