//! The full rating of one car on one span: every intermediate number, for the calculation sheet and
//! for the checks.

use serde::Serialize;

use super::camber::camber_over;
use super::dead_load::DeadLoad;
use super::effects::VehicleEffects;
use super::factors::{Factor, RatingLevel, allowable_level, factored_level};
use super::girder::Girder;
use super::loads::SpanLoads;
use super::local::{LocalMember, Part};
use super::on_span::OnSpan;
use super::posting::{Posting, posting};
use super::share::Share;
use super::unrateable::Unrateable;
use super::vehicles::VehicleClass;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::inputs::Site;
use crate::model::rules::{Level, RatingRules, Rules};
use crate::quantity::{Feet, Inches, KipFeet, Kips, Ratio, SquareInches, Tons};

/// The rating factors of one effect (bending or shear) of one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Forms<Q> {
    /// Allowable stress, at inventory and operating level, and between them where that is what bars.
    pub allowable: Vec<Factor<Q>>,
    /// Load and resistance: inventory and operating for design loads, legal load for the others.
    pub factored: Vec<Factor<Q>>,
    /// Index in `allowable` of the level that the rules look at.
    pub allowable_barring: usize,
    /// Index in `factored` of the level that the rules look at.
    pub factored_barring: usize,
}

impl<Q: Copy> Forms<Q> {
    /// The allowable-stress factor that the rules look at.
    #[must_use]
    pub fn by_allowable(&self) -> &Factor<Q> {
        &self.allowable[self.allowable_barring]
    }

    /// The load-and-resistance factor that the rules look at.
    #[must_use]
    pub fn by_factored(&self) -> &Factor<Q> {
        &self.factored[self.factored_barring]
    }
}

/// The rating for one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VehicleRating {
    /// The vehicle and its effects on the span.
    pub on_span: VehicleEffects,
    /// Bending.
    pub bending: Forms<KipFeet>,
    /// Shear; none without webs.
    pub shear: Option<Forms<Kips>>,
    /// Live-load deflection at mid-span; none without plates.
    #[serde(rename = "deflection_in")]
    pub deflection: Option<Inches>,
    /// Moment over the bearing with impact, of what stands on the car's own end beyond it, in the
    /// allowable-stress form.
    #[serde(rename = "hogging_kip_ft")]
    pub hogging: KipFeet,
    /// Stringers and cross-members, as far as they are measured.
    pub local: Vec<LocalRating>,
    /// The least factor of the main girder in the forms that bar (of both where none does), bending
    /// and shear.
    pub least: Ratio,
    /// The posting that follows from it.
    pub posting: Posting,
}

/// The rating of one secondary member for one vehicle, by the levels that the rules look at.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LocalRating {
    /// The member.
    pub member: LocalMember,
    /// Its greatest live-load moment, without impact.
    #[serde(rename = "live_kip_ft")]
    pub live: KipFeet,
    /// Allowable stress.
    pub allowable: Factor<KipFeet>,
    /// Load and resistance.
    pub factored: Factor<KipFeet>,
    /// The lesser of the forms that bar, or of both where none does.
    pub least: Ratio,
}

/// The webs that carry the shear, at the bearing or at mid-span, where they are weaker.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ShearWebs {
    /// Area of the webs.
    #[serde(rename = "area_in2")]
    pub area: SquareInches,
    /// Clear depth over thickness left.
    pub depth_over_thickness: f64,
    /// Buckling ratio C.
    pub buckling: Ratio,
}

/// The rating of one car on one span.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rating {
    /// The girder.
    pub girder: Girder,
    /// The loads of the span.
    pub loads: SpanLoads,
    /// Dead load per foot.
    pub dead: DeadLoad,
    /// How far the car reaches beyond a bearing; longer ends are trimmed.
    #[serde(rename = "overhang_ft")]
    pub overhang: Feet,
    /// How much of each end is cut off.
    #[serde(rename = "trimmed_ft")]
    pub trimmed: Feet,
    /// Dead-load reaction at a bearing, ends included.
    #[serde(rename = "dead_reaction_kip")]
    pub dead_reaction: Kips,
    /// Deflection at mid-span under what is laid on the bare car; none without plates.
    #[serde(rename = "added_dead_deflection_in")]
    pub added_dead_deflection: Option<Inches>,
    /// Camber over the span that is left under the dead load; none where camber or plates are not
    /// known.
    #[serde(rename = "camber_left_in")]
    pub camber_left: Option<Inches>,
    /// Webs where they are weakest; none without plates.
    pub webs: Option<ShearWebs>,
    /// The car's share of a lane's load, allowable-stress form.
    pub allowable_share: Share,
    /// The car's share of a lane's load, load-and-resistance form.
    pub factored_share: Share,
    /// One entry per vehicle, in the order of the crossing.
    pub vehicles: Vec<VehicleRating>,
    /// Index of the vehicle with the least factor.
    pub governing: usize,
    /// The vehicles that the sign is by.
    pub legal: Vec<LegalRating>,
}

