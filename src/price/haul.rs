//! The road from the yard to the crossing: distance, loads, haul, permit, escort.

use super::ledger::{Ledger, Lines, Total, tenth};
use super::overhead::with_overhead;
use super::trim;
use crate::check::TOLERANCE;
use crate::model::car::Car;
use crate::model::ends::cut_length;
use crate::model::haul_quote::HaulQuote;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::place::Position;
use crate::model::plan::{CostItem, CostLine};
use crate::model::rules::{HaulRules, Laid, OverheadRules, Truckload};
use crate::quantity::{Cents, Feet, Kips, Miles};

/// Road miles between two points: the great circle times the rules' road factor, to a tenth of a
/// mile. An estimate for comparing yards, no substitute for the route survey.
#[must_use]
pub fn road_miles(from: Position, to: Position, rules: &HaulRules) -> Miles {
    Miles(tenth(from.distance(to).0 * rules.road_factor))
}

/// What one load costs on the road, contingency and engineering included.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LoadCost {
    /// Haul.
    pub haul: Cents,
    /// Permit.
    pub permit: Cents,
    /// Escort.
    pub escort: Cents,
}

impl LoadCost {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> Cents {
        self.haul + self.permit + self.escort
    }

    /// Of each part the greater one: a load counts as if all its cars were like the longest and the
    /// heaviest of them.
    #[must_use]
    pub fn greater(&self, other: &Self) -> Self {
        Self {
            haul: self.haul.max(other.haul),
            permit: self.permit.max(other.permit),
            escort: self.escort.max(other.escort),
        }
    }

    /// So many times all of it.
    #[must_use]
    pub fn times(&self, count: i64) -> Self {
        Self { haul: self.haul * count, permit: self.permit * count, escort: self.escort * count }
    }
}

/// Takes a load's charges with contingency and engineering on them.
struct LoadTotal<'a> {
    cost: LoadCost,
    rules: &'a OverheadRules,
}

impl Ledger for LoadTotal<'_> {
    fn charge(&mut self, item: CostItem, amount: Cents, _: impl FnOnce() -> String) {
        let amount = with_overhead(self.rules, amount);
        match item {
            CostItem::Permit => self.cost.permit += amount,
            CostItem::Escort => self.cost.escort += amount,
            _ => self.cost.haul += amount,
        }
    }
}

/// What each car of a load of several may measure at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EachAtMost {
    /// Its length.
    pub length: Feet,
    /// Its weight.
    pub weight: Kips,
}

/// What each car of a load of so many may measure, by the rules and, for the whole load, by the route
/// to a site. `None`: no such load is allowed, or the route is not surveyed.
#[must_use]
pub fn each_at_most(inputs: &Inputs, site: Site, cars: usize) -> Option<EachAtMost> {
    let rule = inputs.rules.haul.truckload(cars)?;
    let crossing = inputs.crossing(site.crossing);
    let along = along(rule, cars);
    Some(EachAtMost {
        length: rule.each_at_most_ft.min(crossing.haul_length_limit? / along),
        weight: Kips::from(rule.each_at_most_lb).min(crossing.haul_weight_limit? / cars as f64),
    })
}

/// Cars of a load one behind the other.
fn along(rule: &Truckload, cars: usize) -> f64 {
    match rule.laid {
        Laid::Stacked => 1.0,
        Laid::EndToEnd => cars as f64,
    }
}

/// Whether a car's ends are cut at the yard before it is hauled to a span: where only so it gets there, and
/// where by that it costs less, hauled alone. The weight on the road and on the hook stays that of the whole
/// car, for nobody weighed the ends.
#[must_use]
pub fn is_cut_at_yard(inputs: &Inputs, ix: CarIx, site: Site) -> bool {
    let (car, crossing) = (inputs.car(ix), inputs.crossing(site.crossing));
    let Some(cut) = cut_length(&inputs.rules, crossing, site, car) else { return false };
    let Some(length) = car.length else { return false };
    let within =
        |length: Feet| crossing.haul_length_limit.is_none_or(|most| length.0 <= most.0 + TOLERANCE);
    if !within(length) {
        return within(cut);
    }
    let cost = |at_yard: bool| {
        let mut total = Total::by(&inputs.rules.overhead);
        let longest = if at_yard { cut } else { length };
        let load = Load { cars: 1, longest, heaviest: car.weight?, widest: car.width_on_road()? };
        charge(&mut total, inputs, ix, site, &load);
        trim::charge(&mut total, &inputs.rules, crossing, site, car, at_yard)?;
        Some(total.sum)
    };
    cost(true).zip(cost(false)).is_some_and(|(at_yard, there)| at_yard < there)
}

