//! What governs a span: the greatest load effects of all vehicles that are held to the same levels.
//!
//! A rating factor falls as the live load rises, so whether *all* vehicles reach 1 at a section is
//! one question about the greatest of their effects there. The answer is the same as that of the
//! vehicles one by one, to the last bit, and costs as much for twelve vehicles as for one.

mod levels;
mod moduli;

use levels::{AtLevels, Most};
use moduli::Moduli;

use super::effects::{Live, STATIONS, VehicleEffects};
use super::girder::Girder;
use super::loads::SpanLoads;
use super::local::LocalMember;
use super::on_span::{BETWEEN_STATIONS, Form, OnSpan};
use super::outcome::{
    deflection_outcome, factor_outcome, least_accepted, legal_outcome, no_shear_outcome,
    posting_outcome, reaches_one,
};
use super::posting::posting;
use super::rating::{counting_forms, least_of, least_of_members};
use super::vehicles::VehicleClass;
use crate::check::{Barred, Code, TOLERANCE};
use crate::model::rules::Rules;
use crate::quantity::{Feet, KipFeet};

/// A bound that stands for several sections decides only with this much to spare, far above rounding;
/// nearer to 1 every section is worked out.
const TO_SPARE: f64 = 1e-6;

/// One span with what governs on it.
pub struct Governing<'a> {
    loads: SpanLoads,
    rules: &'a Rules,
    levels: Vec<AtLevels>,
    /// The vehicles that the sign is by.
    legal: Vec<AtLevels>,
    /// The rating factor with which each of them has a posting that is accepted.
    accepted_from: f64,
    /// The farthest from mid-span that a vehicle has its greatest moment.
    farthest: Feet,
    /// The greatest deflection times `E I`, in kip-ft3.
    deflection: f64,
}

/// One of a span's vehicles, by its place.
#[derive(Clone, Copy)]
pub(super) enum Of {
    /// Named by the crossing.
    Crossing(usize),
    /// The sign is by it.
    Legal(usize),
}

/// One form of rating asked of the vehicles of one level.
struct Asked<'l> {
    vehicles: &'l [usize],
    most: &'l Most,
    live: fn(&VehicleEffects) -> &Live,
    form: Form,
}

/// Whether bending and shear reach a factor of 1; no shear without webs.
struct Reached {
    bending: bool,
    shear: Option<bool>,
}

impl<'a> Governing<'a> {
    /// What governs on a span whose loads were worked out with the same rules.
    #[must_use]
    pub fn of(loads: SpanLoads, rules: &'a Rules) -> Self {
        let vehicles = &loads.effects.vehicles;
        let levels = AtLevels::of(vehicles, rules);
        let legal = AtLevels::of(&loads.legal, rules);
        let accepted = least_accepted(loads.least_posting, rules);
        let accepted_from = |v: &VehicleEffects| {
            let floor = rules.posting.factor_floor;
            floor + accepted.0.ceil() * (1.0 - floor) / v.vehicle.gross().0
        };
        let accepted_from = loads.legal.iter().map(accepted_from).fold(0.0, f64::max);
        let middle = loads.span() / 2.0;
        let farthest = vehicles
            .iter()
            .chain(&loads.legal)
            .flat_map(|v| [&v.allowable, &v.factored])
            .map(|live| (live.moment.section - middle).abs())
            .fold(Feet(0.0), Feet::max);
        let deflection = vehicles.iter().map(|v| v.deflection).fold(0.0, f64::max);
        Self { loads, rules, levels, legal, accepted_from, farthest, deflection }
    }

    /// The loads of the span.
    #[must_use]
    pub fn loads(&self) -> &SpanLoads {
        &self.loads
    }

    /// The checks of the rating that bar a girder on this span.
    #[must_use]
    pub fn barred(&self, girder: &Girder) -> Barred {
        let lanes = self.loads.lanes;
        self.barred_with(girder, |member, vehicle| {
            let vehicle = match vehicle {
                Of::Crossing(index) => &self.loads.effects.vehicles[index],
                Of::Legal(index) => &self.loads.legal[index],
            };
            member.live_moment(&vehicle.vehicle.trains, lanes)
        })
    }

