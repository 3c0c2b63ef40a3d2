//! The vehicles that are held to the same levels, and the greatest of what they do.

use crate::model::rules::{Level, Rules};
use crate::quantity::{KipFeet, Kips};
use crate::rate::effects::{Live, STATIONS, VehicleEffects};
use crate::rate::factors::{RatingLevel, allowable_level, factored_level};

/// The vehicles that bar at the same levels, with their greatest effects.
pub(super) struct AtLevels {
    pub by_stress: Level,
    pub by_factors: RatingLevel,
    /// Their indices.
    pub vehicles: Vec<usize>,
    pub allowable: Most,
    pub factored: Most,
}

impl AtLevels {
    /// These vehicles by the levels at which they bar.
    pub(super) fn of(vehicles: &[VehicleEffects], rules: &Rules) -> Vec<Self> {
        let mut found: Vec<(Level, RatingLevel, Vec<usize>)> = Vec::new();
        for (index, vehicle) in vehicles.iter().enumerate() {
            let class = vehicle.vehicle.class;
            let (by_stress, by_factors) =
                (allowable_level(class, &rules.rating), factored_level(class, &rules.rating));
            match found.iter_mut().find(|(s, f, _)| (*s, *f) == (by_stress, by_factors)) {
                Some((_, _, alike)) => alike.push(index),
                None => found.push((by_stress, by_factors, vec![index])),
            }
        }
        let at_levels = |(by_stress, by_factors, alike): (Level, RatingLevel, Vec<usize>)| Self {
            by_stress,
            by_factors,
            allowable: Most::of(alike.iter().map(|&v| &vehicles[v].allowable)),
            factored: Most::of(alike.iter().map(|&v| &vehicles[v].factored)),
            vehicles: alike,
        };
        found.into_iter().map(at_levels).collect()
    }
}

/// The greatest effects of several vehicles in one form.
pub(super) struct Most {
    pub moment: KipFeet,
    /// At each station.
    pub stations: [KipFeet; STATIONS],
    /// At each station and those nearer to the bearing.
    pub up_to: [KipFeet; STATIONS],
    /// With the longest end that the rules leave.
    pub hogging: KipFeet,
    pub shear: Kips,
}

impl Most {
    pub(super) fn of<'v>(lives: impl Iterator<Item = &'v Live>) -> Self {
        let none = [KipFeet(0.0); STATIONS];
        let mut most = Self {
            moment: KipFeet(0.0),
            stations: none,
            up_to: none,
            hogging: KipFeet(0.0),
            shear: Kips(0.0),
        };
        for live in lives {
            most.moment = most.moment.max(live.moment.total);
            most.hogging = most.hogging.max(live.hogging);
            most.shear = most.shear.max(live.shear.total);
            for (most, &live) in most.stations.iter_mut().zip(&live.stations) {
                *most = most.max(live);
            }
        }
        let mut so_far = KipFeet(0.0);
        for (up_to, &station) in most.up_to.iter_mut().zip(&most.stations) {
            so_far = so_far.max(station);
            *up_to = so_far;
        }
        most
    }
}
