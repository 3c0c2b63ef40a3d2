//! How much of the trucks on the bridge stands on one car.
//!
//! Without a tested or engineer-given share one car carries every truck that can stand on it, alone.
//! On a roadway of one lane that is one whole truck. Where more lanes fit, trucks side by side have
//! wheel lines 6, 4, 6, 4 … ft apart, and a wide car may take a line of the neighboring truck too;
//! a line standing in a joint counts by the lever to the two cars beside it.
//!
//! Sources: wheel lines 6 ft apart and 2 ft from the edge of a 10-ft loaded lane, lanes of 12 ft and
//! two lanes from 20 ft: AASHTO LRFD Bridge Design Specifications 3.6.1.1.1 and 3.6.1.3.1 (from
//! memory).

use serde::Serialize;

use crate::model::car::Car;
use crate::model::rules::{JointType, Rules};
use crate::quantity::{Feet, Ratio};

/// Most lanes that the table of presence factors tells apart.
pub const LANES_MOST: usize = 4;
/// Distance between the two wheel lines of a truck.
const GAUGE_FT: f64 = 6.0;
/// Distance between the nearest wheel lines of two trucks side by side.
const BETWEEN_TRUCKS_FT: f64 = 4.0;

/// Number of lanes that a clear width takes: one below 20 ft, two from 20 ft, else one per 12 ft.
#[must_use]
pub fn lanes(clear_width: Feet) -> usize {
    let width = clear_width.0 + crate::check::TOLERANCE;
    match (width / 12.0).floor() {
        by_twelve if by_twelve >= 2.0 => (by_twelve as usize).min(LANES_MOST),
        _ if width >= 20.0 => 2,
        _ => 1,
    }
}

/// Trucks (and parts of trucks) on one car with as many trucks side by side as stand at the index
/// plus one; at least one whole truck.
#[must_use]
pub fn trucks_on_car(width: Feet, joint_gap: Feet) -> [f64; LANES_MOST] {
    let mut trucks = [1.0; LANES_MOST];
    for (i, most) in trucks.iter_mut().enumerate() {
        let sum: f64 = wheel_lines_on_car(width, joint_gap, i + 1).iter().sum();
        *most = f64::max(*most, sum / 2.0);
    }
    trucks
}

/// How much of each wheel line stands on one car, with this many trucks side by side where they load
/// it most; lines that do not reach it are left out.
#[must_use]
pub fn wheel_lines_on_car(width: Feet, joint_gap: Feet, trucks: usize) -> Vec<f64> {
    let (width, gap) = (width.0.max(0.0), joint_gap.0.max(0.0));
    // Share of a wheel line at `place` from the car's left edge.
    let ordinate = |place: f64| {
        let beyond = (-place).max(place - width).max(0.0);
        if beyond <= crate::check::TOLERANCE {
            1.0
        } else if beyond < gap {
            1.0 - beyond / gap
        } else {
            0.0
        }
    };
    let lines = 2 * trucks;
    let offset = |line: usize| {
        (line / 2) as f64 * (GAUGE_FT + BETWEEN_TRUCKS_FT) + (line % 2) as f64 * GAUGE_FT
    };
    let sum_at = |shift: f64| (0..lines).map(|line| ordinate(shift + offset(line))).sum::<f64>();
    // The sum is greatest with some line at an edge of the car, where its share starts to fall.
    let (mut worst, mut most) = (0.0, 0.0);
    for line in 0..lines {
        for edge in [0.0, width] {
            let shift = edge - offset(line);
            let sum = sum_at(shift);
            if sum > most {
                (worst, most) = (shift, sum);
            }
        }
    }
    let shares = (0..lines).map(|line| ordinate(worst + offset(line)));
    shares.filter(|&share| share > 0.0).collect()
}

/// The share of a truck on one car that the agency states, and who answers for it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AgencyShare {
    /// The share.
    pub share: Ratio,
    /// The joint type that it is stated for; none where it holds for all.
    pub joint: Option<String>,
    /// Who answers for it.
    pub source: String,
}

