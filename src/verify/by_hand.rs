//! Cost items once more by hand: the sum of their lines at each crossing, from the inputs alone.

use std::collections::BTreeMap;

use super::reckon::{laid, per_cent, to_places};
use super::trim;
use crate::model::car::CarDeck;
use crate::model::inputs::Inputs;
use crate::model::plan::{CostItem, CostLine, Served};
use crate::quantity::Cents;

/// What is wrong with the sums of a crossing's items.
pub(super) fn faults(inputs: &Inputs, served: &Served) -> Vec<String> {
    let Some(expected) = sums(inputs, served) else {
        return vec!["a measure that is priced is not known".to_owned()];
    };
    let mut faults = Vec::new();
    for (item, expected) in expected {
        let found = of(&served.lines, item);
        if found != expected {
            let (found, expected) = (Cents(found), Cents(expected));
            faults.push(format!("{} comes to {expected}, not {found}", item.word()));
        }
    }
    faults
}

fn of(lines: &[CostLine], item: CostItem) -> i64 {
    lines.iter().filter(|line| line.item == item).map(|line| line.amount.0).sum()
}

/// What is no work: paid to dealers or for scrap, stated as a whole, or in per cent itself.
const NO_WORK: [CostItem; 9] = [
    CostItem::Car,
    CostItem::PriceBreak,
    CostItem::OwnCar,
    CostItem::LotShare,
    CostItem::SalesTax,
    CostItem::ScrapCredit,
    CostItem::Contingency,
    CostItem::Engineering,
    CostItem::Other,
];

/// The sums in cents, by item; none: a measure is not known.
fn sums(inputs: &Inputs, served: &Served) -> Option<BTreeMap<CostItem, i64>> {
    let rules = &inputs.rules;
    let mut sums = BTreeMap::new();
    let mut add = |item: CostItem, dollars: f64| {
        *sums.entry(item).or_insert(0) += Cents::from_dollars(dollars).0;
    };
    for deck in &served.decks {
        let crossing = inputs.crossing(deck.site.crossing);
        let system = rules.deck.iter().find(|system| system.name == crossing.deck_system)?;
        let mut longest = 0.0_f64;
        for placed in &deck.cars {
            let car = inputs.car(placed.car);
            let (laid, cuts) = laid(inputs, deck.site, car)?;
            longest = longest.max(laid);
            let area = to_places(car.width?.0 * laid, 10.0);
            add(CostItem::Deck, system.usd_per_sqft.0 * area);
            add(CostItem::Bearing, 2.0 * rules.fit.bearing_usd_per_end.as_dollars());
            add(CostItem::Gear, rules.fit.gear_usd_per_car.as_dollars());
            add(CostItem::Tests, rules.fit.survey_usd_per_car.as_dollars());
            let nobody_answers = car.steel_yield.is_none() || car.yield_source.is_none();
            if nobody_answers {
                add(CostItem::Tests, rules.fit.coupons_usd_per_car.as_dollars());
            }
            let strip = rules.fit.strip_usd_per_sqft.0 * area;
            if !system.keeps_car_deck && car.deck != Some(CarDeck::NoDeck) {
                add(CostItem::Strip, strip);
                if car.deck == Some(CarDeck::SteelPlate) {
                    add(
                        CostItem::ScrapCredit,
                        -strip.min(rules.fit.steel_deck_usd_per_sqft.0 * area),
                    );
                }
            }
            let each = match trim::at_yard(inputs, placed.car, deck.site)? {
                true => rules.trim.at_yard_usd_per_end,
                false => rules.trim.usd_per_end,
            };
            let cutting = each * i64::from(cuts);
            add(CostItem::Trim, cutting.as_dollars());
            let scrap = Cents(trim::scrap(inputs, placed.car, laid, cutting.0));
            add(CostItem::ScrapCredit, -scrap.as_dollars());
        }
        add(CostItem::Rail, rules.rail.usd_per_ft.0 * longest * 2.0);
        for _ in 1..deck.cars.len() {
            let joint = deck.joint.as_ref()?;
            let joint = rules.joint.iter().find(|kind| kind.name == joint.name)?;
            add(CostItem::Joint, joint.usd_per_ft.0 * longest);
        }
    }
    add(CostItem::ApproachRail, 4.0 * rules.rail.approach_ft.0 * rules.rail.approach_usd_per_ft.0);
    let work = served.lines.iter().filter(|line| !NO_WORK.contains(&line.item));
    let of = |percent: f64| work.clone().map(|line| per_cent(line.amount.0, percent)).sum();
    sums.insert(CostItem::Contingency, of(rules.overhead.contingency_pct.0));
    sums.insert(CostItem::Engineering, of(rules.overhead.engineering_pct.0));
    Some(sums)
}
