//! One girder on one span: the arithmetic of the rating, shared by the full rating with all its
//! numbers and by the quick answer which checks bar.

mod least;

use std::cell::OnceCell;

use super::capacity;
use super::dead_load::DeadLoad;
use super::effects::{self, Live, STATIONS, VehicleEffects, station};
use super::factors::{Factor, RatingLevel, Terms, Zone, live_factor, rating_level};
use super::girder::Girder;
use super::loads::SpanLoads;
use super::local::LocalCase;
use super::share::{self, Share};
use super::uniform;
use super::webs::{Webs, webs};
use crate::model::rules::{Level, RatingRules};
use crate::quantity::{CubicInches, Feet, Inches, KipFeet, Kips, KipsPerFoot, Psf};

/// How much lower than at the stations the factor between them is looked for, as a share of strength
/// over load. In strong tapers it was found up to 0.0036 lower, between 0.3 and 3.
pub(super) const BETWEEN_STATIONS: f64 = 0.03;

/// One girder on one span, with what all vehicles share.
pub(super) struct OnSpan<'a> {
    pub girder: &'a Girder,
    pub loads: &'a SpanLoads,
    pub rules: &'a RatingRules,
    pub dead: DeadLoad,
    pub allowable_share: Share,
    pub factored_share: Share,
    pub webs: Option<Webs>,
    /// How far the car reaches beyond a bearing.
    pub overhang: Feet,
    pub middle: CubicInches,
    over_bearing: CubicInches,
    /// Section moduli at the stations of a girder that tapers, once they were asked for.
    stations: OnceCell<[[CubicInches; 2]; STATIONS]>,
    /// Dead and wearing moment at mid-span.
    moments: (KipFeet, KipFeet),
    /// Dead and wearing moment over the bearing.
    hoggings: (KipFeet, KipFeet),
    /// Dead and wearing shear beside the bearing.
    shears: (Kips, Kips),
}

/// What one form of rating brings to every section: how much of the yield strength counts, and its
/// factors.
#[derive(Clone, Copy)]
pub(super) struct Form {
    level: RatingLevel,
    strength: f64,
    dead_factor: f64,
    wearing_factor: f64,
    live_factor: f64,
    share: Share,
}

/// One section with what acts on it.
struct At {
    zone: Zone,
    section: Feet,
    modulus: CubicInches,
    dead: KipFeet,
    wearing: KipFeet,
    live: KipFeet,
}

impl<'a> OnSpan<'a> {
    pub(super) fn new(girder: &'a Girder, loads: &'a SpanLoads, rules: &'a RatingRules) -> Self {
        let span = loads.span();
        let dead = DeadLoad::of(girder, &loads.deck);
        let overhang = girder.overhang(span, loads.effects.overhang);
        let middle = Feet(span.0 / 2.0);
        let agency = agency_share(girder, loads);
        let share_with = |presence| share::share(&girder.trucks, loads.lanes, presence, agency);
        fn both<Q>(dead: &DeadLoad, of: impl Fn(KipsPerFoot) -> Q) -> (Q, Q) {
            (of(dead.components()), of(dead.surfacing()))
        }
        Self {
            girder,
            loads,
            rules,
            dead,
            allowable_share: share_with(&rules.allowable_stress_factors.presence),
            factored_share: share_with(&rules.resistance_factors.presence),
            webs: webs(girder, span, rules),
            overhang,
            middle: girder.modulus_at(Feet(0.0)),
            over_bearing: girder.hogging_modulus(span, overhang, rules.elastic_modulus_ksi),
            stations: OnceCell::new(),
            moments: both(&dead, |load| uniform::moment_at(load, span, middle)),
            hoggings: both(&dead, |load| uniform::hogging(load, overhang)),
            shears: both(&dead, |load| uniform::end_shear(load, span)),
        }
    }

    /// Bending by allowable stress.
    pub(super) fn bending_allowable(&self, on: &VehicleEffects, level: Level) -> Factor<KipFeet> {
        self.least_bending(on, &on.allowable, &self.bending_form_allowable(level))
    }

    /// Bending by load and resistance.
    pub(super) fn bending_factored(
        &self,
        on: &VehicleEffects,
        level: RatingLevel,
    ) -> Factor<KipFeet> {
        self.least_bending(on, &on.factored, &self.bending_form_factored(level))
    }

