//! What is bought at a yard, with where each car goes.

use jiff::civil::Date;

use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::plan::{CarCount, CostItem, CostLine, Deck, Plan, YardPurchase, sum};
use crate::price;
use crate::quantity::Cents;
use crate::report::facts::count;

/// Cars of one row that go to one span of a crossing.
#[derive(Clone, Debug, PartialEq)]
pub struct Destination {
    /// The row.
    pub car: CarIx,
    /// The span.
    pub site: Site,
    /// How many cars.
    pub count: u32,
    /// Their haul. That of a trailer that they share counts with its first car.
    pub haul: Cents,
    /// The haul of one of them, where each comes alone.
    pub each: Option<Cents>,
    /// How the haul is reckoned.
    pub basis: String,
}

/// Where the cars of a row go, in the order of crossings and spans.
#[must_use]
pub fn destinations(inputs: &Inputs, plan: &Plan, car: CarIx) -> Vec<Destination> {
    let decks = plan.crossings.iter().filter_map(|c| c.served()).flat_map(|s| &s.decks);
    decks.filter_map(|deck| destination(inputs, deck, car)).collect()
}

fn destination(inputs: &Inputs, deck: &Deck, car: CarIx) -> Option<Destination> {
    let places = || (0..deck.cars.len()).filter(|place| deck.cars[*place].car == car);
    let mut going = Destination {
        car,
        site: deck.site,
        count: u32::try_from(places().count()).unwrap_or(u32::MAX),
        haul: Cents::ZERO,
        each: None,
        basis: String::new(),
    };
    let mut bases: Vec<String> = Vec::new();
    for place in places() {
        let load = deck.shared_load(place).unwrap_or_default();
        let first = load.first().copied().unwrap_or(place);
        let cars = if load.is_empty() { vec![car] } else { deck.load(load) };
        let line = price::load_lines(inputs, &cars, deck.site).unwrap_or_default();
        let line = line.into_iter().find(|line| line.item == CostItem::Haul);
        let amount = line.as_ref().map(|line| line.amount);
        if first == place {
            going.haul += amount.unwrap_or_default();
            bases.extend(line.map(|line| line.basis));
        } else if deck.cars[first].car != car {
            bases.push(format!("on the trailer of {}", inputs.car(deck.cars[first].car).id));
        }
        if load.is_empty() {
            going.each = amount;
        }
    }
    if places().any(|place| deck.shared_load(place).is_some()) {
        going.each = None;
    }
    if price::is_cut_at_yard(inputs, car, deck.site) {
        let length = price::hauled_length(inputs, car, deck.site).unwrap_or_default();
        bases.push(format!("ends cut at the yard, hauled at {length}"));
    }
    bases.dedup();
    going.basis = bases.join("; ");
    (going.count > 0).then_some(going)
}

/// Which cars of a deck come on one trailer, with what each of them may measure for that; none where
/// each comes alone.
#[must_use]
pub fn trailers(inputs: &Inputs, deck: &Deck) -> Vec<String> {
    let sentence = |load: &Vec<usize>| {
        let cars = deck.load(load);
        let ids: Vec<&str> = cars.iter().map(|car| inputs.car(*car).id.as_str()).collect();
        let each = price::each_at_most(inputs, deck.site, cars.len());
        let each = each.map(|each| {
            format!("; by rules and route each at most {} and {}", each.weight, each.length)
        });
        format!("On one trailer: {}{}.", ids.join(", "), each.unwrap_or_default())
    };
    deck.loads.iter().map(sentence).collect()
}

/// Cars in some counts.
#[must_use]
pub fn cars(counts: &[CarCount]) -> usize {
    counts.iter().map(|c| c.count as usize).sum()
}

/// Cars of the agency's own that the plan uses up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnStock {
    /// How many.
    pub cars: usize,
    /// What they are worth to the agency, as far as it says so.
    pub worth: Cents,
    /// How many of them without a stated worth.
    pub unstated: usize,
}