/// What the sign has to say of one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LegalRating {
    /// The vehicle.
    pub vehicle: String,
    /// Its gross weight.
    #[serde(rename = "gross_short_tons")]
    pub gross: Tons,
    /// The least factor of main girder, stringers and cross-members, as far as these are measured, in the
    /// forms that bar.
    pub least: Ratio,
    /// The stringer or cross-member where it has the least factor; none: the main girder has.
    pub member: Option<Part>,
    /// The posting that follows from it.
    pub posting: Posting,
}

impl Rating {
    /// Rates a car on a span of a crossing.
    ///
    /// # Errors
    /// Everything that is missing or cannot be true.
    pub fn of(
        car: &Car,
        crossing: &Crossing,
        span: Feet,
        rules: &Rules,
    ) -> Result<Self, Unrateable> {
        match (Girder::of(car, rules), SpanLoads::of(crossing, span, rules)) {
            (Ok(girder), Ok(loads)) => Ok(Self::with(&girder, &loads, rules)),
            (girder, loads) => {
                let errors = girder.err().into_iter().chain(loads.err());
                Err(Unrateable { reasons: errors.flat_map(|error| error.reasons).collect() })
            }
        }
    }

    /// Rates a car on a span at its place: over a pier no end is long.
    ///
    /// # Errors
    /// As [`Rating::of`].
    pub fn at(
        car: &Car,
        crossing: &Crossing,
        site: Site,
        rules: &Rules,
    ) -> Result<Self, Unrateable> {
        match (Girder::of(car, rules), SpanLoads::at(crossing, site, rules)) {
            (Ok(girder), Ok(loads)) => Ok(Self::with(&girder, &loads, rules)),
            (girder, loads) => {
                let errors = girder.err().into_iter().chain(loads.err());
                Err(Unrateable { reasons: errors.flat_map(|error| error.reasons).collect() })
            }
        }
    }

    /// Rates a girder on a span whose loads are worked out.
    #[must_use]
    pub fn with(girder: &Girder, loads: &SpanLoads, rules: &Rules) -> Self {
        let on_span = OnSpan::new(girder, loads, &rules.rating);
        let vehicles: Vec<_> =
            loads.effects.vehicles.iter().map(|v| rate_vehicle(&on_span, v, rules)).collect();
        let governing = (0..vehicles.len())
            .min_by(|&a, &b| vehicles[a].least.total_cmp(&vehicles[b].least))
            .unwrap_or(0);
        let span = loads.span();
        let overhang = on_span.overhang;
        let added_dead_deflection = on_span.added_dead_deflection();
        Self {
            overhang,
            trimmed: ((girder.length - span) / 2.0 - overhang).max(Feet(0.0)),
            dead_reaction: (on_span.dead.components() + on_span.dead.surfacing())
                * (span / 2.0 + overhang),
            added_dead_deflection,
            camber_left: camber_over(girder, span)
                .zip(added_dead_deflection)
                .map(|(camber, deflection)| camber - deflection),
            girder: girder.clone(),
            loads: loads.clone(),
            dead: on_span.dead,
            webs: on_span.webs.map(|webs| ShearWebs {
                area: webs.area,
                depth_over_thickness: webs.depth_over_thickness,
                buckling: Ratio(webs.buckling),
            }),
            allowable_share: on_span.allowable_share,
            factored_share: on_span.factored_share,
            vehicles,
            governing,
            legal: loads.legal.iter().map(|v| on_span.legal(v, rules)).collect(),
        }
    }

    /// The span.
    #[must_use]
    pub fn span(&self) -> Feet {
        self.loads.span()
    }

    /// Who answers for the share of a truck on one car.
    #[must_use]
    pub fn share_source(&self) -> String {
        let stated = &self.girder.agency_share;
        if self.allowable_share.agency.0 > stated.share.0 {
            return "the car may lie alone, without neighbors to share with: the whole truck"
                .to_owned();
        }
        match &stated.joint {
            Some(joint) => format!("beside a {joint} joint: {}", stated.source),
            None => stated.source.clone(),
        }
    }
}