    /// Shear by allowable stress; none without webs.
    pub(super) fn shear_allowable(
        &self,
        on: &VehicleEffects,
        level: Level,
    ) -> Option<Factor<Kips>> {
        self.shear(on.allowable.shear.total, &self.shear_form_allowable(level))
    }

    /// Shear by load and resistance; none without webs.
    pub(super) fn shear_factored(
        &self,
        on: &VehicleEffects,
        level: RatingLevel,
    ) -> Option<Factor<Kips>> {
        self.shear(on.factored.shear.total, &self.shear_form_factored(level))
    }

    pub(super) fn bending_form_allowable(&self, level: Level) -> Form {
        self.allowable(level, capacity::bending_stress_share(level, self.rules))
    }

    pub(super) fn bending_form_factored(&self, level: RatingLevel) -> Form {
        self.factored(level, 1.0)
    }

    pub(super) fn shear_form_allowable(&self, level: Level) -> Form {
        self.allowable(level, capacity::shear_stress_share(level, self.rules))
    }

    pub(super) fn shear_form_factored(&self, level: RatingLevel) -> Form {
        self.factored(level, capacity::SHEAR_YIELD)
    }

    fn allowable(&self, level: Level, strength: f64) -> Form {
        Form {
            level: rating_level(level),
            strength,
            dead_factor: 1.0,
            wearing_factor: 1.0,
            live_factor: 1.0,
            share: self.allowable_share,
        }
    }

    fn factored(&self, level: RatingLevel, strength: f64) -> Form {
        let factors = &self.rules.resistance_factors;
        Form {
            level,
            strength: strength * capacity::resistance(factors),
            dead_factor: factors.dead,
            wearing_factor: factors.wearing,
            live_factor: live_factor(level, self.rules),
            share: self.factored_share,
        }
    }

    /// The least factor of all sections: that of the greatest live-load moment, taken with the dead
    /// load's moment at mid-span, which is a little more; the stations of a girder that tapers; and
    /// the section over the bearing with the load on the end beyond it.
    fn least_bending(&self, on: &VehicleEffects, live: &Live, form: &Form) -> Factor<KipFeet> {
        let mut least = self.least_in_span(on, live, form);
        // With the longest end that the rules leave the factor is at most the car's own: only where
        // that would govern is the car's own end worked out.
        if self.over_bearing(live.hogging, form).factor < least.factor {
            least = lesser(least, self.over_bearing(self.hogging(on, live), form));
        }
        least
    }

    /// The factor at the section of the greatest live-load moment.
    pub(super) fn at_peak(&self, section: Feet, live: KipFeet, form: &Form) -> Factor<KipFeet> {
        let modulus = if self.girder.tapers() {
            self.girder.modulus_at(section - self.loads.span() / 2.0)
        } else {
            self.middle
        };
        self.at_peak_with(section, modulus, live, form)
    }

    /// The same with a section modulus that is known.
    pub(super) fn at_peak_with(
        &self,
        section: Feet,
        modulus: CubicInches,
        live: KipFeet,
        form: &Form,
    ) -> Factor<KipFeet> {
        let (dead, wearing) = self.moments;
        self.bending(&At { zone: Zone::Span, section, modulus, dead, wearing, live }, form)
    }

    /// The factor at a station.
    pub(super) fn at_station(
        &self,
        index: usize,
        modulus: CubicInches,
        live: KipFeet,
        form: &Form,
    ) -> Factor<KipFeet> {
        self.at_section(station(self.loads.span(), index), modulus, live, form)
    }

    /// The factor at a section.
    fn at_section(
        &self,
        section: Feet,
        modulus: CubicInches,
        live: KipFeet,
        form: &Form,
    ) -> Factor<KipFeet> {
        let span = self.loads.span();
        // Dead moments run like x (L - x), four times that over L squared of mid-span's.
        let part = 4.0 * (section / span) * ((span - section) / span);
        let (dead, wearing) = (self.moments.0 * part, self.moments.1 * part);
        self.bending(&At { zone: Zone::Span, section, modulus, dead, wearing, live }, form)
    }

    /// Section moduli of underside and top face at the stations.
    fn station_moduli(&self) -> [[CubicInches; 2]; STATIONS] {
        let span = self.loads.span();
        let mut moduli = [[CubicInches(0.0); 2]; STATIONS];
        for (index, found) in moduli.iter_mut().enumerate() {
            *found = self.girder.moduli_at(span / 2.0 - station(span, index));
        }
        moduli
    }

