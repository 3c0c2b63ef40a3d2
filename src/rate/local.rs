//! Stringers and cross-members, where somebody measured them.
//!
//! A stringer is a simple beam between two cross-members; it carries the wheels of one wheel line,
//! half of each axle, standing on it anywhere. A cross-member is a simple beam between the main
//! girder and an exterior girder; it carries the wheels of one line as the stringers hand them on
//! from both sides. Where the exterior girder cannot carry its end, the cross-member is a cantilever
//! instead and an engineer must look at it.
//!
//! A single wheel is spread over its tire patch, 10 in along and 20 in across (AASHTO LRFD
//! 3.6.1.2.5, from memory), which takes `W c / 8` off its moment.

use serde::Serialize;

use super::capacity;
use super::envelope;
use super::factors::{Factor, RatingLevel, Terms, Zone, live_factor, rating_level};
use super::share::Share;
use super::train::Train;
use crate::model::car::{Car, MemberCondition};
use crate::model::rules::{Level, RatingRules};
use crate::quantity::{CubicInches, Feet, KipFeet, Kips, Ksi, Psf, Ratio};

/// Length of a tire patch along the road.
const PATCH_ALONG: Feet = Feet(10.0 / 12.0);
/// Width of a tire patch across the road.
const PATCH_ACROSS: Feet = Feet(20.0 / 12.0);
/// Distance between the wheel lines of a truck.
const GAUGE: Feet = Feet(6.0);
/// Distance between the nearest wheel lines of two trucks side by side.
const BETWEEN_TRUCKS: Feet = Feet(4.0);
/// Impact on a short member in the allowable-stress form: the formula's cap.
pub(super) const IMPACT_ALLOWABLE: f64 = 0.30;

/// Which member.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// A stringer.
    Stringer,
    /// A cross-member.
    CrossMember,
}

impl Part {
    /// In words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stringer => "stringer",
            Self::CrossMember => "cross-member",
        }
    }
}

/// A secondary member that can be rated.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LocalMember {
    /// Which.
    pub part: Part,
    /// Section modulus as measured.
    #[serde(rename = "measured_in3")]
    pub measured: CubicInches,
    /// Section modulus less the corrosion loss.
    #[serde(rename = "net_in3")]
    pub net: CubicInches,
    /// Its span: the stringer's is the cross-members' spacing, the cross-member's is half the car's
    /// width.
    #[serde(rename = "span_ft")]
    pub span: Feet,
    /// Spacing of its likes, whose deck it carries.
    #[serde(rename = "spacing_ft")]
    pub spacing: Feet,
}

/// The secondary members of a car: each can be rated, or the reason why not.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LocalMembers {
    /// The stringers.
    pub stringer: Result<LocalMember, String>,
    /// The cross-members.
    pub cross_member: Result<LocalMember, String>,
}

impl LocalMembers {
    /// The secondary members of a car of this width.
    pub(super) fn of(car: &Car, width: Feet) -> Self {
        let data = &car.secondary;
        let (members, spacing) = (&car.members, data.cross_member_spacing);
        Self {
            stringer: member(
                Part::Stringer,
                (data.stringer_modulus, data.stringer_spacing),
                spacing,
                members.stringers,
            ),
            cross_member: member(
                Part::CrossMember,
                (data.cross_member_modulus, spacing),
                Some(width / 2.0),
                members.cross_members,
            ),
        }
    }

    /// Those that can be rated.
    pub fn rated(&self) -> impl Iterator<Item = &LocalMember> {
        [&self.stringer, &self.cross_member].into_iter().filter_map(|member| member.as_ref().ok())
    }
}

fn member(
    part: Part,
    (modulus, spacing): (Option<CubicInches>, Option<Feet>),
    span: Option<Feet>,
    condition: Option<MemberCondition>,
) -> Result<LocalMember, String> {
    let name = part.word();
    let (Some(measured), Some(spacing), Some(span)) = (modulus, spacing, span) else {
        return Err(format!("{name}s not measured"));
    };
    if ![measured.0, spacing.0, span.0].iter().all(|x| x.is_finite() && *x > 0.0) {
        return Err(format!("{name}s with a measure that is not more than 0"));
    }
    let left = match condition {
        Some(MemberCondition::Sound) => 1.0,
        Some(MemberCondition::Corroded(loss)) if (0.0..100.0).contains(&loss.0) => {
            1.0 - loss.fraction()
        }
        Some(damaged) => return Err(format!("{name}s {}: rate them repaired", damaged.words())),
        None => return Err(format!("{name}s not inspected")),
    };
    Ok(LocalMember { part, measured, net: measured * left, span, spacing })
}