/// The length in which a car is hauled to a span; none: it is not known.
#[must_use]
pub fn hauled_length(inputs: &Inputs, ix: CarIx, site: Site) -> Option<Feet> {
    let car = inputs.car(ix);
    if is_cut_at_yard(inputs, ix, site) {
        return cut_length(&inputs.rules, inputs.crossing(site.crossing), site, car);
    }
    car.length
}

/// How many cars a load on the way to a site may have when this car is one of them, at least 1. A car
/// of unknown length or weight goes alone.
#[must_use]
pub fn most_on_trailer(inputs: &Inputs, car: CarIx, site: Site) -> usize {
    let length = hauled_length(inputs, car, site);
    let (Some(length), Some(weight)) = (length, inputs.car(car).weight) else { return 1 };
    let may = |cars: &usize| {
        each_at_most(inputs, site, *cars).is_some_and(|each| {
            length.0 <= each.length.0 + TOLERANCE && weight.0 <= each.weight.0 + TOLERANCE
        })
    };
    (2..).take_while(may).last().unwrap_or(1)
}

/// What a load of so many cars like this one costs on the way to a site; `None`: the car's length or
/// weight is unknown.
#[must_use]
pub fn load_cost(inputs: &Inputs, car: CarIx, site: Site, cars: usize) -> Option<LoadCost> {
    let mut total = LoadTotal { cost: LoadCost::default(), rules: &inputs.rules.overhead };
    let row = inputs.car(car);
    let longest = hauled_length(inputs, car, site)?;
    let (heaviest, widest) = (row.weight?, row.width_on_road()?);
    let load = Load { cars, longest, heaviest, widest };
    charge(&mut total, inputs, car, site, &load);
    Some(total.cost)
}

/// Haul, permit and escort of a load of these cars, which leave from one yard. `None`: the length or
/// weight of one of them is unknown, or there is none.
#[must_use]
pub fn load_lines(inputs: &Inputs, cars: &[CarIx], site: Site) -> Option<Vec<CostLine>> {
    let rows = || cars.iter().map(|car| inputs.car(*car));
    let lengths = cars.iter().map(|car| hauled_length(inputs, *car, site));
    let lengths: Option<Vec<Feet>> = lengths.collect();
    let weights: Option<Vec<Kips>> = rows().map(|car| car.weight).collect();
    let widths: Option<Vec<Feet>> = rows().map(Car::width_on_road).collect();
    let load = Load {
        cars: cars.len(),
        widest: widths?.into_iter().reduce(Feet::max)?,
        longest: lengths?.into_iter().reduce(Feet::max)?,
        heaviest: weights?.into_iter().reduce(Kips::max)?,
    };
    let names: Vec<String> = rows().map(|car| car.name()).collect();
    let lines_as = |car: CarIx, load: &Load| {
        let mut lines = Lines::on(names.join(ON_ONE_TRAILER));
        charge(&mut lines, inputs, car, site, load);
        lines.into_lines()
    };
    let quote = |car: &CarIx| inputs.haul_quote(*car, site.crossing);
    let (first, rest) = cars.split_first()?;
    if rest.iter().all(|car| quote(car) == quote(first)) {
        return Some(lines_as(*first, &load));
    }
    // Cars with quotes of their own: of each part the dearest, as if all cars were like that one.
    let mut dearest: Vec<CostLine> = Vec::new();
    for car in cars {
        let row = inputs.car(*car);
        let longest = hauled_length(inputs, *car, site)?;
        let (heaviest, widest) = (row.weight?, row.width_on_road()?);
        for line in lines_as(*car, &Load { cars: cars.len(), longest, heaviest, widest }) {
            match dearest.iter_mut().find(|other| other.item == line.item) {
                Some(other) if other.amount >= line.amount => {}
                Some(other) => *other = line,
                None => dearest.push(line),
            }
        }
    }
    dearest.sort_by_key(|line| line.item);
    Some(dearest)
}

/// Whether what a load of these cars pays for haul, permit or escort is quoted and not estimated.
#[must_use]
pub fn is_quoted(inputs: &Inputs, cars: &[CarIx], site: Site, item: CostItem) -> bool {
    let quoted = |car: &CarIx| {
        inputs.haul_quote(*car, site.crossing).and_then(|quote| quoted_part(quote, item)).is_some()
    };
    !cars.is_empty() && cars.iter().all(quoted)
}

/// What a quote says of a part of the haul.
fn quoted_part(quote: &HaulQuote, item: CostItem) -> Option<Cents> {
    match item {
        CostItem::Haul => Some(quote.haul),
        CostItem::Permit => quote.permit,
        CostItem::Escort => quote.escort,
        _ => None,
    }
}

