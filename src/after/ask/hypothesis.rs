//! Cars as they might be: what is unknown of them taken to be good enough.

use std::collections::BTreeMap;

use itertools::Itertools;

use crate::check::{Code, Grade, Outcome};
use crate::choose::Market;
use crate::evidence::below_plan;
use crate::model::car::{
    Availability, Car, CarDeck, CarKind, DeckCondition, MainGirder, MemberCondition,
};
use crate::model::crossing::Crossing;
use crate::model::evidence::Evidence;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::inventory::Inventory as C;
use crate::model::rules::Rules;
use crate::quantity::{CubicInches, Feet, Inches, Kips};
use crate::rate::Girder;
use crate::screen::Screening;

/// The greatest section modulus that the inventory takes: whatever is asked for is no more.
pub(super) const MOST: f64 = 5_000.0;
/// The body of a light flat car, kips per foot, where no sister's is known: an unknown weight is as good as
/// it must be, and what it may be at most is asked. Common practice, no source.
const WEIGHT: f64 = 0.45;
/// Camber where no sister's is known, in; common practice, no source.
const CAMBER: Inches = Inches(1.0);

/// A top flange that is braced so often that it does not buckle sideways.
const UNBRACED: Feet = Feet(1.0);

/// Inputs in which unknown facts are as good as they must be, and which those are.
#[derive(Clone, Debug)]
pub struct Hypothesis {
    /// The inputs.
    pub inputs: Inputs,
    asked: BTreeMap<CarIx, Vec<C>>,
    /// Of these the ones whose value is known, and only not well enough.
    known: BTreeMap<CarIx, Vec<C>>,
    routes: BTreeMap<CrossingIx, Vec<Route>>,
}

/// A limit of the way to a crossing or of its crane, which the agency finds out itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Route {
    /// The longest load.
    Length,
    /// The widest load.
    Width,
    /// The heaviest car.
    Weight,
    /// The heaviest pick.
    Crane,
}

impl Route {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Length, Self::Width, Self::Weight, Self::Crane];

    /// What it is, in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Length => "longest load on the route",
            Self::Width => "widest load on the route",
            Self::Weight => "heaviest car on the route",
            Self::Crane => "heaviest pick of the crane",
        }
    }

    fn is_known(self, crossing: &Crossing) -> bool {
        match self {
            Self::Length => crossing.haul_length_limit.is_some(),
            Self::Width => crossing.haul_width_limit.is_some(),
            Self::Weight => crossing.haul_weight_limit.is_some(),
            Self::Crane => crossing.crane_limit.is_some(),
        }
    }

    /// Sets the limit in feet or kips.
    pub(super) fn set(self, crossing: &mut Crossing, limit: f64) {
        match self {
            Self::Length => crossing.haul_length_limit = Some(Feet(limit)),
            Self::Width => crossing.haul_width_limit = Some(Feet(limit)),
            Self::Weight => crossing.haul_weight_limit = Some(Kips(limit)),
            Self::Crane => crossing.crane_limit = Some(Kips(limit)),
        }
    }

    /// What a car asks of it.
    pub(super) fn of(self, car: &Car, pick_factor: f64) -> f64 {
        match self {
            Self::Length => car.length.map_or(0.0, |length| length.0),
            Self::Width => car.width.map_or(0.0, |width| width.0),
            Self::Weight => car.weight.map_or(0.0, |weight| weight.0),
            Self::Crane => car.weight.map_or(0.0, |weight| weight.0 * pick_factor),
        }
    }
}

/// More than any car or load of the trade has, in feet or kips.
const ANY: f64 = 200.0;

