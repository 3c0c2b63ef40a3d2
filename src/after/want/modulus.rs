//! The section modulus to ask for: by rating a car of which everything else is assumed.

use crate::check::Check;
use crate::model::car::{Car, MainGirder, MemberCondition, Members};
use crate::model::inputs::{Inputs, Site, YardIx};
use crate::model::place::RowPlace;
use crate::model::rules::Rules;
use crate::quantity::{CubicInches, Feet, Kips, Ksi};
use crate::rate::rate_checks;

/// What is taken for granted of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumed {
    /// Truck centers: those of the span.
    pub centers: Feet,
    /// Length over the ends.
    pub length: Feet,
    /// Width.
    pub width: Feet,
    /// Weight.
    pub weight: Kips,
}

/// The section modulus needed with one steel.
#[derive(Clone, Debug, PartialEq)]
pub struct Needed {
    /// Yield strength of the steel.
    pub steel: Ksi,
    /// Least section modulus at mid-span, rounded up to ten; none: no girder of the trade is enough.
    pub modulus: Option<CubicInches>,
    /// What is taken for granted.
    pub assumed: Assumed,
    /// The check with the least margin at that modulus, which decides it.
    pub decided_by: Option<Check>,
}

/// Room that the length leaves beyond the truck centers, feet; common practice, no source.
const ENDS: Feet = Feet(12.0);
/// Width where no car on offer has any, feet.
const WIDTH: Feet = Feet(9.0);
/// Weight where none is known, kips.
const WEIGHT: Kips = Kips(45.0);

impl Assumed {
    /// Of the cars on offer that are long enough, the heaviest and widest, so that the modulus is
    /// enough for the others too; within what route and crane take.
    pub fn of(
        inputs: &Inputs,
        span: Feet,
        length_most: Option<Feet>,
        weight_most: Option<Kips>,
    ) -> Self {
        let long = |car: &&Car| car.truck_centers.is_some_and(|centers| centers.0 >= span.0);
        let cars = || inputs.cars.iter().filter(long);
        let all = || inputs.cars.iter();
        let most = |a: Option<f64>, b: f64| Some(a.map_or(b, |a: f64| a.max(b)));
        let weight = cars()
            .filter_map(|car| car.weight)
            .fold(None, |a, b| most(a, b.0))
            .or_else(|| all().filter_map(|car| car.weight).fold(None, |a, b| most(a, b.0)))
            .map_or(WEIGHT, Kips);
        let width = cars()
            .filter_map(|car| car.width)
            .fold(None, |a, b| most(a, b.0))
            .or_else(|| all().filter_map(|car| car.width).fold(None, |a, b| most(a, b.0)))
            .map_or(WIDTH, Feet);
        let length = (span + ENDS).min(length_most.unwrap_or(span + ENDS)).max(span + Feet(0.5));
        Self { centers: span, length, width, weight: weight.min(weight_most.unwrap_or(weight)) }
    }

    /// A car that is as assumed, with this modulus and steel, everything else sound and known.
    fn car(self, modulus: CubicInches, steel: Ksi) -> Car {
        let sound = Some(MemberCondition::Sound);
        let place = RowPlace { file: "wanted".into(), line: 0 };
        Car {
            length: Some(self.length),
            truck_centers: Some(self.centers),
            width: Some(self.width),
            steel_yield: Some(steel),
            yield_source: Some("certificate, as wanted".to_owned()),
            girder: MainGirder {
                stated_modulus: Some(modulus),
                modulus_source: Some("as wanted".to_owned()),
                ..MainGirder::default()
            },
            weight: Some(self.weight),
            members: Members {
                main_girder: sound,
                exterior_girders: sound,
                bolsters: sound,
                cross_members: sound,
                stringers: sound,
            },
            wrecked: Some(false),
            ..Car::unknown("wanted", "any dealer", YardIx(0), place)
        }
    }
}

/// The steels to ask about: that of unknown year, which is the weakest of the rules, and 50 ksi.
pub(super) fn steels(rules: &Rules) -> Vec<Ksi> {
    let of_year = |row: &crate::model::rules::SteelByYear| row.yield_ksi;
    let mut steels: Vec<Ksi> = rules.steel_by_year.iter().map(of_year).collect();
    // The last row holds for what is built today, and is what most cars on offer are made of.
    let modern = steels.pop().into_iter();
    modern.chain([HIGH_STRENGTH]).collect()
}

/// High-strength steel that mill certificates of newer cars often state.
const HIGH_STRENGTH: Ksi = Ksi(50.0);

/// Greatest section modulus that the inventory takes, cubic inches.
const MOST: f64 = 5_000.0;
/// Moduli are asked for in steps of this, cubic inches.
const STEP: f64 = 10.0;

/// The least section modulus with which a car as assumed passes every rating check on a span.
#[must_use]
pub fn needed_modulus(inputs: &Inputs, site: Site, assumed: &Assumed, steel: Ksi) -> Needed {
    let crossing = inputs.crossing(site.crossing);
    let span = inputs.span(site);
    let checks = |step: u32| {
        let car = assumed.car(CubicInches(f64::from(step) * STEP), steel);
        rate_checks(&car, crossing, span, &inputs.rules)
    };
    let passes = |step: u32| !checks(step).iter().any(|check| check.outcome.bars());
    let (mut low, mut high) = (0, (MOST / STEP) as u32);
    if !passes(high) {
        return Needed { steel, modulus: None, assumed: *assumed, decided_by: None };
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if passes(middle) { high = middle } else { low = middle }
    }
    // One step below, the check that fails by most is the one that decides.
    let mut failed = if low > 0 { checks(low) } else { Vec::new() };
    failed.retain(|check| check.outcome.bars());
    let worst = |check: &Check| check.relative_margin().unwrap_or(0.0);
    let deciding = failed.into_iter().min_by(|a, b| worst(a).total_cmp(&worst(b)));
    let decided_by = deciding.and_then(|deciding| {
        let same = |check: &Check| check.code == deciding.code && check.part == deciding.part;
        checks(high).into_iter().find(same)
    });
    let modulus = Some(CubicInches(f64::from(high) * STEP));
    Needed { steel, modulus, assumed: *assumed, decided_by }
}
