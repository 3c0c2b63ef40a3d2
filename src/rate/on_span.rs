//! One girder on one span: the arithmetic of the rating, shared by the full rating with all its
//! numbers and by the quick answer which checks bar.

use super::capacity;
use super::dead_load::{self, DeadLoad};
use super::effects::{Live, STATIONS, VehicleEffects, station};
use super::factors::{Factor, RatingLevel, Terms};
use super::girder::{Girder, Strength};
use super::loads::SpanLoads;
use super::share::{self, Share};
use super::vehicles::VehicleClass;
use crate::model::rules::{Level, RatingRules};
use crate::quantity::{CubicInches, Feet, Inches, KipFeet, Kips, SquareInches};

/// The webs at the bearing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Webs {
    pub area: SquareInches,
    pub depth_over_thickness: f64,
    pub buckling: f64,
}

/// One girder on one span, with what all vehicles share.
pub(super) struct OnSpan<'a> {
    pub girder: &'a Girder,
    pub loads: &'a SpanLoads,
    pub rules: &'a RatingRules,
    pub dead: DeadLoad,
    pub allowable_share: Share,
    pub factored_share: Share,
    pub webs: Option<Webs>,
    middle: CubicInches,
    /// Section moduli at the stations of a girder that tapers.
    stations: Option<[CubicInches; STATIONS]>,
    /// Dead and wearing moment at mid-span, and shear at the bearing.
    moments: (KipFeet, KipFeet),
    shears: (Kips, Kips),
}

/// The level that bars in the allowable-stress form.
pub(super) fn allowable_level(class: VehicleClass, rules: &RatingRules) -> Level {
    match class {
        VehicleClass::Design => rules.allowable_stress_factors.design_level,
        _ => rules.allowable_stress_factors.legal_level,
    }
}

/// The level that bars in the load-and-resistance form.
pub(super) fn factored_level(class: VehicleClass, rules: &RatingRules) -> RatingLevel {
    match class {
        VehicleClass::Design => rating_level(rules.resistance_factors.design_level),
        _ => RatingLevel::Legal,
    }
}

pub(super) fn rating_level(level: Level) -> RatingLevel {
    match level {
        Level::Inventory => RatingLevel::Inventory,
        Level::Operating => RatingLevel::Operating,
    }
}

/// The live-load factor of a level in the load-and-resistance form.
fn live_factor(level: RatingLevel, rules: &RatingRules) -> f64 {
    let factors = &rules.resistance_factors;
    match level {
        RatingLevel::Inventory => factors.live_design_inventory,
        RatingLevel::Operating => factors.live_design_operating,
        RatingLevel::Legal => factors.live_legal,
    }
}

impl<'a> OnSpan<'a> {
    pub(super) fn new(girder: &'a Girder, loads: &'a SpanLoads, rules: &'a RatingRules) -> Self {
        let span = loads.span();
        let dead = DeadLoad::of(girder, &loads.deck);
        let (components, surfacing) = (dead.components(), dead.surfacing());
        let middle = Feet(span.0 / 2.0);
        let share_with =
            |presence| share::share(&girder.trucks, loads.lanes, presence, rules.truck_share);
        let stations = girder.tapers().then(|| {
            let mut moduli = [CubicInches(0.0); STATIONS];
            for (index, modulus) in moduli.iter_mut().enumerate() {
                *modulus = girder.modulus_at(middle - station(span, index));
            }
            moduli
        });
        Self {
            girder,
            loads,
            rules,
            dead,
            allowable_share: share_with(&rules.allowable_stress_factors.presence),
            factored_share: share_with(&rules.resistance_factors.presence),
            webs: webs(girder, span, rules),
            middle: girder.modulus_at(Feet(0.0)),
            stations,
            moments: (
                dead_load::moment_at(components, span, middle),
                dead_load::moment_at(surfacing, span, middle),
            ),
            shears: (dead_load::end_shear(components, span), dead_load::end_shear(surfacing, span)),
        }
    }

    /// Bending by allowable stress.
    pub(super) fn bending_allowable(&self, on: &VehicleEffects, level: Level) -> Factor<KipFeet> {
        let share = capacity::bending_stress_share(level, self.rules);
        let terms = |section, modulus, (dead, wearing), live| Terms {
            level: rating_level(level),
            section,
            capacity: capacity::bending(share, self.girder.steel.strength, modulus),
            dead,
            wearing,
            dead_factor: 1.0,
            wearing_factor: 1.0,
            live,
            live_factor: 1.0,
            share: self.allowable_share,
        };
        self.least_bending(&on.allowable, terms)
    }

