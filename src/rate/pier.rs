//! What a pier carries: the reaction of the cars of both its spans under each vehicle.
//!
//! A truck over the pier stands on the cars of both spans. The influence line of the pier's reaction
//! rises from the far bearing of either span, is 1 over each of its two bearings, and goes on rising to
//! the ends of the cars, `(L + a) / L`; in the gap between the ends the greater of the two counts. It
//! is greatest with some axle at one of the ends.

use serde::Serialize;

use super::dead_load::{DeadLoad, DeckLoad};
use super::girder::Girder;
use super::train::{Spacing, Train};
use super::vehicles::{LaneUse, Vehicle, VehicleError};
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::ends::{ends, pier_bearings};
use crate::model::index::CrossingIx;
use crate::model::inputs::Site;
use crate::model::rules::Rules;
use crate::quantity::{Feet, Kips};

/// The greatest reaction of one lane of a vehicle on a pier, without impact.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PierReaction {
    /// The vehicle.
    pub vehicle: String,
    /// Its reaction, of one lane.
    #[serde(rename = "reaction_kip")]
    pub reaction: Kips,
}

/// The two spans of a pier, from the middle between its bearings.
#[derive(Clone, Copy, Debug)]
struct Influence {
    /// The spans.
    spans: [f64; 2],
    /// Distance between the two bearings.
    bearings: f64,
    /// How far the cars reach beyond their bearings toward each other.
    end: f64,
}

impl Influence {
    /// The reaction of a load of 1, so far from the middle; below zero on the first span.
    fn at(&self, place: f64) -> f64 {
        let beyond_middle = self.bearings / 2.0 - self.end;
        let of = |span: f64, distance: f64| {
            // From the far bearing, which lies the span beyond the near one.
            ((span + self.bearings / 2.0 - distance) / span).max(0.0)
        };
        if place.abs() <= beyond_middle {
            return self.tips();
        }
        of(self.spans[usize::from(place > 0.0)], place.abs())
    }

    /// The greater ordinate at the ends of the cars.
    fn tips(&self) -> f64 {
        self.spans.iter().map(|span| (span + self.end) / span).fold(0.0, f64::max)
    }

    /// Area under the line: `(L + a)^2 / (2 L)` of each span, and the gap under its greater end.
    fn area(&self) -> f64 {
        let of = |span: &f64| (span + self.end).powi(2) / (2.0 * span);
        self.spans.iter().map(of).sum::<f64>()
            + (self.bearings - 2.0 * self.end).max(0.0) * self.tips()
    }

    /// The greatest reaction of a train: some axle at the end of one of the cars.
    fn greatest(&self, train: &Train) -> f64 {
        let tip = (self.bearings / 2.0 - self.end).max(0.0);
        let axles = train.axles();
        let mut most = 0.0_f64;
        for sign in [1.0, -1.0] {
            for at in axles {
                for place in [tip, -tip] {
                    let of = |axle: &super::train::Axle| {
                        axle.load.0 * self.at(place + sign * (axle.offset.0 - at.offset.0))
                    };
                    most = most.max(axles.iter().map(of).sum());
                }
            }
        }
        most
    }

    fn of_vehicle(&self, vehicle: &Vehicle) -> f64 {
        let trucks = vehicle.trains.iter().map(|train| self.greatest(train)).fold(0.0, f64::max);
        match &vehicle.lane {
            None => trucks,
            Some(lane) => {
                let uniform = lane.uniform.0 * self.area();
                match lane.lane_use {
                    LaneUse::WithTruck => {
                        let two = vehicle.trains.iter().filter_map(two_trucks);
                        let two = two.map(|train| self.greatest(&train)).fold(0.0, f64::max);
                        (trucks + uniform).max(TWO_TRUCKS * (two + uniform))
                    }
                    LaneUse::InsteadOfTruck => trucks.max(uniform + lane.for_shear.0 * self.tips()),
                }
            }
        }
    }
}

/// What counts of two trucks with the lane load (AASHTO LRFD 3.6.1.3.1, from memory).
const TWO_TRUCKS: f64 = 0.9;