    /// The same where the moments of a girder's stringers and cross-members, which are the same on
    /// every span, may be known: `live` is asked for that of a member under a vehicle.
    pub(super) fn barred_with(
        &self,
        girder: &Girder,
        live: impl Fn(&LocalMember, Of) -> KipFeet,
    ) -> Barred {
        let mut barred = Barred::default();
        let (loads, rules, rating) = (&self.loads, self.rules, &self.rules.rating);
        let on_span = OnSpan::new(girder, loads, rating);
        let mut moduli = Moduli::new(&on_span);
        let counts = counting_forms(rating);
        let accepted = loads.least_posting.is_some();
        let mut sign_needed = false;
        for level in &self.levels {
            let by_stress = self.by_stress(&on_span, &mut moduli, level);
            let by_factors = self.by_factors(&on_span, &mut moduli, level);
            for (codes, reached, bars, counts) in [
                (
                    [Code::BendingAllowable, Code::ShearAllowable],
                    by_stress,
                    rating.allowable_stress,
                    counts.0,
                ),
                (
                    [Code::BendingFactored, Code::ShearFactored],
                    by_factors,
                    rating.load_and_resistance,
                    counts.1,
                ),
            ] {
                let outcome = |reached| factor_outcome(reached, bars, accepted);
                barred.add(codes[0], outcome(reached.bending));
                let shear = reached.shear.map_or_else(|| no_shear_outcome(rules), outcome);
                barred.add(codes[1], shear);
                sign_needed |= counts && !(reached.bending && reached.shear.unwrap_or(true));
            }
            self.local_members(&mut barred, &on_span, level, &live);
        }
        if let Some(accepted) = loads.least_posting.filter(|_| sign_needed) {
            let posted = loads.effects.vehicles.iter();
            for vehicle in posted.filter(|v| v.vehicle.class != VehicleClass::Design) {
                let least = least_of(&on_span, vehicle, rules);
                let sign = posting(vehicle.vehicle.gross(), least, &rules.posting).sign();
                barred.add(Code::Posting, posting_outcome(sign, accepted, rules));
            }
        }
        let accepted = |level: &AtLevels| {
            self.accepts(&on_span, &mut moduli, level, counts)
                && self.members_accept(&on_span, level, &live)
        };
        if !self.legal.iter().all(accepted) {
            for (index, vehicle) in loads.legal.iter().enumerate() {
                let girder = least_of(&on_span, vehicle, rules);
                let moment = |member: &LocalMember| live(member, Of::Legal(index));
                let members = least_of_members(&on_span, vehicle.vehicle.class, moment, rules);
                let least = members.map_or(girder, |(_, factor)| girder.min(factor));
                let sign = posting(vehicle.vehicle.gross(), least, &rules.posting).sign();
                barred.add(Code::LegalTrucks, legal_outcome(sign, loads.least_posting, rules));
            }
        }
        if rating.deflection_bars {
            let found = on_span.deflection(self.deflection);
            barred.add(Code::Deflection, deflection_outcome(found, loads.span(), rules));
        }
        for slender in &girder.slenderness {
            barred.add(Code::Slenderness, slender.outcome());
        }
        barred
    }

    /// Whether the greatest effects of the vehicles that the sign is by leave a posting that is accepted
    /// with something to spare.
    fn accepts(
        &self,
        on_span: &OnSpan,
        moduli: &mut Moduli,
        level: &AtLevels,
        counts: (bool, bool),
    ) -> bool {
        let least = self.accepted_from * (1.0 + BETWEEN_STATIONS) + TO_SPARE;
        let reaches = |moduli: &mut Moduli, asked: &Asked, shear: &Form| {
            let (section, most) = (on_span.loads.span() / 2.0, asked.most.moment);
            let weakest = if on_span.girder.tapers() {
                match moduli.weakest_within(self.farthest) {
                    Some(weakest) => weakest,
                    None => return false,
                }
            } else {
                on_span.middle
            };
            on_span.at_peak_with(section, weakest, most, &asked.form).factor.0 >= least
                && (!on_span.girder.tapers() || moduli.block_reaches(0, STATIONS - 1, asked, least))
                && on_span.over_bearing(asked.most.hogging, &asked.form).factor.0 >= least
                && on_span.shear(asked.most.shear, shear).is_none_or(|f| f.factor.0 >= least)
        };
        let by_stress = Asked {
            vehicles: &level.vehicles,
            most: &level.allowable,
            live: |vehicle| &vehicle.allowable,
            form: on_span.bending_form_allowable(level.by_stress),
        };
        let by_factors = Asked {
            vehicles: &level.vehicles,
            most: &level.factored,
            live: |vehicle| &vehicle.factored,
            form: on_span.bending_form_factored(level.by_factors),
        };
        (!counts.0 || reaches(moduli, &by_stress, &on_span.shear_form_allowable(level.by_stress)))
            && (!counts.1
                || reaches(moduli, &by_factors, &on_span.shear_form_factored(level.by_factors)))
    }

    /// Whether the stringers and cross-members do, as far as they are measured.
    fn members_accept(
        &self,
        on_span: &OnSpan,
        level: &AtLevels,
        live: &impl Fn(&LocalMember, Of) -> KipFeet,
    ) -> bool {
        let most = |member: &LocalMember| {
            let lives = level.vehicles.iter().map(|&vehicle| live(member, Of::Legal(vehicle)));
            lives.fold(KipFeet(0.0), KipFeet::max)
        };
        // All vehicles of one level are of classes that are held to it.
        let class = level.vehicles.first().map(|&v| self.loads.legal[v].vehicle.class);
        class.is_none_or(|class| {
            least_of_members(on_span, class, most, self.rules)
                .is_none_or(|(_, factor)| factor.0 >= self.accepted_from + TO_SPARE)
        })
    }

