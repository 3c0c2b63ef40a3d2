//! The full rating of one car on one span: every intermediate number, for the calculation sheet and
//! for the checks.

use serde::Serialize;

use super::dead_load::DeadLoad;
use super::effects::VehicleEffects;
use super::factors::{Factor, RatingLevel};
use super::girder::{Girder, Unrateable};
use super::loads::SpanLoads;
use super::on_span::{OnSpan, allowable_level, factored_level, rating_level};
use super::posting::{Posting, posting};
use super::share::Share;
use super::vehicles::VehicleClass;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::rules::{Level, Rules};
use crate::quantity::{Feet, Inches, KipFeet, Kips, Ratio, SquareInches};

/// The rating factors of one effect (bending or shear) of one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Forms<Q> {
    /// Allowable stress, at inventory and operating level.
    pub allowable: [Factor<Q>; 2],
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
    /// The least factor of the forms that bar (of both where none does), bending and shear.
    pub least: Ratio,
    /// The posting that follows from it.
    pub posting: Posting,
}

/// The webs that carry the shear, at the bearing.
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
    /// Webs at the bearing; none without plates.
    pub webs: Option<ShearWebs>,
    /// The car's share of a lane's load, allowable-stress form.
    pub allowable_share: Share,
    /// The car's share of a lane's load, load-and-resistance form.
    pub factored_share: Share,
    /// One entry per vehicle, in the order of the crossing.
    pub vehicles: Vec<VehicleRating>,
    /// Index of the vehicle with the least factor.
    pub governing: usize,
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

    /// Rates a girder on a span whose loads are worked out.
    #[must_use]
    pub fn with(girder: &Girder, loads: &SpanLoads, rules: &Rules) -> Self {
        let on_span = OnSpan::new(girder, loads, &rules.rating);
        let vehicles: Vec<_> =
            loads.effects.vehicles.iter().map(|v| rate_vehicle(&on_span, v, rules)).collect();
        let governing = (0..vehicles.len())
            .min_by(|&a, &b| vehicles[a].least.total_cmp(&vehicles[b].least))
            .unwrap_or(0);
        Self {
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
        }
    }

    /// The span.
    #[must_use]
    pub fn span(&self) -> Feet {
        self.loads.span()
    }
}

fn rate_vehicle(on_span: &OnSpan, vehicle: &VehicleEffects, rules: &Rules) -> VehicleRating {
    let class = vehicle.vehicle.class;
    let rating = &rules.rating;
    let levels: &[RatingLevel] = match class {
        VehicleClass::Design => &[RatingLevel::Inventory, RatingLevel::Operating],
        _ => &[RatingLevel::Legal],
    };
    let both = [Level::Inventory, Level::Operating];
    let barring = allowable_level(class, rating);
    let allowable_barring = usize::from(barring == Level::Operating);
    let factored_barring =
        levels.iter().position(|&l| l == factored_level(class, rating)).unwrap_or(0);
    debug_assert_eq!(rating_level(both[allowable_barring]), rating_level(barring));
    let bending = Forms {
        allowable: both.map(|level| on_span.bending_allowable(vehicle, level)),
        factored: levels.iter().map(|&l| on_span.bending_factored(vehicle, l)).collect(),
        allowable_barring,
        factored_barring,
    };
    let shear = match both.map(|level| on_span.shear_allowable(vehicle, level)) {
        [Some(inventory), Some(operating)] => Some(Forms {
            allowable: [inventory, operating],
            factored: levels.iter().filter_map(|&l| on_span.shear_factored(vehicle, l)).collect(),
            allowable_barring,
            factored_barring,
        }),
        _ => None,
    };
    let counts = counting_forms(rating);
    let least = least(
        counts,
        (bending.by_allowable().factor, bending.by_factored().factor),
        shear.as_ref().map(|s| (s.by_allowable().factor, s.by_factored().factor)),
    );
    VehicleRating {
        on_span: vehicle.clone(),
        bending,
        shear,
        deflection: on_span.deflection(vehicle),
        least,
        posting: posting(vehicle.vehicle.gross(), least, &rules.posting),
    }
}

/// Which forms count for the posting: those that bar, or both where none does.
pub(super) fn counting_forms(rules: &crate::model::rules::RatingRules) -> (bool, bool) {
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