/// The wheels that make a member's greatest moment, with the steps to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wheels {
    /// Index of the axle train.
    pub train: usize,
    /// The axle at the section.
    pub axle: usize,
    /// Whether the train faces the far end.
    pub reversed: bool,
    /// Where it stands on the simple beam that the axles are put on.
    pub section: Feet,
    /// Length of that beam: the stringer, or the two spacings beside a cross-member.
    pub length: Feet,
    /// Moment of the whole axles at the section.
    pub axles: KipFeet,
    /// Distance between two wheel lines.
    pub apart: Feet,
    /// How the member carries its part of them.
    pub carried: Carried,
    /// The member's moment.
    pub moment: KipFeet,
}

/// How a member carries wheels.
#[derive(Clone, Copy, Debug)]
pub(super) enum Carried {
    /// A stringer: so many wheel lines along it, of one wheel alone, spread over its patch, or of more.
    Along { alone: Option<Kips>, patch: Feet, lines: f64, trucks: usize },
    /// A cross-member: one line of this weight at its middle, spread over its patch.
    OneAcross { line: Kips, patch: Feet },
    /// A cross-member: two lines of this weight each.
    TwoAcross { line: Kips },
}

/// What the rating of a secondary member needs besides the member.
#[derive(Clone, Copy)]
pub(super) struct LocalCase<'a> {
    pub steel: Ksi,
    /// Deck and car, per area.
    pub dead: Psf,
    /// Wearing surface and overlay, per area.
    pub wearing: Psf,
    pub lanes: usize,
    pub rules: &'a RatingRules,
}

impl LocalMember {
    /// The greatest moment of a vehicle's wheels on this member, without impact.
    pub(super) fn live_moment(&self, trains: &[Train], lanes: usize) -> KipFeet {
        self.wheels(trains, lanes).map_or(KipFeet(0.0), |wheels| wheels.moment)
    }

    /// The wheels that make the greatest moment on this member.
    pub(super) fn wheels(&self, trains: &[Train], lanes: usize) -> Option<Wheels> {
        let apart = if lanes > 1 { BETWEEN_TRUCKS } else { GAUGE };
        let mut worst: Option<Wheels> = None;
        for (index, train) in trains.iter().enumerate() {
            let wheels = match self.part {
                Part::Stringer => self.on_stringer(train, lanes)?,
                Part::CrossMember => self.on_cross_member(train, apart)?,
            };
            if worst.is_none_or(|most| wheels.moment > most.moment) {
                worst = Some(Wheels { train: index, ..wheels });
            }
        }
        worst
    }

    /// Half of each axle on the stringer, times the wheel lines that it carries.
    fn on_stringer(&self, train: &Train, trucks: usize) -> Option<Wheels> {
        let peak = envelope::max_moment(train, self.span)?;
        let alone = peak.on_span.0 == peak.on_span.1;
        // One wheel alone stands at mid-span.
        let alone = alone.then(|| train.axles()[peak.axle].load / 2.0);
        let patch = PATCH_ALONG.min(self.span);
        let spread = alone.map_or(KipFeet(0.0), |wheel| wheel * (patch / 8.0));
        let lines = wheel_lines(trucks, self.spacing);
        Some(Wheels {
            train: 0,
            axle: peak.axle,
            reversed: false,
            section: peak.section,
            length: self.span,
            axles: peak.moment,
            apart: if trucks > 1 { BETWEEN_TRUCKS } else { GAUGE },
            carried: Carried::Along { alone, patch, lines, trucks },
            moment: (peak.moment / 2.0 - spread) * lines,
        })
    }

