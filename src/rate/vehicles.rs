//! The vehicles that a bridge is rated for: axle trains, lane loads, classes and sources.
//!
//! ```
//! use spanyard::rate::vehicles::{BUILT_IN, Vehicle};
//! use spanyard::quantity::Tons;
//! let truck = Vehicle::built_in("HS20").unwrap();
//! assert_eq!(truck.gross(), Tons(36.0));
//! assert!(BUILT_IN.contains(&"Type 3S2"));
//! ```

use serde::Serialize;

use super::train::{Spacing, Train, TrainError};
use crate::model::rules::{OwnVehicle, Rules};
use crate::model::words;
use crate::quantity::{Feet, Kips, KipsPerFoot, Tons};

/// Names of the vehicles that every installation knows, in the order in which they are listed.
pub const BUILT_IN: &[&str] = &[
    "H15", "H20", "HS15", "HS20", "HL-93", "Type 3", "Type 3S2", "Type 3-3", "SU4", "SU5", "SU6",
    "SU7", "NRL", "EV2", "EV3",
];

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

/// A vehicle: one axle train or several of which the worst counts, perhaps with a lane load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Vehicle {
    /// Its name, as crossings name it.
    pub name: String,
    /// What it stands for.
    pub class: VehicleClass,
    /// Its axle trains, at least one; the one that asks more of the bridge counts.
    pub trains: Vec<Train>,
    /// Its lane load.
    pub lane: Option<LaneLoad>,
    /// Where the numbers come from.
    pub source: String,
}

/// Why there is no such vehicle.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum VehicleError {
    /// Neither built in nor in the rules.
    #[error("no vehicle is named `{0}`; `spanyard vehicles` lists them all")]
    Unknown(String),
    /// The agency's vehicle is not an axle train.
    #[error("vehicle `{name}` of the rules: {problem}")]
    Impossible {
        /// Its name.
        name: String,
        /// What is wrong with it.
        problem: TrainError,
    },
}

impl Vehicle {
    /// The vehicle of this name: the agency's own, else built in. Upper and lower case are alike.
    ///
    /// # Errors
    /// The name is not known, or the agency's vehicle is not a possible axle train.
    pub fn find(name: &str, rules: &Rules) -> Result<Self, VehicleError> {
        let name = name.trim();
        match rules.vehicle.iter().find(|own| own.name.trim().eq_ignore_ascii_case(name)) {
            Some(own) => Self::own(own),
            None => Self::built_in(name).ok_or_else(|| VehicleError::Unknown(name.to_owned())),
        }
    }

    /// Every vehicle: the built-in ones and the agency's.
    ///
    /// # Errors
    /// One of the agency's vehicles is not a possible axle train.
    pub fn all(rules: &Rules) -> Result<Vec<Self>, VehicleError> {
        let built_in = BUILT_IN.iter().filter_map(|name| Self::built_in(name)).map(Ok);
        built_in.chain(rules.vehicle.iter().map(Self::own)).collect()
    }

    /// A vehicle of the agency's.
    ///
    /// # Errors
    /// Its numbers make no axle train: none or a load that is not positive, a spacing that is not
    /// positive, or a count of spacings that does not fit.
    pub fn own(own: &OwnVehicle) -> Result<Self, VehicleError> {
        let spacings: Vec<_> = own.spacings_ft.iter().map(|&s| Spacing::fixed(s)).collect();
        let train = Train::new("truck", &own.axles_kip, &spacings)
            .map_err(|problem| VehicleError::Impossible { name: own.name.clone(), problem })?;
        Ok(Self {
            name: own.name.clone(),
            class: VehicleClass::Own,
            trains: vec![train],
            lane: None,
            source: own.source.clone(),
        })
    }

