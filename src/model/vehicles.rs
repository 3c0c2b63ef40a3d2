//! The vehicles that every installation knows, as numbers: axle loads, spacings, lane loads, class
//! and source. `rate::vehicles` makes axle trains of them.

use serde::Serialize;

use super::words;
use crate::quantity::{Feet, Kips, KipsPerFoot};

const STANDARD: &str =
    "AASHTO Standard Specifications for Highway Bridges, 17th ed. 2002, art. 3.7 (from memory)";
const LRFD: &str = "AASHTO LRFD Bridge Design Specifications, art. 3.6.1.2 (from memory), borne out \
    by rating factors that the Ohio DOT publishes, sheet PSBDD-1-25";
/// Axle loads and spacings read in the notes of another program, which name the Manual's appendix.
/// How the rating factors bear them out: `tests/rating/ohio_box_beams.rs`.
const MBE: &str = "AASHTO Manual for Bridge Evaluation, 6A.4.4.2.1 and appendix D6A, as quoted in \
    another program, borne out by rating factors that the Ohio DOT publishes, sheet PSBDD-1-25";
/// Axle loads and spacings read in two independent programs that both name the Manual: the bridge
/// library of the Washington State DOT (WBFL, LRFD vehicle factory) and CivilPy 2026 (vehicles).
const SHV: &str = "AASHTO Manual for Bridge Evaluation, 6A.4.4.2.1b and figure D6A-2, as coded in the \
    bridge library WBFL of the Washington State DOT, borne out by rating factors that the Ohio DOT \
    publishes, sheet PSBDD-1-25";
/// The Ohio DOT's sheet does not have the notional load.
const NOTIONAL: &str = "AASHTO Manual for Bridge Evaluation, 6A.4.4.2.1b and figure D6A-2, as coded \
    in the bridge library WBFL of the Washington State DOT";
const EV2: &str = "emergency vehicles of the FAST Act, within the axle limits of 23 U.S.C. 127(r); \
    axle spacing borne out by rating factors that the Ohio DOT publishes, sheet PSBDD-1-25";
/// EV3 has a load factor of its own there that was not readable; with one factor all rows agree.
const EV3: &str = "emergency vehicles of the FAST Act, within the axle limits of 23 U.S.C. 127(r); \
    axle spacings borne out, but for one factor, by rating factors that the Ohio DOT publishes, \
    sheet PSBDD-1-25";

words! {
    /// What a vehicle stands for; the rules choose factors and barring level by it.
    VehicleClass {
        /// A notional load for which bridges are designed.
        Design = "design",
        /// A load that the law allows everywhere.
        Legal = "legal",
        /// A fire engine or the like.
        Emergency = "emergency",
        /// A vehicle that the agency states in its rules.
        Own = "own",
    }
}

/// How a lane load acts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LaneUse {
    /// Instead of the truck, whichever is worse; takes impact (H and HS loads).
    InsteadOfTruck,
    /// Together with the truck; takes no impact (HL-93).
    WithTruck,
}

/// A lane load: a uniform load with one concentrated load at the worst place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LaneLoad {
    /// Uniform load along the lane.
    #[serde(rename = "uniform_kip_per_ft")]
    pub uniform: KipsPerFoot,
    /// Concentrated load for moment.
    #[serde(rename = "concentrated_for_moment_kip")]
    pub for_moment: Kips,
    /// Concentrated load for shear.
    #[serde(rename = "concentrated_for_shear_kip")]
    pub for_shear: Kips,
    /// How it acts.
    #[serde(rename = "acts")]
    pub lane_use: LaneUse,
}

/// One of the axle trains of a vehicle.
#[derive(Clone, Copy, Debug)]
pub struct Axles {
    /// `truck` or `tandem`.
    pub name: &'static str,
    /// Axle loads from the front.
    pub kips: &'static [f64],
    /// Least and greatest distance from each axle to the next, ft.
    pub spacings: &'static [(f64, f64)],
}

/// A built-in vehicle.
#[derive(Clone, Copy, Debug)]
pub struct BuiltIn {
    /// Its name, as crossings name it.
    pub name: &'static str,
    /// What it stands for.
    pub class: VehicleClass,
    /// Its axle trains, of which the worst counts.
    pub trains: &'static [Axles],
    /// Its lane load.
    pub lane: Option<LaneLoad>,
    /// Where the numbers come from.
    pub source: &'static str,
}

/// A distance that does not vary.
const fn at(feet: f64) -> (f64, f64) {
    (feet, feet)
}

/// The distance of the rear axles of HS loads.
const HS_REAR: (f64, f64) = (14.0, 30.0);

const HS20: Axles =
    Axles { name: "truck", kips: &[8.0, 32.0, 32.0], spacings: &[at(14.0), HS_REAR] };

const fn truck(kips: &'static [f64], spacings: &'static [(f64, f64)]) -> Axles {
    Axles { name: "truck", kips, spacings }
}