/// Fills in what is unknown of cars that may still be had and of which nothing bad is told.
#[must_use]
pub fn hypothesis(inputs: &Inputs) -> Hypothesis {
    let screening = Screening::new(inputs);
    let (mut asked, mut known) = (BTreeMap::new(), BTreeMap::new());
    let mut supposed = inputs.clone();
    let mut routes = BTreeMap::new();
    for (number, crossing) in supposed.crossings.iter_mut().enumerate() {
        let unknown: Vec<Route> =
            Route::ALL.into_iter().filter(|route| !route.is_known(crossing)).collect();
        unknown.iter().for_each(|route| route.set(crossing, ANY));
        routes.insert(CrossingIx(number), unknown);
    }
    // What must be known of a car differs between few kinds of crossings.
    let kinds = inputs.crossings.iter().unique_by(|crossing| {
        let dated = crossing.needed_by.is_some();
        (crossing.most_abreast > 1, keeps_deck(crossing, &inputs.rules), dated)
    });
    let kinds: Vec<&Crossing> = kinds.collect();
    for car in inputs.car_indices() {
        let told = screening.of_car(car);
        let out = |code: Code| told.iter().any(|check| check.code == code && check.outcome.bars());
        let failed = told.iter().any(|check| check.outcome == Outcome::Fail);
        if failed || out(Code::BadNews) || out(Code::StillToBeHad) {
            continue;
        }
        let mut filled = inputs.car(car).clone();
        let mut facts = fill(&mut filled, inputs);
        let weak = too_weak(&filled, &kinds, inputs);
        let weak: Vec<_> = weak.into_iter().filter(|(fact, _)| !facts.contains(fact)).collect();
        // What still cannot be rated is no question of one fact.
        if facts.len() + weak.len() > 0 && Girder::of(&filled, &inputs.rules).is_ok() {
            let answers = facts.iter().map(|&fact| (fact, Grade::Stated));
            for (fact, grade) in answers.chain(weak.iter().copied()).collect::<Vec<_>>() {
                let evidence = |column| {
                    let by = Some("to be asked".to_owned());
                    (column, Evidence { grade, by, place: filled.place.clone() })
                };
                let of_plates = (fact == C::Webs).then_some(C::PLATES);
                let columns = of_plates.into_iter().flatten().chain([fact]).map(evidence);
                for (column, evidence) in columns.collect::<Vec<_>>() {
                    filled.evidence.set(column, evidence);
                }
            }
            let weak = weak.into_iter().map(|(fact, _)| fact).collect_vec();
            facts.extend(&weak);
            known.insert(car, weak);
            supposed.cars[car.0] = filled;
            asked.insert(car, facts);
        }
    }
    Hypothesis { inputs: supposed, asked, known, routes }
}

/// Whether the car's own deck stays at a crossing.
fn keeps_deck(crossing: &Crossing, rules: &Rules) -> bool {
    rules.deck_system(&crossing.deck_system).is_some_and(|deck| deck.keeps_car_deck)
}

/// The facts that are known, but not well enough to plan with at some crossing, with the grade that an
/// answer must have.
fn too_weak(car: &Car, kinds: &[&Crossing], inputs: &Inputs) -> Vec<(C, Grade)> {
    let weak = kinds.iter().flat_map(|crossing| below_plan(car, crossing, &inputs.rules));
    let weak = weak.filter(|fact| fact.grade.is_some()).unique_by(|fact| fact.column as usize);
    let least = |kind| inputs.rules.evidence.to_plan.of(kind).grade();
    weak.map(|fact| (fact.column, least(fact.kind).max(Some(Grade::Stated))))
        .filter_map(|(column, grade)| Some((column, grade?)))
        .collect()
}