impl OwnStock {
    /// Of some counts.
    #[must_use]
    pub fn of<'a>(inputs: &Inputs, counts: impl IntoIterator<Item = &'a CarCount>) -> Self {
        let mut stock = Self { cars: 0, worth: Cents::ZERO, unstated: 0 };
        for own in counts {
            stock.cars += own.count as usize;
            match inputs.car(own.car).price {
                Some(worth) => stock.worth += worth * i64::from(own.count),
                None => stock.unstated += own.count as usize,
            }
        }
        stock
    }

    /// `2 cars, worth $9,000.00 to the agency, not paid for`.
    #[must_use]
    pub fn words(&self) -> String {
        let cars = count(self.cars, "car");
        let worth = match self.unstated {
            0 => format!("worth {}", self.worth),
            n if n == self.cars => "worth not stated".to_owned(),
            n => format!("worth {}, {n} of them not stated", self.worth),
        };
        format!("{cars}, {worth}, not bought")
    }
}

/// What the plan uses of the agency's own cars; none where it uses none.
#[must_use]
pub fn own_stock(inputs: &Inputs, plan: &Plan) -> Option<OwnStock> {
    let stock = OwnStock::of(inputs, plan.purchases.iter().flat_map(|yard| &yard.own));
    (stock.cars > 0).then_some(stock)
}

/// All cars bought at a yard.
#[must_use]
pub fn cars_bought(purchase: &YardPurchase) -> usize {
    let lots: usize = purchase.lots.iter().map(|l| cars(&l.placed) + cars(&l.left_over)).sum();
    cars(&purchase.singles) + cars(&purchase.spares) + lots
}

/// The cars of a yard that go to a crossing, bought or own.
#[must_use]
pub fn cars_placed(purchase: &YardPurchase) -> usize {
    let lots: usize = purchase.lots.iter().map(|lot| cars(&lot.placed)).sum();
    cars(&purchase.singles) + cars(&purchase.own) + lots
}

/// The first day on which a quote of a car bought here ends, and the first such car.
#[must_use]
pub fn first_quote_end(inputs: &Inputs, purchase: &YardPurchase) -> Option<(Date, CarIx)> {
    let lots = purchase.lots.iter().flat_map(|lot| lot.placed.iter().chain(&lot.left_over));
    let cars = purchase.singles.iter().chain(&purchase.spares).chain(lots).map(|cars| cars.car);
    cars.filter_map(|car| inputs.car(car).quote_expires.map(|date| (date, car))).min()
}

/// What the dealer is paid for cars and lots, spare ones too; loading, which the dealer also charges,
/// stands with the crossings.
#[must_use]
pub fn price_of_cars(inputs: &Inputs, purchase: &YardPurchase) -> Cents {
    let singles = purchase.singles.iter().chain(&purchase.spares);
    let singles: Cents = singles.map(|c| single_price(inputs, purchase, c)).sum();
    let lots: Cents = purchase.lots.iter().map(|lot| lot.price).sum();
    singles + lots
}

/// The price of so many cars of a row sold singly, at the price level of the purchase.
#[must_use]
pub fn single_price(inputs: &Inputs, purchase: &YardPurchase, cars: &CarCount) -> Cents {
    price_each(inputs, purchase, cars.car).unwrap_or_default() * i64::from(cars.count)
}

/// The price of one car sold singly, at the price level of the purchase; none for other cars.
#[must_use]
pub fn price_each(inputs: &Inputs, purchase: &YardPurchase, car: CarIx) -> Option<Cents> {
    let row = inputs.car(car);
    let asked = row.price.filter(|_| row.is_sold_singly())?;
    let level = inputs.yard(purchase.yard).levels.get(purchase.level);
    Some(level.map_or(asked, |level| price::paid(asked, level)))
}

