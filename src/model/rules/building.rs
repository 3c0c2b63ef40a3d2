//! Rules on what is built: joints, decks, rails; and what the agency states of its own: vehicles, a
//! truck's share, funds.

use super::table::Kind::{Above, Bool, Money, Number, Numbers, Text};
use super::table::{list, table};
use crate::quantity::{
    BasisPoints, Cents, Feet, Inches, Kips, KipsPerFoot, Percent, Psf, UsdPerFoot, UsdPerSquareFoot,
};

list! {
    /// A longitudinal joint between two neighboring cars.
    JointType "joint" {
        /// Its name.
        name: String, Text;
        /// Smallest gap it closes.
        gap_min_in: Inches, Number(0.0, 48.0);
        /// Widest gap it closes.
        gap_max_in: Inches, Number(0.0, 48.0);
        /// Least depth of the exterior girders on both sides.
        exterior_depth_min_in: Inches, Number(0.0, 60.0);
        /// Cost per foot of joint; covers closing the gap for traffic.
        usd_per_ft: UsdPerFoot, Number(0.0, 10_000.0);
        /// Weight per foot of joint. Pounds typed for kips lie far outside.
        weight_kip_per_ft: KipsPerFoot, Number(0.0, 5.0);
    }
    r#"
# Joints between neighboring cars; common practice, no source, all of it.
[[joint]]
name = "bolted plate"
gap_min_in = 0.0
gap_max_in = 2.0
exterior_depth_min_in = 8.0
usd_per_ft = 38.0
weight_kip_per_ft = 0.020
[[joint]]
name = "concrete beam"
gap_min_in = 4.0
gap_max_in = 18.0
exterior_depth_min_in = 12.0
usd_per_ft = 96.0
weight_kip_per_ft = 0.160
"#
}

list! {
    /// The agency's share of a truck on one car beside joints of one type.
    JointShare "joint_share" {
        /// Name of the joint type.
        joint: String, Text;
        /// Share of a truck on one car.
        truck_share: f64, Above(0.0, 1.0);
        /// Who answers for it.
        source: String, Text;
    }
    r#"
# Share of a truck on one car beside joints of one type, where a load test or an engineer's analysis
# says so; joints not named have rating.truck_share. Which joint a car gets is decided after its rating,
# so it counts with the greatest share of the joints that its exterior girders are deep enough for.
# [[joint_share]]
# joint = "concrete beam"
# truck_share = 0.75
# source = "load test at Gorse Road, 2025-08-14"
"#
}

list! {
    /// A deck system.
    DeckSystem "deck" {
        /// Its name, as crossings name it.
        name: String, Text;
        /// Cost per square foot of car.
        usd_per_sqft: UsdPerSquareFoot, Number(0.0, 1000.0);
        /// Dead load without the wearing surface.
        dead_psf: Psf, Number(0.0, 500.0);
        /// Wearing surface.
        wearing_psf: Psf, Number(0.0, 500.0);
        /// Whether it is the car's own deck, which must then be sound.
        keeps_car_deck: bool, Bool;
    }
    r#"
# Deck systems; unit costs: common practice, no source; weights from unit weights of timber 50 pcf,
# concrete 150 pcf, steel 490 pcf, asphalt 144 pcf, from memory.
[[deck]]
name = "timber"
usd_per_sqft = 14.0
dead_psf = 17.0             # 4 in of timber at 50 pcf
wearing_psf = 0.0
keeps_car_deck = false
[[deck]]
name = "concrete"
usd_per_sqft = 24.0
dead_psf = 75.0             # 6 in at 150 pcf
wearing_psf = 0.0
keeps_car_deck = false
[[deck]]
name = "steel plate and asphalt"
usd_per_sqft = 31.0
dead_psf = 15.4             # 3/8 in at 490 pcf, 15.31 rounded up
wearing_psf = 24.0          # 2 in at 144 pcf
keeps_car_deck = false
[[deck]]
name = "car deck"           # the car's own, where it is sound
usd_per_sqft = 0.0
dead_psf = 0.0              # within the car's weight
wearing_psf = 0.0
keeps_car_deck = true
"#
}

table! {
    /// Rails, on both sides.
    RailRules "rail", "common practice, no source" {
        /// Cost per foot of each side.
        usd_per_ft: UsdPerFoot = 46.0, Number(0.0, 10_000.0);
        /// Deck width taken on each side.
        width_ft: Feet = 0.75, Number(0.0, 5.0);
        /// Weight per foot of each side.
        weight_kip_per_ft: KipsPerFoot = 0.050, Number(0.0, 2.0);
        /// Approach rail at each of the four corners, with its end.
        approach_ft: Feet = 12.5, Number(0.0, 500.0);
        /// Cost per foot of approach rail.
        approach_usd_per_ft: UsdPerFoot = 60.0, Number(0.0, 10_000.0);
    }
}

list! {
    /// A vehicle of the agency's own.
    OwnVehicle "vehicle" {
        /// Its name, as crossings name it.
        name: String, Text;
        /// Axle loads from the front.
        axles_kip: Vec<Kips>, Numbers(0.0, 200.0, 1, 50);
        /// Distances between neighboring axles, one fewer than axles.
        spacings_ft: Vec<Feet>, Numbers(0.0, 100.0, 0, 49);
        /// Where the numbers come from.
        source: String, Text;
    }
    r#"
# Vehicles of the agency's own: axle loads in kips from the front, spacings in feet between them.
# [[vehicle]]
# name = "gravel truck"
# axles_kip = [14.0, 17.0, 17.0]
# spacings_ft = [13.0, 4.5]
# source = "scale ticket of 2025-10-02"
"#
}

list! {
    /// Money that pays for certain crossings only.
    Fund "fund" {
        /// Its name, as crossings name it.
        name: String, Text;
        /// The most it may pay.
        #[serde(with = "crate::quantity::dollars")]
        usd: Cents, Money(0.0, 1e9);
    }
    r#"
# Funds: money that pays for certain crossings only, those that name it in the column `fund` of the
# crossings file. It pays for them everything but what several share: trips to yards, cars of lots that
# are left over, and cars bought only for a price break. What it leaves unspent pays for nothing else.
# [[fund]]
# name = "school routes"
# usd = 180000.0              # the most it may still pay
"#
}

list! {
    /// A fund that pays a share only, and the fund that pays the rest.
    Grant "grant" {
        /// The fund of the rules that pays the share.
        fund: String, Text;
        /// The most that it pays of what each crossing that names it costs alone.
        share_pct: Percent, Number(0.01, 99.99);
        /// The fund of the rules that pays the rest.
        match_fund: String, Text;
    }
    r#"
# Grants: funds that pay a share only of the crossings that name them, up to what they may pay in all;
# the match fund pays the rest, beside the crossings that name it itself. At most five grants have one
# match fund.
# [[grant]]
# fund = "bridge grant"       # a [[fund]]
# share_pct = 80.0            # of what each crossing costs alone, whole hundredths of a per cent
# match_fund = "road levy"    # another [[fund]], which is no grant
"#
}

impl Grant {
    /// The share, exact.
    #[must_use]
    pub fn share(&self) -> BasisPoints {
        BasisPoints((self.share_pct.0 * 100.0).round() as u32)
    }
}
