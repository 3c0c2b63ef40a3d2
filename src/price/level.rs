//! Price levels of a yard: what a car costs at each, and what a car bought only to reach one is worth.

use super::overhead::tax_line;
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::model::plan::{CostItem, CostLine};
use crate::model::yard::PriceLevel;
use crate::quantity::Cents;

/// Basis points in the whole.
const WHOLE: i64 = 10_000;

/// What a price break takes off an asked price: its share in whole basis points, rounded to the
/// cent, halves up.
#[must_use]
pub fn discount(asked: Cents, level: &PriceLevel) -> Cents {
    Cents((asked.0 * i64::from(level.off.0) + WHOLE / 2).div_euclid(WHOLE))
}

/// What a car sold singly costs at a price level.
#[must_use]
pub fn paid(asked: Cents, level: &PriceLevel) -> Cents {
    asked - discount(asked, level)
}

/// What is paid for a car sold singly, at a level of its yard if that has one; none for a car of a lot, of the
/// agency's own, or without a price.
#[must_use]
pub fn paid_for(inputs: &Inputs, car: CarIx, level: Option<&PriceLevel>) -> Option<Cents> {
    let car = inputs.car(car);
    let asked = car.price.filter(|_| car.is_sold_singly())?;
    Some(level.map_or(asked, |level| paid(asked, level)))
}

/// What a price break takes off the price of one car sold singly, as a negative amount; `None` where
/// it takes nothing off.
#[must_use]
pub fn discount_line(inputs: &Inputs, car: CarIx, level: &PriceLevel) -> Option<CostLine> {
    let car = inputs.car(car);
    let asked = car.price.filter(|_| car.is_sold_singly())?;
    let amount = -discount(asked, level);
    (amount != Cents::ZERO).then(|| CostLine {
        item: CostItem::PriceBreak,
        subject: car.name(),
        basis: format!("{} of {asked}, from {} cars on", level.off, level.at_least),
        amount,
    })
}

/// Whether a car may be bought beyond what is placed: it is sold singly, at a price that holds on
/// the day of the order.
#[must_use]
pub fn may_be_spare(inputs: &Inputs, car: CarIx) -> bool {
    let car = inputs.car(car);
    car.is_sold_singly()
        && car.price.is_some()
        && car.quote_expires.is_some_and(|last| last >= inputs.order_date)
}

/// Whether a lot may be bought with none of its cars placed: it has a price, and the quote of every car of
/// it holds on the day of the order.
#[must_use]
pub fn may_fill(inputs: &Inputs, lot: LotIx) -> bool {
    let lot = inputs.lot(lot);
    let holds =
        |car: &CarIx| inputs.car(*car).quote_expires.is_some_and(|last| last >= inputs.order_date);
    lot.price.is_some()
        && lot.unread_rows == 0
        && !lot.cars.is_empty()
        && lot.cars.iter().all(holds)
}

/// Worth of a car sold singly that is bought at this price and left over: the rules' share of it, to the cent.
/// Scrap does not count here: of such cars the cheapest are bought, and worth must not turn their order.
#[must_use]
pub fn spare_value(inputs: &Inputs, paid: Cents) -> Cents {
    Cents::from_dollars(paid.as_dollars() * inputs.rules.purchase.stock_value_pct.fraction())
}

/// Every line of one car bought beyond what is placed: its price, what a break takes off, the sales tax, and
/// its stock value as a negative amount. `None`: it has no price.
#[must_use]
pub fn spare_lines(inputs: &Inputs, car: CarIx, level: &PriceLevel) -> Option<Vec<CostLine>> {
    let mut lines = super::car_price(inputs, car)?;
    lines.extend(discount_line(inputs, car, level));
    let paid = paid(inputs.car(car).price?, level);
    lines.extend(tax_line(inputs, car, paid));
    lines.push(CostLine {
        item: CostItem::StockValue,
        subject: inputs.car(car).name(),
        basis: format!("{} of {paid}", inputs.rules.purchase.stock_value_pct),
        amount: -spare_value(inputs, paid),
    });
    Some(lines)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::BasisPoints;

    #[test]
    fn a_break_is_rounded_to_the_cent_halves_up() {
        for (asked, off, taken) in [
            (950_000, 500, 47_500), // 5 % of $9,500.00
            (950_010, 500, 47_501), // 475.005, a half
            (950_009, 500, 47_500), // 475.0045
            (999_999, 0, 0),
            (100, 9_999, 100),
        ] {
            let level = PriceLevel { at_least: 4, off: BasisPoints(off) };
            assert_eq!(discount(Cents(asked), &level), Cents(taken));
            assert_eq!(paid(Cents(asked), &level), Cents(asked - taken));
        }
    }
}