/// The least distance from the last axle of one of them to the first of the next.
const BETWEEN_TRUCKS: Feet = Feet(50.0);

/// Two design trucks one behind the other; none for the tandem.
fn two_trucks(train: &Train) -> Option<Train> {
    let loads: Vec<Kips> = train.axles().iter().map(|axle| axle.load).collect();
    let spacings: Vec<Spacing> =
        train.spacings().iter().map(|spacing| Spacing::fixed(spacing.least)).collect();
    let between = [Spacing::fixed(BETWEEN_TRUCKS)];
    let spacings = [&spacings[..], &between, &spacings[..]].concat();
    let two = Train::new("two trucks", &loads.repeat(2), &spacings).ok();
    two.filter(|_| train.name() == "truck")
}

/// What the cars of both its spans lay on a pier: dead load and wearing surface, each car with the most
/// that any place in the deck brings, over its span and its end at the pier; what the far end takes off is
/// not counted. `None`: a car whose dead load is not known, or a pier that there is not.
#[must_use]
pub fn pier_dead_load(
    crossing: &Crossing,
    layout: usize,
    pier: usize,
    cars: [&[&Car]; 2],
    rules: &Rules,
) -> Option<Kips> {
    let influence = influence(crossing, layout, pier, rules)?;
    let deck = DeckLoad::of(crossing, rules).ok()?;
    let mut total = Kips(0.0);
    for (span, cars) in influence.spans.map(Feet).into_iter().zip(cars) {
        for car in cars {
            let girder = Girder::of(car, rules).ok()?;
            let dead = DeadLoad::of(&girder, &deck);
            let length = span + girder.overhang(span, Feet(influence.end));
            total += (dead.components() + dead.surfacing()) * length * (length / span / 2.0);
        }
    }
    Some(total)
}

/// The reactions of a pier, one for each vehicle that the crossing names and each that is legal in the
/// state. `pier` counts from 0; none for a layout or pier that there is not.
///
/// # Errors
/// A vehicle that is not known.
pub fn pier_reactions(
    crossing: &Crossing,
    layout: usize,
    pier: usize,
    rules: &Rules,
) -> Result<Vec<PierReaction>, VehicleError> {
    let Some(influence) = influence(crossing, layout, pier, rules) else { return Ok(Vec::new()) };
    let mut names: Vec<&String> = crossing.vehicles.iter().collect();
    for legal in &rules.posting.legal_vehicles {
        if !names.iter().any(|name| name.eq_ignore_ascii_case(legal)) {
            names.push(legal);
        }
    }
    let reaction = |name: &String| {
        let vehicle = Vehicle::find(name, rules)?;
        let reaction = Kips(influence.of_vehicle(&vehicle));
        Ok(PierReaction { vehicle: vehicle.name, reaction })
    };
    names.into_iter().map(reaction).collect()
}

