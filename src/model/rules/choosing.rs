//! Who buys, and rules on ordering, service, screening and grouping.

use jiff::civil::Date;

use super::table::Kind::{Below, Bool, Day, Number, Text, Whole, Wholes, Word, Words};
use super::table::table;
use super::{Damage, ServeFirst};
use crate::model::car::CarKind;
use crate::quantity::{Feet, Inches, Percent, UsdPerPound};

table! {
    /// Who buys: the head of every paper. It decides nothing.
    #[derive(Default)]
    Agency "agency", "" {
        /// Its name; left out: blank, to be filled in by hand.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        name: Option<String> = ("Road Department"), Text;
        /// Who answers for the purchase: person or office, address, telephone, mail.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        contact: Option<String> = ("office, address, telephone"), Text;
        /// Picture of its mark for the head of the plan's page, a PNG, JPEG or SVG file beside the rules;
        /// left out: none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        logo: Option<String> = ("mark.png"), Text;
        /// Days from the order date within which dealers are asked to answer; left out: blank.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        reply_days: Option<u16> = (14), Whole(1, 365);
    }
}

impl Agency {
    /// Whether nothing is said of it.
    pub(super) fn is_unnamed(&self) -> bool {
        *self == Self::default()
    }
}

table! {
    /// Ordering and left-over cars.
    PurchaseRules "purchase", "" {
        /// Day on which orders are placed; left out: today.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        order_date: Option<Date> = ("2026-06-01"), Day;
        /// Days from leaving the yard to open for traffic.
        lead_time_days: u16 = 90, Whole(0, 1000), "common practice, no source";
        /// Worth of a left-over car of a lot, as a share of its even share of the lot's price.
        stock_value_pct: Percent = 20.0, Below(0.0, 100.0), "common practice, no source";
        /// Paid for scrap: what offcuts bring, and what a left-over car of a lot is worth at least.
        scrap_usd_per_lb: UsdPerPound = 0.08, Number(0.0, 10.0), "common practice, no source";
        /// How much dearer than the cheapest plan one may be that changes less of a previous plan, as
        /// a share of net cost.
        change_tolerance_pct: Percent = 1.0, Below(0.0, 100.0), "common practice, no source";
    }
}

table! {
    /// What is served where cars or money do not reach for every crossing.
    ServiceRules "service", "our own" {
        /// What comes first. "most urgent": no crossing is given up for any number of less urgent
        /// ones; "most points": the greatest sum of points, at the least cost.
        first: ServeFirst = "most urgent", Word(ServeFirst::words);
        /// Points of a crossing of priority 1 to 9, for "most points".
        points: Vec<u32> = [9, 8, 7, 6, 5, 4, 3, 2, 1], Wholes(1, 100, 9);
        /// May a bridge of flat cars cost more than another bridge that the crossings file states there?
        above_other_bridge: bool = false, Bool;
        /// Years that a bridge of flat cars serves, by the agency's own experience; left out: no cost by
        /// the year is told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        life_years: Option<u16> = (25), Whole(1, 200);
    }
}

impl ServiceRules {
    /// Points of a crossing of this priority.
    #[must_use]
    pub fn points_of(&self, priority: u8) -> u32 {
        let place = usize::from(priority.saturating_sub(1));
        self.points.get(place).copied().unwrap_or(1)
    }
}