    fn by_stress(&self, on_span: &OnSpan, moduli: &mut Moduli, level: &AtLevels) -> Reached {
        let asked = Asked {
            vehicles: &level.vehicles,
            most: &level.allowable,
            live: |vehicle| &vehicle.allowable,
            form: on_span.bending_form_allowable(level.by_stress),
        };
        let shear = on_span.shear_form_allowable(level.by_stress);
        self.reached(on_span, moduli, &asked, &shear)
    }

    fn by_factors(&self, on_span: &OnSpan, moduli: &mut Moduli, level: &AtLevels) -> Reached {
        let asked = Asked {
            vehicles: &level.vehicles,
            most: &level.factored,
            live: |vehicle| &vehicle.factored,
            form: on_span.bending_form_factored(level.by_factors),
        };
        let shear = on_span.shear_form_factored(level.by_factors);
        self.reached(on_span, moduli, &asked, &shear)
    }

    fn reached(
        &self,
        on_span: &OnSpan,
        moduli: &mut Moduli,
        asked: &Asked,
        shear: &Form,
    ) -> Reached {
        let in_span = if on_span.girder.tapers() {
            self.tapering(on_span, moduli, asked)
        } else {
            let (section, most) = (on_span.loads.span() / 2.0, asked.most.moment);
            let peak = on_span.at_peak_with(section, on_span.middle, most, &asked.form);
            reaches_one(peak.factor)
        };
        Reached {
            bending: in_span && self.over_bearing(on_span, asked),
            shear: on_span.shear(asked.most.shear, shear).map(|f| reaches_one(f.factor)),
        }
    }

    /// Whether a girder that tapers reaches 1 at its stations and where the vehicles have their
    /// greatest moments.
    fn tapering(&self, on_span: &OnSpan, moduli: &mut Moduli, asked: &Asked) -> bool {
        let last = STATIONS - 1;
        let one = 1.0 - TOLERANCE;
        if !moduli.station_reaches(last, asked, one)
            || !moduli.block_reaches(0, last - 1, asked, one)
        {
            return false;
        }
        // So near to 1 a section between the stations may be below it.
        let near = 1.0 + BETWEEN_STATIONS;
        if !moduli.station_reaches(last, asked, near)
            || !moduli.block_reaches(0, last - 1, asked, near)
        {
            return self.vehicles(asked).all(|vehicle| {
                let live = (asked.live)(vehicle);
                reaches_one(on_span.least_in_span(vehicle, live, &asked.form).factor)
            });
        }
        if let Some(weakest) = moduli.weakest_within(self.farthest) {
            let (section, most) = (on_span.loads.span() / 2.0, asked.most.moment);
            let bound = on_span.at_peak_with(section, weakest, most, &asked.form);
            if bound.factor.0 >= 1.0 + TO_SPARE {
                return true;
            }
        }
        self.vehicles(asked).all(|vehicle| {
            let peak = &(asked.live)(vehicle).moment;
            reaches_one(on_span.at_peak(peak.section, peak.total, &asked.form).factor)
        })
    }

    /// Whether the section over the bearing reaches 1, with the longest end that the rules leave or
    /// else with the car's own.
    fn over_bearing(&self, on_span: &OnSpan, asked: &Asked) -> bool {
        reaches_one(on_span.over_bearing(asked.most.hogging, &asked.form).factor)
            || self.vehicles(asked).all(|vehicle| {
                let own = on_span.hogging(vehicle, (asked.live)(vehicle));
                reaches_one(on_span.over_bearing(own, &asked.form).factor)
            })
    }

    fn vehicles<'s>(&'s self, asked: &'s Asked) -> impl Iterator<Item = &'s VehicleEffects> {
        asked.vehicles.iter().map(|&index| &self.loads.effects.vehicles[index])
    }

    fn local_members(
        &self,
        barred: &mut Barred,
        on_span: &OnSpan,
        level: &AtLevels,
        live: &impl Fn(&LocalMember, Of) -> KipFeet,
    ) {
        let rating = &self.rules.rating;
        for member in on_span.girder.local.rated() {
            let case = on_span.local_case();
            let lives = level.vehicles.iter().map(|&vehicle| live(member, Of::Crossing(vehicle)));
            let most = lives.fold(KipFeet(0.0), KipFeet::max);
            for (factor, bars) in [
                (member.allowable(&case, most, level.by_stress), rating.allowable_stress),
                (member.factored(&case, most, level.by_factors), rating.load_and_resistance),
            ] {
                let outcome = factor_outcome(reaches_one(factor.factor), bars, false);
                barred.add(Code::LocalMembers, outcome);
            }
        }
    }
}