    /// The wheels handed on to one cross-member, as one or two lines on its span.
    fn on_cross_member(&self, train: &Train, apart: Feet) -> Option<Wheels> {
        // The stringers on both sides hand on an influence triangle over two spacings, whose height
        // is 1: a moment at the middle of twice the spacing has the height of half the spacing.
        let length = self.spacing * 2.0;
        let middle = envelope::section_moment(train, length, self.spacing)?;
        let line = middle.moment / (self.spacing / 2.0) / 2.0;
        let patch = PATCH_ACROSS.min(self.span);
        let one = line * ((self.span / 4.0) - patch / 8.0);
        let arm = self.span / 2.0 - apart / 4.0;
        let two =
            if apart < self.span { line * 2.0 * (arm / self.span) * arm } else { KipFeet(0.0) };
        let carried = if two > one {
            Carried::TwoAcross { line }
        } else {
            Carried::OneAcross { line, patch }
        };
        Some(Wheels {
            train: 0,
            axle: middle.axle,
            reversed: middle.reversed,
            section: self.spacing,
            length,
            axles: middle.moment,
            apart,
            carried,
            moment: one.max(two),
        })
    }

    /// Moments of deck and car, and of the wearing surface: `w l2 / 8` on the member's spacing.
    pub(super) fn dead_moments(&self, case: &LocalCase) -> (KipFeet, KipFeet) {
        let moment = |load: Psf| (load * self.spacing) * self.span * (self.span / 8.0);
        (moment(case.dead), moment(case.wearing))
    }

    /// Bending by allowable stress.
    pub(super) fn allowable(
        &self,
        case: &LocalCase,
        live: KipFeet,
        level: Level,
    ) -> Factor<KipFeet> {
        let share = capacity::bending_stress_share(level, case.rules);
        let (dead, wearing) = self.dead_moments(case);
        let terms = Terms {
            level: rating_level(level),
            zone: Zone::Span,
            section: self.span / 2.0,
            capacity: capacity::bending(share, case.steel, self.net),
            dead,
            wearing,
            dead_factor: 1.0,
            wearing_factor: 1.0,
            live: live * (1.0 + IMPACT_ALLOWABLE),
            live_factor: 1.0,
            share: whole(case.rules.allowable_stress_factors.presence[0]),
        };
        terms.rate()
    }

    /// Bending by load and resistance.
    pub(super) fn factored(
        &self,
        case: &LocalCase,
        live: KipFeet,
        level: RatingLevel,
    ) -> Factor<KipFeet> {
        let factors = &case.rules.resistance_factors;
        let (dead, wearing) = self.dead_moments(case);
        let terms = Terms {
            level,
            zone: Zone::Span,
            section: self.span / 2.0,
            capacity: capacity::bending(capacity::resistance(factors), case.steel, self.net),
            dead,
            wearing,
            dead_factor: factors.dead,
            wearing_factor: factors.wearing,
            live: live * (1.0 + factors.impact),
            live_factor: live_factor(level, case.rules),
            share: whole(factors.presence[0]),
        };
        terms.rate()
    }
}

/// How far the other wheel lines of so many trucks side by side stand from one of them, for each line
/// that may stand on the stringer.
pub(super) fn lines_beside(trucks: usize) -> Vec<Vec<Feet>> {
    let truck = |number: usize| (GAUGE + BETWEEN_TRUCKS) * number as f64;
    let places: Vec<Feet> =
        (0..trucks.max(1)).flat_map(|number| [truck(number), truck(number) + GAUGE]).collect();
    let beside = |at: usize| {
        let others = places.iter().enumerate().filter(move |(other, _)| *other != at);
        others.map(|(_, place)| (*place - places[at]).abs()).collect()
    };
    (0..places.len()).map(beside).collect()
}

/// Wheel lines that one stringer carries: one stands on it, and each of the others hands on its part
/// by the lever between stringers. All of them are tried in its place; between two of them the sum
/// runs in straight lines and bends down only at a line that stands on a stringer.
pub(super) fn wheel_lines(trucks: usize, spacing: Feet) -> f64 {
    let part = |distance: &Feet| (1.0 - *distance / spacing).max(0.0);
    let of = |beside: Vec<Feet>| 1.0 + beside.iter().map(part).sum::<f64>();
    lines_beside(trucks).into_iter().map(of).fold(1.0, f64::max)
}

/// A wheel is not shared between cars.
fn whole(presence: f64) -> Share {
    Share {
        lanes_loaded: 1,
        trucks: 1.0,
        presence: Ratio(presence),
        agency: Ratio(1.0),
        total: Ratio(presence),
    }
}

#[cfg(test)]
mod tests;