table! {
    /// Limits of the screening.
    ScreenRules "screen", "common practice, no source" {
        /// Kinds of car that may be used.
        kinds_allowed: Vec<CarKind> = ["flat"], Words(CarKind::words, 1);
        /// Greatest corrosion loss of main girder, exterior girders and bolsters.
        primary_loss_max_pct: Percent = 0.0, Number(0.0, 100.0);
        /// Greatest corrosion loss of cross-members and stringers.
        secondary_loss_max_pct: Percent = 10.0, Number(0.0, 100.0);
        /// Damage of secondary members that may be repaired, of bent, cracked, corroded, missing.
        secondary_repairable: Vec<Damage> = ["bent", "corroded"], Words(Damage::words, 0);
        /// Pick weight over the car's weight: rigging, and what the stencil does not say.
        pick_weight_factor: f64 = 1.10, Number(1.0, 3.0);
        /// Between the bearings of two spans on one pier, where the crossing states no distance.
        pier_bearings_ft: Feet = 2.0, Number(0.0, 20.0);
        /// Gap between the ends of two spans' cars over a pier.
        pier_gap_in: Inches = 1.0, Number(0.0, 24.0);
        /// Where an end is cut: so far behind the middle of its bolster, which thus stays whole and holds
        /// the end plate. A shorter end is left as it is; 14 leaves all of them to max_overhang_ft.
        end_behind_bolster_ft: Feet = 1.5, Number(0.0, 14.0);
        /// Overhang beyond a bearing above which the end is trimmed in any case.
        /// Longer ends would let the longer spacings of HS trucks govern the shear.
        max_overhang_ft: Feet = 6.0, Number(0.0, 14.0);
        /// How far inside its bolsters a car may bear without stiffeners and a diaphragm.
        bearing_inside_ft: Feet = 1.0, Number(0.0, 20.0);
        /// May a bolster be cut off with its end, with stiffeners over the bearing?
        bolsters_may_be_cut: bool = false, Bool;
        /// Least camber: a girder that hangs below it has yielded or is broken.
        camber_least_in: Inches = 0.0, Number(-6.0, 6.0);
        /// Greatest sweep of the main girder between its bolsters, and greatest twist of the frame: more
        /// tells of a blow, and loads the girder sideways or one bearing alone.
        sweep_most_in: Inches = 1.0, Number(0.0, 12.0);
        /// See sweep_most_in.
        twist_most_in: Inches = 1.0, Number(0.0, 12.0);
        /// Do winters go below 0 F? Then the notch toughness of old steel is asked for.
        cold_winters: bool = true, Bool;
        /// Tolerance with which seats are set on the job.
        seat_tolerance_in: Inches = 2.0, Number(0.0, 12.0);
    }
}

impl ScreenRules {
    /// Whether a car that bears so far inside its bolsters needs stiffeners and a diaphragm over the
    /// bearing.
    #[must_use]
    pub fn needs_stiffeners(&self, inside: Feet) -> bool {
        inside.0 > self.bearing_inside_ft.0 + crate::check::TOLERANCE
    }
}

table! {
    /// Limits of the grouping.
    GroupRules "group", "common practice, no source" {
        /// Largest less smallest camber in a deck.
        camber_tolerance_in: Inches = 1.0, Number(0.0, 12.0);
        /// Difference of camber between neighbors, the step at mid-span that the joint has to take up: the
        /// plate over it is shimmed and a wheel feels it. Steps of a deck of several cars add up to its spread.
        camber_step_in: Inches = 0.75, Number(0.0, 12.0);
        /// Largest less smallest truck centers in a deck.
        truck_centers_tolerance_ft: Feet = 1.0, Number(0.0, 20.0);
        /// Largest over smallest E·I, or section modulus, of the main girders in a deck: of two cars
        /// the stiffer then carries at most 1.10/2.10 = 52.4 % of a truck between them, not 50 %.
        stiffness_tolerance_pct: Percent = 10.0, Number(0.0, 100.0);
        /// Deepest less shallowest exterior girder in a deck.
        exterior_depth_tolerance_in: Inches = 1.0, Number(0.0, 12.0);
        /// Greatest less smallest depth over all in a deck, from the lowest steel to the top of the deck.
        depth_tolerance_in: Inches = 1.0, Number(0.0, 12.0);
        /// Greatest less smallest ride height in a deck, from bearing to top of deck: the seats are shimmed
        /// for it, and more than an inch makes a stack of plates.
        ride_height_tolerance_in: Inches = 1.0, Number(0.0, 12.0);
        /// Longest less shortest car in a deck.
        length_tolerance_ft: Feet = 1.0, Number(0.0, 20.0);
        /// Largest over smallest weight per foot in a deck: a timber deck on one of two cars makes
        /// about as much.
        weight_tolerance_pct: Percent = 15.0, Number(0.0, 100.0);
        /// Total width above the width required.
        width_allowance_ft: Feet = 2.0, Number(0.0, 30.0);
    }
}