fn rate_vehicle(on_span: &OnSpan, vehicle: &VehicleEffects, rules: &Rules) -> VehicleRating {
    let class = vehicle.vehicle.class;
    let rating = &rules.rating;
    let levels: &[RatingLevel] = match class {
        VehicleClass::Design => &[RatingLevel::Inventory, RatingLevel::Operating],
        _ => &[RatingLevel::Legal],
    };
    let barring = allowable_level(class, rating);
    let mut stresses = vec![Level::Inventory, Level::Operating];
    if !stresses.contains(&barring) {
        stresses.push(barring);
    }
    let allowable_barring = stresses.iter().position(|&level| level == barring).unwrap_or(0);
    let factored_barring =
        levels.iter().position(|&l| l == factored_level(class, rating)).unwrap_or(0);
    let bending = Forms {
        allowable: stresses.iter().map(|&l| on_span.bending_allowable(vehicle, l)).collect(),
        factored: levels.iter().map(|&l| on_span.bending_factored(vehicle, l)).collect(),
        allowable_barring,
        factored_barring,
    };
    let of_webs = stresses.iter().map(|&l| on_span.shear_allowable(vehicle, l)).collect();
    let shear = Option::<Vec<_>>::map(of_webs, |allowable| Forms {
        allowable,
        factored: levels.iter().filter_map(|&l| on_span.shear_factored(vehicle, l)).collect(),
        allowable_barring,
        factored_barring,
    });
    let counts = counting_forms(rating);
    let least = least(
        counts,
        (bending.by_allowable().factor, bending.by_factored().factor),
        shear.as_ref().map(|s| (s.by_allowable().factor, s.by_factored().factor)),
    );
    let case = on_span.local_case();
    let local = on_span.girder.local.rated().map(|member| {
        let live = member.live_moment(&vehicle.vehicle.trains, case.lanes);
        let allowable = member.allowable(&case, live, barring);
        let factored = member.factored(&case, live, factored_level(class, rating));
        let least = self::least(counts, (allowable.factor, factored.factor), None);
        LocalRating { member: *member, live, allowable, factored, least }
    });
    VehicleRating {
        hogging: on_span.hogging(vehicle, &vehicle.allowable),
        local: local.collect(),
        on_span: vehicle.clone(),
        bending,
        shear,
        deflection: on_span.deflection(vehicle.deflection),
        least,
        posting: posting(vehicle.vehicle.gross(), least, &rules.posting),
    }
}

impl OnSpan<'_> {
    /// What the sign has to say of a vehicle.
    fn legal(&self, vehicle: &VehicleEffects, rules: &Rules) -> LegalRating {
        let lanes = self.loads.lanes;
        let moment = |member: &LocalMember| member.live_moment(&vehicle.vehicle.trains, lanes);
        let girder = least_of(self, vehicle, rules);
        let local = least_of_members(self, vehicle.vehicle.class, moment, rules)
            .filter(|(_, factor)| *factor < girder);
        let (member, least) = local.map_or((None, girder), |(part, least)| (Some(part), least));
        let gross = vehicle.vehicle.gross();
        let posting = posting(gross, least, &rules.posting);
        LegalRating { vehicle: vehicle.vehicle.name.clone(), gross, least, member, posting }
    }
}

/// The least factor of the stringers and cross-members that are measured, in the forms that count; `live`
/// is the moment of a vehicle's wheels on a member.
pub(super) fn least_of_members(
    on_span: &OnSpan,
    class: VehicleClass,
    live: impl Fn(&LocalMember) -> KipFeet,
    rules: &Rules,
) -> Option<(Part, Ratio)> {
    let (case, rating) = (on_span.local_case(), &rules.rating);
    let counts = counting_forms(rating);
    let factor = |member: &LocalMember| {
        let live = live(member);
        let stress = member.allowable(&case, live, allowable_level(class, rating)).factor;
        let factors = member.factored(&case, live, factored_level(class, rating)).factor;
        (member.part, least(counts, (stress, factors), None))
    };
    on_span.girder.local.rated().map(factor).min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The least factor of the main girder for one vehicle, of the forms that count.
pub(super) fn least_of(on_span: &OnSpan, vehicle: &VehicleEffects, rules: &Rules) -> Ratio {
    let (class, rating) = (vehicle.vehicle.class, &rules.rating);
    let (by_stress, by_factors) = (allowable_level(class, rating), factored_level(class, rating));
    let bending = (
        on_span.bending_allowable(vehicle, by_stress).factor,
        on_span.bending_factored(vehicle, by_factors).factor,
    );
    let shear = on_span
        .shear_allowable(vehicle, by_stress)
        .zip(on_span.shear_factored(vehicle, by_factors))
        .map(|(stress, factors)| (stress.factor, factors.factor));
    least(counting_forms(rating), bending, shear)
}

/// Which forms count for the posting: those that bar, or both where none does.
pub(super) fn counting_forms(rules: &RatingRules) -> (bool, bool) {
    match (rules.allowable_stress, rules.load_and_resistance) {
        (false, false) => (true, true),
        forms => forms,
    }
}

/// The least factor of the forms that count; pairs are allowable stress, load and resistance.
pub(super) fn least(
    counts: (bool, bool),
    bending: (Ratio, Ratio),
    shear: Option<(Ratio, Ratio)>,
) -> Ratio {
    let mut least = Ratio(f64::INFINITY);
    for (allowable, factored) in std::iter::once(bending).chain(shear) {
        if counts.0 {
            least = least.min(allowable);
        }
        if counts.1 {
            least = least.min(factored);
        }
    }
    least
}