    /// The built-in vehicle of this name.
    #[must_use]
    pub fn built_in(name: &str) -> Option<Self> {
        use VehicleClass::{Design, Emergency, Legal};
        let name = *BUILT_IN.iter().find(|known| known.eq_ignore_ascii_case(name.trim()))?;
        let hs_rear = Spacing { least: Feet(14.0), most: Feet(30.0) };
        let hs20 = || train("truck", &[8.0, 32.0, 32.0], &[fixed(14.0), hs_rear]);
        let (class, trains, lane, source) = match name {
            "H15" => {
                let truck = train("truck", &[6.0, 24.0], &[fixed(14.0)]);
                (Design, vec![truck], Some(lane_instead(0.48, 13.5, 19.5)), STANDARD)
            }
            "H20" => {
                let truck = train("truck", &[8.0, 32.0], &[fixed(14.0)]);
                (Design, vec![truck], Some(lane_instead(0.64, 18.0, 26.0)), STANDARD)
            }
            "HS15" => {
                let truck = train("truck", &[6.0, 24.0, 24.0], &[fixed(14.0), hs_rear]);
                (Design, vec![truck], Some(lane_instead(0.48, 13.5, 19.5)), STANDARD)
            }
            "HS20" => (Design, vec![hs20()], Some(lane_instead(0.64, 18.0, 26.0)), STANDARD),
            "HL-93" => {
                let lane = LaneLoad {
                    uniform: KipsPerFoot(0.64),
                    for_moment: Kips(0.0),
                    for_shear: Kips(0.0),
                    lane_use: LaneUse::WithTruck,
                };
                let tandem = train("tandem", &[25.0, 25.0], &[fixed(4.0)]);
                (Design, vec![hs20(), tandem], Some(lane), LRFD)
            }
            "Type 3" => {
                let truck = train("truck", &[16.0, 17.0, 17.0], &[fixed(15.0), fixed(4.0)]);
                (Legal, vec![truck], None, MBE)
            }
            "Type 3S2" => {
                let spacings = [11.0, 4.0, 22.0, 4.0].map(fixed);
                let truck = train("truck", &[10.0, 15.5, 15.5, 15.5, 15.5], &spacings);
                (Legal, vec![truck], None, MBE)
            }
            "Type 3-3" => {
                let spacings = [15.0, 4.0, 15.0, 16.0, 4.0].map(fixed);
                let truck = train("truck", &[12.0, 12.0, 12.0, 16.0, 14.0, 14.0], &spacings);
                (Legal, vec![truck], None, MBE)
            }
            // Specialized hauling vehicles: single units with closely spaced axles.
            "SU4" => (Legal, vec![single_unit(&[12.0, 8.0, 17.0, 17.0])], None, SHV),
            "SU5" => (Legal, vec![single_unit(&[12.0, 8.0, 8.0, 17.0, 17.0])], None, SHV),
            "SU6" => (Legal, vec![single_unit(&[11.5, 8.0, 8.0, 17.0, 17.0, 8.0])], None, SHV),
            "SU7" => (Legal, vec![single_unit(&[11.5, 8.0, 8.0, 17.0, 17.0, 8.0, 8.0])], None, SHV),
            // The notional rating load, which stands for all of them.
            "NRL" => {
                let mut spacings = [fixed(4.0); 7];
                spacings[0] = Spacing { least: Feet(6.0), most: Feet(14.0) };
                let truck = train("truck", &[6.0, 8.0, 8.0, 17.0, 17.0, 8.0, 8.0, 8.0], &spacings);
                (Legal, vec![truck], None, NOTIONAL)
            }
            "EV2" => {
                let truck = train("truck", &[24.0, 33.5], &[fixed(15.0)]);
                (Emergency, vec![truck], None, EV2)
            }
            "EV3" => {
                let truck = train("truck", &[24.0, 31.0, 31.0], &[fixed(15.0), fixed(4.0)]);
                (Emergency, vec![truck], None, EV3)
            }
            _ => return None,
        };
        let trains = trains.into_iter().collect::<Option<Vec<_>>>()?;
        Some(Self { name: name.to_owned(), class, trains, lane, source: source.to_owned() })
    }

    /// Gross weight: of the heaviest axle train, without lane load.
    #[must_use]
    pub fn gross(&self) -> Tons {
        self.trains.iter().map(Train::gross).fold(Kips(0.0), Kips::max).into()
    }
}

fn fixed(feet: f64) -> Spacing {
    Spacing::fixed(Feet(feet))
}

fn train(name: &'static str, kips: &[f64], spacings: &[Spacing]) -> Option<Train> {
    let loads: Vec<_> = kips.iter().map(|&k| Kips(k)).collect();
    Train::new(name, &loads, spacings).ok()
}

/// A single unit: 10 ft behind the front axle, then 4 ft each.
fn single_unit(kips: &[f64]) -> Option<Train> {
    let spacing = |i| fixed(if i == 0 { 10.0 } else { 4.0 });
    let spacings: Vec<_> = (0..kips.len() - 1).map(spacing).collect();
    train("truck", kips, &spacings)
}