/// What the number of cars does to the prices of a purchase, in a sentence; none where nothing.
#[must_use]
pub fn level_words(inputs: &Inputs, purchase: &YardPurchase) -> Option<String> {
    let yard = inputs.yard(purchase.yard);
    let level = yard.levels.get(purchase.level).filter(|_| purchase.is_bought())?;
    let bought = count(cars_bought(purchase), "car");
    let spares = match cars(&purchase.spares) {
        0 => String::new(),
        n => {
            let worth = stock_value(&purchase.spare_lines);
            format!("; {} of them only for this, stock worth {worth}", count(n, "car"))
        }
    };
    if level.off.0 > 0 {
        let (off, from) = (level.off, level.at_least);
        return Some(format!(
            "Price break: {off} off from {from} cars on, {bought} bought{spares}."
        ));
    }
    let least = yard.minimum_order();
    (least > 1).then(|| format!("Minimum order {least} cars, {bought} bought{spares}."))
}

/// The worth of left-over cars, as a positive amount.
#[must_use]
pub fn stock_value(lines: &[CostLine]) -> Cents {
    let worth: Vec<CostLine> =
        lines.iter().filter(|line| line.item == CostItem::StockValue).cloned().collect();
    -sum(&worth)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn identical_cars_of_one_row_go_to_several_crossings() {
        let (inputs, plan) = (fixture::inputs(), fixture::plan());
        let batch = fixture::car(&inputs, "DR-20");
        let goes: Vec<(usize, usize, u32)> = destinations(&inputs, &plan, batch)
            .iter()
            .map(|going| (going.site.crossing.0, going.site.span, going.count))
            .collect();
        assert_eq!(goes, [(0, 0, 1), (1, 1, 1)]);
        assert_eq!(destinations(&inputs, &plan, fixture::car(&inputs, "SS-3")), []);
    }

    #[test]
    fn own_stock_is_counted_with_its_worth_and_never_paid() {
        let (mut inputs, mut plan) = (fixture::inputs(), fixture::plan());
        assert_eq!(own_stock(&inputs, &plan), None);
        let yard = &mut plan.purchases[0];
        yard.own = std::mem::take(&mut yard.singles);
        assert_eq!(price_of_cars(&inputs, &plan.purchases[0]), Cents::ZERO);
        assert_eq!((cars_bought(&plan.purchases[0]), cars_placed(&plan.purchases[0])), (0, 3));
        let words = |inputs: &Inputs| own_stock(inputs, &plan).unwrap().words();
        assert_eq!(words(&inputs), "3 cars, worth $25,200.00, not bought");
        inputs.cars[0].price = None;
        assert_eq!(words(&inputs), "3 cars, worth $16,800.00, 1 of them not stated, not bought");
        inputs.cars[1].price = None;
        assert_eq!(words(&inputs), "3 cars, worth not stated, not bought");
    }

    #[test]
    fn the_dealer_is_paid_for_singles_and_whole_lots() {
        let (inputs, plan) = (fixture::inputs(), fixture::plan());
        let placed: Vec<usize> = plan.purchases.iter().map(cars_placed).collect();
        assert_eq!(placed, [3, 2]);
        let paid: Vec<(usize, Cents)> = plan
            .purchases
            .iter()
            .map(|purchase| (cars_bought(purchase), price_of_cars(&inputs, purchase)))
            .collect();
        assert_eq!(paid, [(3, Cents::dollars(25_200)), (3, Cents::dollars(21_000))]);
        let ends: Vec<_> = plan
            .purchases
            .iter()
            .map(|p| first_quote_end(&inputs, p).map(|(date, _)| date))
            .collect();
        assert_eq!(ends, [Some(jiff::civil::date(2026, 12, 31)); 2]);
        let lines = &plan.purchases[1].lots[0].left_over_lines;
        assert_eq!(stock_value(lines), Cents::dollars(1_400));
    }
}