    /// The section modulus at a station.
    pub(super) fn station_modulus(&self, index: usize) -> CubicInches {
        let span = self.loads.span();
        self.girder.modulus_at(span / 2.0 - station(span, index))
    }

    /// The factor over the bearing.
    pub(super) fn over_bearing(&self, live: KipFeet, form: &Form) -> Factor<KipFeet> {
        let (dead, wearing) = self.hoggings;
        let at = At {
            zone: Zone::OverBearing,
            section: Feet(0.0),
            modulus: self.over_bearing,
            dead,
            wearing,
            live,
        };
        self.bending(&at, form)
    }

    /// The live-load moment with impact over the bearing, with the car's own end.
    pub(super) fn hogging(&self, on: &VehicleEffects, live: &Live) -> KipFeet {
        effects::hogging(&on.vehicle, self.overhang, 1.0 + live.impact_beyond.0)
    }

    fn bending(&self, at: &At, form: &Form) -> Factor<KipFeet> {
        let steel = self.girder.steel.strength;
        Terms {
            level: form.level,
            zone: at.zone,
            section: at.section,
            capacity: capacity::bending(form.strength, steel, at.modulus),
            dead: at.dead,
            wearing: at.wearing,
            dead_factor: form.dead_factor,
            wearing_factor: form.wearing_factor,
            live: at.live,
            live_factor: form.live_factor,
            share: form.share,
        }
        .rate()
    }

    /// The factor of the webs; none without webs.
    pub(super) fn shear(&self, live: Kips, form: &Form) -> Option<Factor<Kips>> {
        let webs = self.webs?;
        let steel = self.girder.steel.strength;
        let terms = Terms {
            level: form.level,
            zone: Zone::Span,
            section: Feet(0.0),
            capacity: capacity::shear(form.strength, steel, webs.area, webs.buckling),
            dead: self.shears.0,
            wearing: self.shears.1,
            dead_factor: form.dead_factor,
            wearing_factor: form.wearing_factor,
            live,
            live_factor: form.live_factor,
            share: form.share,
        };
        Some(terms.rate())
    }

    /// Live-load deflection at mid-span of what one car carries, without presence factor, from that of
    /// one lane times `E I` in kip-ft3; none without plates. A girder that tapers counts with its smallest inertia, which overstates.
    pub(super) fn deflection(&self, live: f64) -> Option<Inches> {
        let share = share::share(
            &self.girder.trucks,
            self.loads.lanes,
            &[1.0; share::LANES_MOST],
            agency_share(self.girder, self.loads),
        );
        self.deflection_of(live * share.total.0)
    }

    /// Deflection at mid-span of what is laid on the bare car: `5 w L4 / (384 E I)`.
    pub(super) fn added_dead_deflection(&self) -> Option<Inches> {
        let span = self.loads.span();
        self.deflection_of(5.0 * self.dead.added().0 * span.0.powi(4) / 384.0)
    }

    /// A deflection times `E I` in kip-ft3 as inches: 1,728 cubic inches to the cubic foot.
    fn deflection_of(&self, kip_feet_cubed: f64) -> Option<Inches> {
        let inertia = self.girder.least_inertia(self.loads.span())?;
        Some(Inches(kip_feet_cubed * 1728.0 / (self.rules.elastic_modulus_ksi.0 * inertia.0)))
    }

    /// What the rating of stringers and cross-members needs: the car's weight is spread over its
    /// width, since nobody weighs the members apart.
    pub(super) fn local_case(&self) -> LocalCase<'a> {
        let deck = &self.loads.deck;
        let car = Psf(self.girder.self_weight.0 * 1000.0 / self.girder.width.0);
        LocalCase {
            steel: self.girder.steel.strength,
            dead: car + deck.dead,
            wearing: deck.wearing + deck.overlay,
            lanes: self.loads.lanes,
            rules: self.rules,
        }
    }
}

/// The agency's share of a truck on one car. It stands for what joints hand on to neighbors, so a
/// car that may lie alone carries the whole truck.
fn agency_share(girder: &Girder, loads: &SpanLoads) -> f64 {
    if loads.deck.may_stand_alone(girder.width) { 1.0 } else { girder.agency_share.share.0 }
}

fn lesser<Q>(a: Factor<Q>, b: Factor<Q>) -> Factor<Q> {
    if b.factor < a.factor { b } else { a }
}
