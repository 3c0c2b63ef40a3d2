//! The greatest live-load moment along the half span, as the greatest of parabolas.
//!
//! With one axle of a train at the section and a run of its neighbors on the span, the moment is a
//! parabola in the section's distance from the bearing. Carried on beyond the sections at which that
//! run is what stands on the span, the parabola only understates: an axle left out would add, and one
//! that is off the span counts with less than nothing. So at every section the greatest of all the
//! parabolas is the envelope, and the least rating factor of a girder that tapers is the least of those
//! under each parabola alone, which are smooth.

use super::train::Train;
use super::vehicles::{LaneUse, Vehicle};
use crate::quantity::{Feet, KipFeet};

/// `a s^2 + b s + c`, in kip-ft, with impact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Piece {
    square: f64,
    slope: f64,
    constant: f64,
}

impl Piece {
    /// The moment at this distance from the bearing; below what acts there where another piece is more.
    pub(super) fn at(&self, section: Feet) -> KipFeet {
        KipFeet((self.square * section.0 + self.slope) * section.0 + self.constant)
    }

    fn plus(self, other: Self) -> Self {
        Self {
            square: self.square + other.square,
            slope: self.slope + other.slope,
            constant: self.constant + other.constant,
        }
    }

    fn times(self, factor: f64) -> Self {
        Self {
            square: self.square * factor,
            slope: self.slope * factor,
            constant: self.constant * factor,
        }
    }
}

/// The pieces of a vehicle's moment envelope, valid from the bearing to mid-span.
pub(super) fn pieces(vehicle: &Vehicle, span: Feet, with_impact: f64) -> Vec<Piece> {
    let lane = vehicle.lane.map(|lane| {
        // w s (L - s) / 2 + P s (L - s) / L, which is c s (L - s).
        let c = lane.uniform.0 / 2.0 + lane.for_moment.0 / span.0;
        (lane.lane_use, Piece { square: -c, slope: c * span.0, constant: 0.0 })
    });
    let mut pieces = Vec::new();
    for train in &vehicle.trains {
        of_train(train, span, &mut pieces);
    }
    for piece in &mut pieces {
        *piece = piece.times(with_impact);
        if let Some((LaneUse::WithTruck, lane)) = lane {
            *piece = piece.plus(lane);
        }
    }
    if let Some((LaneUse::InsteadOfTruck, lane)) = lane {
        pieces.push(lane.times(with_impact));
    }
    pieces
}

/// Every run of neighboring axles with each of its axles as the section, the train going either way.
fn of_train(train: &Train, span: Feet, pieces: &mut Vec<Piece>) {
    let (axles, length) = (train.axles(), span.0);
    for first in 0..axles.len() {
        for last in first..axles.len() {
            let run = &axles[first..=last];
            if (run[run.len() - 1].offset - run[0].offset).0 > length {
                break;
            }
            for at in run {
                for way in [1.0, -1.0] {
                    let (mut weight, mut about, mut before) = (0.0, 0.0, 0.0);
                    for axle in run {
                        let arm = way * (axle.offset.0 - at.offset.0);
                        weight += axle.load.0;
                        about += axle.load.0 * arm;
                        before += axle.load.0 * (-arm).max(0.0);
                    }
                    pieces.push(Piece {
                        square: -weight / length,
                        slope: weight - about / length,
                        constant: -before,
                    });
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::vehicles::BUILT_IN;
    use crate::rate::effects;

    /// The greatest of the pieces is the moment with an axle at the section, at any section of the half
    /// span.
    #[test]
    fn the_greatest_of_the_pieces_is_the_envelope() {
        for known in BUILT_IN {
            let vehicle = Vehicle::built_in(known.name).unwrap();
            for span in [9.0, 23.7, 44.0, 71.2, 98.0].map(Feet) {
                let pieces = pieces(&vehicle, span, 1.33);
                for step in 1..=97 {
                    let section = span / 2.0 * (f64::from(step) / 97.0);
                    let most =
                        pieces.iter().map(|p| p.at(section)).fold(KipFeet(0.0), KipFeet::max);
                    let found = effects::moment_at(&vehicle, span, section, 1.33).unwrap();
                    assert!((most.0 - found.0).abs() < 1e-9 * found.0.max(1.0), "{}", known.name);
                }
            }
        }
    }
}