fn influence(crossing: &Crossing, layout: usize, pier: usize, rules: &Rules) -> Option<Influence> {
    let spans = &crossing.layouts.get(layout)?.spans;
    let spans = [spans.get(pier)?.0, spans.get(pier + 1)?.0];
    let site = Site { crossing: CrossingIx(0), layout, span: pier };
    // As long as the ends over the pier may be, whatever cars lie there.
    let end = ends(&rules.screen, crossing, site, Feet(0.0), None)[1].most.0;
    let bearings = pier_bearings(&rules.screen, crossing).0;
    spans.iter().all(|span| *span > 0.0).then_some(Influence { spans, bearings, end })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn truck(name: &str) -> Vehicle {
        Vehicle::built_in(name).unwrap()
    }

    /// By hand, two spans of 45 ft whose bearings lie 2 ft apart, ends of 11.5 in, so that 1 in is left
    /// between them: an axle at an end counts (45 + 11.5 / 12) / 45 = 1.021296.
    #[test]
    fn a_truck_over_a_pier_loads_both_spans() {
        let end = 11.5 / 12.0;
        let pier = Influence { spans: [45.0, 45.0], bearings: 2.0, end };
        assert!((pier.tips() - 1.021_296_296).abs() < 1e-9);
        // At a bearing 1, at a far bearing 0.
        for (place, ordinate) in [(1.0, 1.0), (-1.0, 1.0), (46.0, 0.0), (-46.0, 0.0), (23.5, 0.5)] {
            assert!((pier.at(place) - ordinate).abs() < 1e-12, "{place}");
        }
        // HS20, 8, 32, 32 at 14 ft: the middle axle at the end of one span, 1/24 ft before the middle; the
        // rear axle 14 ft from it on the other span, 13.958333 ft from the middle, the steering axle
        // 14.041667 ft from it: 32 x 1.021296 + 32 (46 - 13.958333) / 45 + 8 (46 - 14.041667) / 45.
        let by_hand = 32.0 * 1.021_296_296 + 32.0 * 32.041_667 / 45.0 + 8.0 * 31.958_333 / 45.0;
        assert!((pier.greatest(&truck("HS20").trains[0]) - by_hand).abs() < 1e-4);
        // More than the reaction of one span alone: (32 + 32 x 31 / 45 + 8 x 17 / 45) = 57.1.
        assert!(by_hand > 57.1);
    }

    /// Brute force in steps of 0.01 ft never finds more.
    #[test]
    fn no_other_position_gives_more() {
        for (spans, bearings, end) in
            [([45.0, 45.0], 2.0, 11.5 / 12.0), ([30.0, 60.0], 5.5, 2.7), ([25.0, 40.0], 0.0, 0.0)]
        {
            let pier = Influence { spans, bearings, end };
            for name in ["H20", "HS20", "Type 3", "Type 3-3", "SU7", "EV3"] {
                let train = &truck(name).trains[0];
                let most = pier.greatest(train);
                let mut brute = 0.0_f64;
                for step in -12_000..12_000 {
                    let front = f64::from(step) * 0.01;
                    let of = |sign: f64| -> f64 {
                        let axles = train.axles().iter();
                        axles.map(|a| a.load.0 * pier.at(front + sign * a.offset.0)).sum()
                    };
                    brute = brute.max(of(1.0)).max(of(-1.0));
                }
                assert!(brute <= most + 1e-9 && brute > most - 0.1, "{name}: {brute}, {most}");
            }
        }
    }

    /// The lane load of H20 on two spans of 50 ft whose bearings are one: 0.64 x 50 + 26 = 58 kip.
    #[test]
    fn lane_loads_cover_both_spans() {
        let pier = Influence { spans: [50.0, 50.0], bearings: 0.0, end: 0.0 };
        assert!((pier.area() - 50.0).abs() < 1e-12);
        assert!((pier.of_vehicle(&truck("H20")) - 58.0).abs() < 1e-9);
        // HL-93: 72 kip truck, 32 + 32 x 36/50 + 8 x 36/50 = 60.8, with 0.64 x 50 = 32.
        assert!((pier.of_vehicle(&truck("HL-93")) - 92.8).abs() < 1e-9);
    }

    /// Two trucks of HL-93, 50 ft apart, on two spans of 100 ft, by hand: the rear axle of the first over the
    /// pier, 32 (1 + 0.86) + 8 x 0.72, the second 50 ft from it on the other span, 8 x 0.50 + 32 (0.36 + 0.22):
    /// 87.84 kip; 0.9 (87.84 + 0.64 x 100) = 136.656, more than one truck with it, 66.4 + 64 = 130.4.
    #[test]
    fn two_trucks_over_a_pier() {
        let pier = Influence { spans: [100.0, 100.0], bearings: 0.0, end: 0.0 };
        let two = two_trucks(&truck("HL-93").trains[0]).unwrap();
        assert!((pier.greatest(&two) - 87.84).abs() < 1e-9);
        assert!((pier.of_vehicle(&truck("HL-93")) - 136.656).abs() < 1e-9);
        assert!(two_trucks(&truck("HL-93").trains[1]).is_none());
    }
}