/// Gives a car what it lacks, and says which facts those are.
fn fill(car: &mut Car, inputs: &Inputs) -> Vec<C> {
    let mut facts = Vec::new();
    let like = |of: fn(&Car) -> Option<f64>| -> Option<f64> {
        let section = car.section.clone()?;
        let sisters = inputs.cars.iter().filter(|other| other.section.as_ref() == Some(&section));
        let mut known: Vec<f64> = sisters.filter_map(of).collect();
        known.sort_by(f64::total_cmp);
        known.get(known.len() / 2).copied()
    };
    let length = like(|car| car.length.map(|length| length.0)).map(Feet);
    let centers = like(|car| car.truck_centers.map(|centers| centers.0)).map(Feet);
    let width = like(|car| car.width.map(|width| width.0)).map(Feet);
    let camber = like(|car| car.camber.map(|camber| camber.0)).map_or(CAMBER, Inches);
    let weight = like(|car| Some(car.weight?.0 / car.length?.0)).unwrap_or(WEIGHT);
    let deepest = inputs.rules.joint.iter().map(|joint| joint.exterior_depth_min_in);
    let deepest = deepest.reduce(Inches::max);
    let dearest = inputs.cars.iter().filter_map(|car| car.price).max();
    let sound = Some(MemberCondition::Sound);

    /// Sets what is unknown, and notes it.
    macro_rules! supposed {
        ($($field:ident).+, $column:expr, $value:expr) => {
            if car.$($field).+.is_none() {
                car.$($field).+ = $value;
                if car.$($field).+.is_some() {
                    facts.push($column);
                }
            }
        };
    }
    supposed!(kind, C::Kind, Some(CarKind::Flat));
    supposed!(length, C::Length, length);
    supposed!(truck_centers, C::TruckCenters, centers);
    supposed!(width, C::Width, width);
    supposed!(camber, C::Camber, Some(camber));
    supposed!(exterior_depth, C::ExteriorDepth, deepest);
    supposed!(weight, C::Weight, car.length.map(|length| Kips(weight * length.0)));
    supposed!(members.main_girder, C::MainGirder, sound);
    supposed!(members.exterior_girders, C::ExteriorGirders, sound);
    supposed!(members.bolsters, C::Bolsters, sound);
    supposed!(members.cross_members, C::CrossMembers, sound);
    supposed!(members.stringers, C::Stringers, sound);
    supposed!(wrecked, C::Wrecked, Some(false));
    if inputs.crossings.iter().any(|crossing| keeps_deck(crossing, &inputs.rules)) {
        supposed!(deck, C::Deck, Some(CarDeck::Timber));
        if car.deck != Some(CarDeck::NoDeck) {
            supposed!(deck_condition, C::DeckCondition, Some(DeckCondition::Sound));
        }
    }
    if car.girder.plates.is_some_and(|plates| plates.webs == 1) {
        supposed!(girder.unbraced_ft, C::Unbraced, Some(UNBRACED));
    }
    supposed!(available, C::Available, Some(Availability::Now));
    if !car.owned {
        supposed!(quote_expires, C::QuoteExpires, Some(inputs.order_date));
        if car.lot.is_none() {
            supposed!(price, C::Price, dearest);
        }
    }
    let named = |source: &String| inputs.rules.evidence.is_named(source);
    let answered = car.girder.modulus_source.as_ref().is_some_and(named)
        || !inputs.rules.evidence.modulus_source_required;
    if car.girder.plates.is_none() && (car.girder.stated_modulus.is_none() || !answered) {
        car.girder = MainGirder {
            stated_modulus: Some(car.girder.stated_modulus.unwrap_or(CubicInches(MOST))),
            modulus_source: Some("drawing, to be asked".to_owned()),
            ..car.girder.clone()
        };
        facts.push(C::Modulus);
    }
    facts
}

impl Hypothesis {
    /// The facts of a car of which no value is known, and any may come.
    pub(super) fn supposed(&self, car: CarIx) -> impl Iterator<Item = C> + '_ {
        let known = self.known.get(&car).map_or(&[][..], Vec::as_slice);
        self.asked(car).filter(move |fact| !known.contains(fact))
    }

    /// The facts of a car that would have to be asked.
    pub fn asked(&self, car: CarIx) -> impl Iterator<Item = C> + '_ {
        self.asked.get(&car).into_iter().flatten().copied()
    }

    /// The limits of the way to a crossing that would have to be found out.
    #[must_use]
    pub fn routes(&self, crossing: CrossingIx) -> &[Route] {
        self.routes.get(&crossing).map_or(&[], Vec::as_slice)
    }

    /// Whether a fact matters at a crossing.
    #[must_use]
    pub fn concerns(&self, fact: C, crossing: &Crossing) -> bool {
        match fact {
            C::ExteriorDepth => crossing.most_abreast > 1,
            C::Available => crossing.needed_by.is_some(),
            C::Deck | C::DeckCondition => keeps_deck(crossing, &self.inputs.rules),
            _ => true,
        }
    }

    /// How many questions a car raises at a crossing.
    #[must_use]
    pub fn questions(&self, car: CarIx, crossing: &Crossing) -> usize {
        self.asked(car).filter(|fact| self.concerns(*fact, crossing)).count()
    }

    /// Lets cars match whatever is only supposed of them.
    pub(super) fn free(&self, market: &mut Market) {
        let demands = market.crossings.iter_mut().flat_map(|demand| &mut demand.layouts);
        let spans = demands.flat_map(|layout| &mut layout.spans);
        for candidate in spans.flat_map(|span| &mut span.candidates) {
            for fact in self.supposed(CarIx(candidate.offer)) {
                let codes: &[Code] = match fact {
                    C::ExteriorDepth => &[Code::DepthSpread],
                    C::Modulus => &[Code::ModulusSpread],
                    C::Weight => &[Code::WeightSpread],
                    C::Length => &[Code::LengthSpread],
                    _ => &[],
                };
                for &code in codes {
                    candidate.fit.measures = candidate.fit.measures.with(code, f64::NAN);
                }
            }
        }
    }
}