    /// Bending by load and resistance.
    pub(super) fn bending_factored(
        &self,
        on: &VehicleEffects,
        level: RatingLevel,
    ) -> Factor<KipFeet> {
        let factors = &self.rules.resistance_factors;
        let resistance = capacity::resistance(factors);
        let terms = |section, modulus, (dead, wearing), live| Terms {
            level,
            section,
            capacity: capacity::bending(resistance, self.girder.steel.strength, modulus),
            dead,
            wearing,
            dead_factor: factors.dead,
            wearing_factor: factors.wearing,
            live,
            live_factor: live_factor(level, self.rules),
            share: self.factored_share,
        };
        self.least_bending(&on.factored, terms)
    }

    /// The least factor of all sections: that of the greatest live-load moment, taken with the dead
    /// load's moment at mid-span, which is a little more; and the stations of a girder that tapers.
    fn least_bending(
        &self,
        live: &Live,
        terms: impl Fn(Feet, CubicInches, (KipFeet, KipFeet), KipFeet) -> Terms<KipFeet>,
    ) -> Factor<KipFeet> {
        let span = self.loads.span();
        let peak = live.moment.section;
        let Some(stations) = &self.stations else {
            return terms(peak, self.middle, self.moments, live.moment.total).rate();
        };
        let modulus = self.girder.modulus_at(peak - span / 2.0);
        let mut least = terms(peak, modulus, self.moments, live.moment.total).rate();
        for (index, (&modulus, &moment)) in stations.iter().zip(&live.stations).enumerate() {
            let section = station(span, index);
            // Dead moments run like x (L - x), four times that over L squared of mid-span's.
            let part = 4.0 * (section / span) * ((span - section) / span);
            let dead = (self.moments.0 * part, self.moments.1 * part);
            let factor = terms(section, modulus, dead, moment).rate();
            if factor.factor < least.factor {
                least = factor;
            }
        }
        least
    }

    /// Shear by allowable stress; none without webs.
    pub(super) fn shear_allowable(
        &self,
        on: &VehicleEffects,
        level: Level,
    ) -> Option<Factor<Kips>> {
        let webs = self.webs?;
        let share = capacity::shear_stress_share(level, self.rules);
        let steel = self.girder.steel.strength;
        let terms = Terms {
            level: rating_level(level),
            section: Feet(0.0),
            capacity: capacity::shear(share, steel, webs.area, webs.buckling),
            dead: self.shears.0,
            wearing: self.shears.1,
            dead_factor: 1.0,
            wearing_factor: 1.0,
            live: on.allowable.shear.total,
            live_factor: 1.0,
            share: self.allowable_share,
        };
        Some(terms.rate())
    }

    /// Shear by load and resistance; none without webs.
    pub(super) fn shear_factored(
        &self,
        on: &VehicleEffects,
        level: RatingLevel,
    ) -> Option<Factor<Kips>> {
        let webs = self.webs?;
        let factors = &self.rules.resistance_factors;
        let share = capacity::SHEAR_YIELD * capacity::resistance(factors);
        let steel = self.girder.steel.strength;
        let terms = Terms {
            level,
            section: Feet(0.0),
            capacity: capacity::shear(share, steel, webs.area, webs.buckling),
            dead: self.shears.0,
            wearing: self.shears.1,
            dead_factor: factors.dead,
            wearing_factor: factors.wearing,
            live: on.factored.shear.total,
            live_factor: live_factor(level, self.rules),
            share: self.factored_share,
        };
        Some(terms.rate())
    }

    /// Live-load deflection at mid-span, `(deflection x E I) x 1728 / (E I)`, of what one car
    /// carries, without presence factor; none without plates. A girder that tapers counts with its
    /// smallest inertia, which overstates.
    pub(super) fn deflection(&self, on: &VehicleEffects) -> Option<Inches> {
        let inertia = self.girder.least_inertia(self.loads.span())?;
        let share = share::share(
            &self.girder.trucks,
            self.loads.lanes,
            &[1.0; share::LANES_MOST],
            self.rules.truck_share,
        );
        let stiffness = self.rules.elastic_modulus_ksi.0 * inertia.0;
        Some(Inches(on.deflection * share.total.0 * 1728.0 / stiffness))
    }
}

/// The webs at the bearing, where shear is greatest.
fn webs(girder: &Girder, span: Feet, rules: &RatingRules) -> Option<Webs> {
    let Strength::Plates { net, .. } = &girder.strength else { return None };
    let area = girder.section_at(span / 2.0)?.shear_area;
    let thickness = net.web_thickness.0;
    let depth = area.0 / (f64::from(net.webs) * thickness);
    let depth_over_thickness = depth / thickness;
    let buckling = capacity::web_buckling(
        depth_over_thickness,
        girder.steel.strength,
        rules.elastic_modulus_ksi,
    );
    Some(Webs { area, depth_over_thickness, buckling })
}