const fn instead(uniform: f64, for_moment: f64, for_shear: f64) -> Option<LaneLoad> {
    Some(LaneLoad {
        uniform: KipsPerFoot(uniform),
        for_moment: Kips(for_moment),
        for_shear: Kips(for_shear),
        lane_use: LaneUse::InsteadOfTruck,
    })
}

const fn vehicle(
    name: &'static str,
    class: VehicleClass,
    trains: &'static [Axles],
    lane: Option<LaneLoad>,
    source: &'static str,
) -> BuiltIn {
    BuiltIn { name, class, trains, lane, source }
}

use VehicleClass::{Design, Emergency, Legal};

/// The built-in vehicles, in the order in which they are listed.
pub const BUILT_IN: &[BuiltIn] = &[
    vehicle(
        "H15",
        Design,
        &[truck(&[6.0, 24.0], &[at(14.0)])],
        instead(0.48, 13.5, 19.5),
        STANDARD,
    ),
    vehicle(
        "H20",
        Design,
        &[truck(&[8.0, 32.0], &[at(14.0)])],
        instead(0.64, 18.0, 26.0),
        STANDARD,
    ),
    vehicle(
        "HS15",
        Design,
        &[truck(&[6.0, 24.0, 24.0], &[at(14.0), HS_REAR])],
        instead(0.48, 13.5, 19.5),
        STANDARD,
    ),
    vehicle("HS20", Design, &[HS20], instead(0.64, 18.0, 26.0), STANDARD),
    vehicle(
        "HL-93",
        Design,
        &[HS20, Axles { name: "tandem", kips: &[25.0, 25.0], spacings: &[at(4.0)] }],
        Some(LaneLoad {
            uniform: KipsPerFoot(0.64),
            for_moment: Kips(0.0),
            for_shear: Kips(0.0),
            lane_use: LaneUse::WithTruck,
        }),
        LRFD,
    ),
    vehicle("Type 3", Legal, &[truck(&[16.0, 17.0, 17.0], &[at(15.0), at(4.0)])], None, MBE),
    vehicle(
        "Type 3S2",
        Legal,
        &[truck(&[10.0, 15.5, 15.5, 15.5, 15.5], &[at(11.0), at(4.0), at(22.0), at(4.0)])],
        None,
        MBE,
    ),
    vehicle(
        "Type 3-3",
        Legal,
        &[truck(
            &[12.0, 12.0, 12.0, 16.0, 14.0, 14.0],
            &[at(15.0), at(4.0), at(15.0), at(16.0), at(4.0)],
        )],
        None,
        MBE,
    ),
    // Specialized hauling vehicles: single units, 10 ft behind the front axle, then 4 ft each.
    vehicle(
        "SU4",
        Legal,
        &[truck(&[12.0, 8.0, 17.0, 17.0], &[at(10.0), at(4.0), at(4.0)])],
        None,
        SHV,
    ),
    vehicle(
        "SU5",
        Legal,
        &[truck(&[12.0, 8.0, 8.0, 17.0, 17.0], &[at(10.0), at(4.0), at(4.0), at(4.0)])],
        None,
        SHV,
    ),
    vehicle(
        "SU6",
        Legal,
        &[truck(
            &[11.5, 8.0, 8.0, 17.0, 17.0, 8.0],
            &[at(10.0), at(4.0), at(4.0), at(4.0), at(4.0)],
        )],
        None,
        SHV,
    ),
    vehicle(
        "SU7",
        Legal,
        &[truck(
            &[11.5, 8.0, 8.0, 17.0, 17.0, 8.0, 8.0],
            &[at(10.0), at(4.0), at(4.0), at(4.0), at(4.0), at(4.0)],
        )],
        None,
        SHV,
    ),
    // The notional rating load, which stands for all of them.
    vehicle(
        "NRL",
        Legal,
        &[truck(
            &[6.0, 8.0, 8.0, 17.0, 17.0, 8.0, 8.0, 8.0],
            &[(6.0, 14.0), at(4.0), at(4.0), at(4.0), at(4.0), at(4.0), at(4.0)],
        )],
        None,
        NOTIONAL,
    ),
    vehicle("EV2", Emergency, &[truck(&[24.0, 33.5], &[at(15.0)])], None, EV2),
    vehicle("EV3", Emergency, &[truck(&[24.0, 31.0, 31.0], &[at(15.0), at(4.0)])], None, EV3),
];

impl Axles {
    /// Axle loads as quantities.
    pub fn loads(&self) -> impl Iterator<Item = Kips> {
        self.kips.iter().copied().map(Kips)
    }

    /// Least and greatest distances as quantities.
    pub fn distances(&self) -> impl Iterator<Item = (Feet, Feet)> {
        self.spacings.iter().map(|&(least, most)| (Feet(least), Feet(most)))
    }
}
