//! The vehicles that a bridge is rated for: axle trains, lane loads, classes and sources.
//!
//! ```
//! use spanyard::rate::vehicles::Vehicle;
//! use spanyard::quantity::Tons;
//! let truck = Vehicle::built_in("HS20").unwrap();
//! assert_eq!(truck.gross(), Tons(36.0));
//! ```

use serde::Serialize;

use super::train::{Spacing, Train, TrainError};
use crate::model::rules::{OwnVehicle, Rules};
use crate::model::vehicles::{Axles, BUILT_IN};
pub use crate::model::vehicles::{LaneLoad, LaneUse, VehicleClass};
use crate::quantity::{Kips, Tons};

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
        let built_in = BUILT_IN.iter().filter_map(|known| Self::built_in(known.name)).map(Ok);
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
        let found = BUILT_IN.iter().find(|known| known.name.eq_ignore_ascii_case(name.trim()))?;
        let trains = found.trains.iter().map(train).collect::<Option<Vec<_>>>()?;
        Some(Self {
            name: found.name.to_owned(),
            class: found.class,
            trains,
            lane: found.lane,
            source: found.source.to_owned(),
        })
    }

    /// Gross weight: of the heaviest axle train, without lane load.
    #[must_use]
    pub fn gross(&self) -> Tons {
        self.trains.iter().map(Train::gross).fold(Kips(0.0), Kips::max).into()
    }
}

fn train(axles: &Axles) -> Option<Train> {
    let loads: Vec<_> = axles.loads().collect();
    let spacings: Vec<_> = axles.distances().map(|(least, most)| Spacing { least, most }).collect();
    Train::new(axles.name, &loads, &spacings).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Feet;

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
        for (known, kips) in BUILT_IN.iter().zip(gross) {
            let vehicle = Vehicle::find(known.name, &rules()).unwrap();
            assert_eq!(Kips::from(vehicle.gross()), Kips(kips), "{}", known.name);
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