/// Between the names of cars on one trailer, as the subject of a line.
pub const ON_ONE_TRAILER: &str = " + ";

/// Cars on one trailer.
pub(super) struct Load {
    pub cars: usize,
    pub longest: Feet,
    pub heaviest: Kips,
    pub widest: Feet,
}

impl Load {
    /// `1 load` and, where there are several cars, how many.
    fn words(&self) -> String {
        match self.cars {
            1 => "1 load".to_owned(),
            cars => format!("1 load of {cars} cars"),
        }
    }
}

/// `2 x ` before what is added up, nothing before what is not.
fn times(count: f64) -> String {
    if count > 1.0 { format!("{count} x ") } else { String::new() }
}

/// A load from a car's yard to a site: haul, then permit and escort where the load asks for them.
///
/// A load counts as if all its cars were as long as the longest and as heavy as the heaviest. That is
/// never less than what it is. Where a quote holds for the car, what it names takes the place of the
/// estimate.
pub(super) fn charge(
    ledger: &mut impl Ledger,
    inputs: &Inputs,
    ix: CarIx,
    site: Site,
    load: &Load,
) {
    let rules = &inputs.rules.haul;
    let car = inputs.car(ix);
    let quote = inputs.haul_quote(ix, site.crossing);
    let quoted = |item: CostItem| Some((quote?, quoted_part(quote?, item)?));
    let miles =
        road_miles(inputs.yard(car.yard).position, inputs.crossing(site.crossing).position, rules);
    let of_several = if load.cars > 1 { format!("{}: ", load.words()) } else { String::new() };
    let by_distance = rules.usd_per_mile * miles;
    let minimum = rules.minimum_usd;
    let words = || format!("{miles} x {}", rules.usd_per_mile);
    if let Some((quote, amount)) = quoted(CostItem::Haul) {
        ledger.charge(CostItem::Haul, amount, || format!("{of_several}{}", quote.words()));
    } else if by_distance >= minimum {
        ledger.charge(CostItem::Haul, by_distance, || format!("{of_several}{}", words()));
    } else {
        ledger.charge(CostItem::Haul, minimum, || {
            format!("{of_several}minimum charge; {} would be {by_distance}", words())
        });
    }

    // More cars than any trailer takes would be no load; their lengths would add up.
    let alone = if load.cars > 1 { load.cars as f64 } else { 1.0 };
    let along = rules.truckload(load.cars).filter(|_| load.cars > 1);
    let along = along.map_or(alone, |rule| self::along(rule, load.cars));
    let (length, weight) = (load.longest * along, load.heaviest * load.cars as f64);
    let length_words = || format!("length {}{}", times(along), load.longest);
    let over = |measured: f64, limit: f64| measured > limit + TOLERANCE;
    let width_words = |limit: Feet| format!("width {} over {limit}", load.widest);
    let mut why = Vec::new();
    if over(length.0, rules.permit_over_length_ft.0) {
        why.push(format!("{} over {}", length_words(), rules.permit_over_length_ft));
    }
    if over(weight.0, rules.permit_over_weight().0) {
        why.push(format!(
            "weight {}{} over {}",
            times(load.cars as f64),
            load.heaviest,
            rules.permit_over_weight()
        ));
    }
    if over(load.widest.0, rules.permit_over_width_ft.0) {
        why.push(width_words(rules.permit_over_width_ft));
    }
    if let Some((quote, amount)) = quoted(CostItem::Permit) {
        ledger.charge(CostItem::Permit, amount, || format!("{of_several}{}", quote.words()));
    } else if !why.is_empty() {
        ledger.charge(CostItem::Permit, rules.permit_usd, || {
            format!("{}: {}", load.words(), why.join(", "))
        });
    }
    let mut why = Vec::new();
    if over(length.0, rules.escort_over_length_ft.0) {
        why.push(format!("{} over {}", length_words(), rules.escort_over_length_ft));
    }
    if over(load.widest.0, rules.escort_over_width_ft.0) {
        why.push(width_words(rules.escort_over_width_ft));
    }
    if let Some((quote, amount)) = quoted(CostItem::Escort) {
        ledger.charge(CostItem::Escort, amount, || format!("{of_several}{}", quote.words()));
    } else if !why.is_empty() {
        let by_distance = rules.escort_usd_per_mile * miles;
        let minimum = rules.escort_minimum_usd;
        let words = || format!("{miles} x {}", rules.escort_usd_per_mile);
        ledger.charge(CostItem::Escort, by_distance.max(minimum), || {
            let charged = if by_distance >= minimum {
                words()
            } else {
                format!("minimum charge; {} would be {by_distance}", words())
            };
            format!("{of_several}{charged}; {}", why.join(", "))
        });
    }
}