impl AgencyShare {
    /// The greatest share of the joint types that the car's exterior girders are deep enough for, of
    /// all types where their depth is not known: which joint the car gets is not decided yet.
    #[must_use]
    pub fn of(car: &Car, rules: &Rules) -> Self {
        let deep = |joint: &&JointType| {
            let least = joint.exterior_depth_min_in.0 - crate::check::TOLERANCE;
            car.exterior_depth.is_none_or(|depth| depth.0 >= least)
        };
        let general = Self {
            share: Ratio(rules.rating.truck_share),
            joint: None,
            source: rules.rating.truck_share_source.clone(),
        };
        let of_joint = |joint: &JointType| {
            let stated = rules.joint_share.iter().find(|share| share.joint == joint.name);
            stated.map_or_else(
                || general.clone(),
                |stated| Self {
                    share: Ratio(stated.truck_share),
                    joint: Some(joint.name.clone()),
                    source: stated.source.clone(),
                },
            )
        };
        let shares = rules.joint.iter().filter(deep).map(of_joint);
        shares.reduce(|a, b| if b.share.0 > a.share.0 { b } else { a }).unwrap_or(general)
    }
}

/// The load on one car in trucks, with the presence factor of the number of lanes that governs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Share {
    /// Lanes loaded in the governing case.
    pub lanes_loaded: usize,
    /// Trucks on the car with that many lanes loaded.
    pub trucks: f64,
    /// Multiple presence factor.
    pub presence: Ratio,
    /// The agency's share of a truck on one car.
    pub agency: Ratio,
    /// All together: the live load of one lane times this is the car's.
    pub total: Ratio,
}

/// The governing number of lanes for a car.
#[must_use]
pub fn share(
    trucks: &[f64; LANES_MOST],
    lanes: usize,
    presence: &[f64; LANES_MOST],
    agency: f64,
) -> Share {
    let mut best = 0;
    for i in 1..lanes.min(LANES_MOST) {
        if trucks[i] * presence[i] > trucks[best] * presence[best] {
            best = i;
        }
    }
    Share {
        lanes_loaded: best + 1,
        trucks: trucks[best],
        presence: Ratio(presence[best]),
        agency: Ratio(agency),
        total: Ratio(trucks[best] * presence[best] * agency),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lanes_by_clear_width() {
        for (width, expected) in [
            (10.0, 1),
            (19.99, 1),
            (20.0, 2),
            (24.0, 2),
            (35.9, 2),
            (36.0, 3),
            (48.0, 4),
            (90.0, 4),
        ] {
            assert_eq!(lanes(Feet(width)), expected, "{width} ft");
        }
    }

    #[test]
    fn trucks_on_a_car_by_its_width() {
        for (width, gap, one, two) in [
            (5.0, 0.0, 1.0, 1.0),  // narrower than a truck: the whole truck all the same
            (9.0, 0.0, 1.0, 1.0),  // lines at 0 and 6; the next is at 10
            (9.9, 0.0, 1.0, 1.0),  // just short of the third line
            (10.0, 0.0, 1.0, 1.5), // lines at 0, 6, 10 (or 0, 4, 10)
            (16.0, 0.0, 1.0, 2.0), // both trucks
            (9.0, 2.0, 1.0, 1.25), // a line 1 ft into a joint of 2 ft counts half
            (9.0, 0.5, 1.0, 1.0),  // the third line is 1 ft off, beyond the joint
        ] {
            let trucks = trucks_on_car(Feet(width), Feet(gap));
            assert_eq!((trucks[0], trucks[1]), (one, two), "{width} ft with {gap} ft");
        }
    }

    /// 9 ft with joints of 2 ft: lines at 0 and 6 ft on the car, one 1 ft into the joint, the last beyond.
    #[test]
    fn wheel_lines_by_the_lever_over_a_joint() {
        let mut lines = wheel_lines_on_car(Feet(9.0), Feet(2.0), 2);
        lines.sort_by(f64::total_cmp);
        assert_eq!(lines, [0.5, 1.0, 1.0]);
    }

    #[test]
    fn one_lane_loaded_governs_until_the_second_truck_adds_enough() {
        let presence = [1.2, 1.0, 0.85, 0.65];
        let narrow = share(&[1.0, 1.1, 1.1, 1.1], 2, &presence, 1.0);
        assert_eq!((narrow.lanes_loaded, narrow.total), (1, Ratio(1.2)));
        let wide = share(&[1.0, 1.5, 1.5, 1.5], 2, &presence, 0.8);
        assert_eq!(wide.lanes_loaded, 2);
        assert!((wide.total.0 - 1.2).abs() < 1e-12);
        let one_lane = share(&[1.0, 1.5, 1.5, 1.5], 1, &presence, 1.0);
        assert_eq!(one_lane.lanes_loaded, 1);
    }
}