fn lane_instead(uniform: f64, for_moment: f64, for_shear: f64) -> LaneLoad {
    LaneLoad {
        uniform: KipsPerFoot(uniform),
        for_moment: Kips(for_moment),
        for_shear: Kips(for_shear),
        lane_use: LaneUse::InsteadOfTruck,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules() -> Rules {
        toml::from_str(&crate::model::rules::DEFAULT_RULES).unwrap()
    }

    #[test]
    fn every_name_of_the_list_is_a_vehicle_of_that_gross_weight() {
        // Gross weights in kips as in the sources named beside each vehicle.
        let gross = [
            30.0, 40.0, 54.0, 72.0, 72.0, 50.0, 72.0, 80.0, 54.0, 62.0, 69.5, 77.5, 80.0, 57.5,
            86.0,
        ];
        assert_eq!(BUILT_IN.len(), gross.len());
        for (name, kips) in BUILT_IN.iter().zip(gross) {
            let vehicle = Vehicle::find(name, &rules()).unwrap();
            assert_eq!(Kips::from(vehicle.gross()), Kips(kips), "{name}");
            assert!(!vehicle.source.is_empty());
        }
    }

    #[test]
    fn names_are_found_in_either_case_and_unknown_ones_are_named() {
        assert_eq!(Vehicle::find(" type 3s2 ", &rules()).unwrap().name, "Type 3S2");
        let error = Vehicle::find("HS99", &rules()).unwrap_err();
        assert_eq!(
            error.to_string(),
            "no vehicle is named `HS99`; `spanyard vehicles` lists them all"
        );
    }

    #[test]
    fn an_agency_vehicle_must_be_an_axle_train() {
        let own = |axles: &[f64], spacings: &[f64]| OwnVehicle {
            name: "gravel truck".to_owned(),
            axles_kip: axles.iter().map(|&k| Kips(k)).collect(),
            spacings_ft: spacings.iter().map(|&s| Feet(s)).collect(),
            source: "scale ticket".to_owned(),
        };
        let good = Vehicle::own(&own(&[14.0, 17.0, 17.0], &[13.0, 4.5])).unwrap();
        assert_eq!(good.class, VehicleClass::Own);
        assert_eq!(good.gross(), Tons(24.0));
        for (axles, spacings, words) in [
            (&[14.0, 17.0][..], &[][..], "2 axles have 1 spacings between them, not 0"),
            (&[14.0, 17.0], &[-13.0], "spacing 1 is -13 ft; it must be more than 0"),
            (&[14.0, 17.0], &[0.0], "spacing 1 is 0 ft; it must be more than 0"),
            (&[14.0, -1.0], &[13.0], "axle 2 weighs -1 kip; it must weigh more than 0"),
            (&[14.0, f64::NAN], &[13.0], "axle 2 weighs NaN kip; it must weigh more than 0"),
            (&[14.0, 1.0], &[f64::INFINITY], "spacing 1 is inf ft; it must be more than 0"),
            (&[], &[], "it has no axles"),
        ] {
            let error = Vehicle::own(&own(axles, spacings)).unwrap_err().to_string();
            assert_eq!(error, format!("vehicle `gravel truck` of the rules: {words}"));
        }
    }

    /// The notional load is at least as bad as every single unit from 20 to 100 ft (from memory,
    /// NCHRP Report 575, which made it for that).
    #[test]
    fn the_notional_load_covers_the_single_units() {
        use crate::rate::envelope::{end_shear, max_moment};
        let truck = |name| Vehicle::built_in(name).unwrap().trains[0].clone();
        for span in 20..=100 {
            let span = Feet(f64::from(span));
            for name in ["SU4", "SU5", "SU6", "SU7"] {
                let of = |train| {
                    let (m, v) = (
                        max_moment(train, span).unwrap(),
                        end_shear(train, span, Feet(0.0)).unwrap(),
                    );
                    (m.moment.0, v.shear.0)
                };
                let (notional, single) = (of(&truck("NRL")), of(&truck(name)));
                assert!(notional.0 >= single.0 - 1e-9, "{name} moment at {span}");
                assert!(notional.1 >= single.1 - 1e-9, "{name} shear at {span}");
            }
        }
    }

    #[test]
    fn an_agency_vehicle_takes_the_place_of_a_built_in_one_of_its_name() {
        let mut rules = rules();
        rules.vehicle.push(OwnVehicle {
            name: "H20".to_owned(),
            axles_kip: vec![Kips(9.0), Kips(33.0)],
            spacings_ft: vec![Feet(14.0)],
            source: "state law".to_owned(),
        });
        assert_eq!(Vehicle::find("H20", &rules).unwrap().gross(), Tons(21.0));
    }
}
