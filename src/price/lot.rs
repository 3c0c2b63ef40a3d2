//! Lots: what each of its cars carries of the price, and what a left-over car is worth.

use super::overhead::{self, with_tax};
use super::scrap::scrap_value;
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::model::plan::{CostItem, CostLine};
use crate::quantity::{Cents, Percent, group_thousands};

/// How many cars a lot holds, identical cars of one row counted one by one.
#[must_use]
pub fn lot_car_count(inputs: &Inputs, lot: LotIx) -> u64 {
    inputs.lot(lot).cars.iter().map(|&car| u64::from(inputs.car(car).quantity)).sum()
}

/// The even shares of a lot's price over its cars, in the order of its rows, copies of a row one
/// after the other: they differ by a cent at most, the larger ones first, and add up to the price.
/// Empty where no price is quoted.
#[must_use]
pub fn lot_shares(inputs: &Inputs, lot: LotIx) -> Vec<Cents> {
    let Some(price) = inputs.lot(lot).price else { return Vec::new() };
    let count = lot_car_count(inputs, lot);
    (0..count).map(|position| share(price, count, position)).collect()
}

/// The share that one car of a lot carries: `copy` counts the identical cars of its row from 0.
/// `None`: the car belongs to no lot, the lot has no price, or the row has no such copy.
#[must_use]
pub fn lot_share(inputs: &Inputs, car: CarIx, copy: u32) -> Option<CostLine> {
    let row = inputs.car(car);
    let lot_ix = row.lot?;
    let lot = inputs.lot(lot_ix);
    let price = lot.price?;
    Some(CostLine {
        item: CostItem::LotShare,
        subject: row.name(),
        basis: format!(
            "1 of {} cars of lot {} at {price}",
            lot_car_count(inputs, lot_ix),
            lot.name
        ),
        amount: even_share(inputs, car, copy, price)?,
    })
}

/// The share of the sales tax on its lot that one car of it carries, `copy` as in
/// [`lot_share`]: both shares together are an even share of price and tax.
#[must_use]
pub fn lot_tax_line(inputs: &Inputs, car: CarIx, copy: u32) -> Option<CostLine> {
    let tax = inputs.rules.overhead.sales_tax_pct;
    let price = inputs.lot(inputs.car(car).lot?).price?;
    let share = even_share(inputs, car, copy, price)?;
    let both = even_share(inputs, car, copy, with_tax(price, tax))?;
    overhead::line(inputs, car, both - share, || {
        format!("{tax} of {price}, shared like it: {both} less {share}")
    })
}

/// The even share of an amount for a lot that one car of it carries.
fn even_share(inputs: &Inputs, car: CarIx, copy: u32, amount: Cents) -> Option<Cents> {
    let row = inputs.car(car);
    let lot_ix = row.lot?;
    let lot = inputs.lot(lot_ix);
    if copy >= row.quantity || !lot.cars.contains(&car) {
        return None;
    }
    let before: u64 = lot
        .cars
        .iter()
        .take_while(|&&other| other != car)
        .map(|&other| u64::from(inputs.car(other).quantity))
        .sum();
    Some(share(amount, lot_car_count(inputs, lot_ix), before + u64::from(copy)))
}

/// Worth of one left-over car of a lot: by the rules' share of the lot's price over its number of cars, or
/// as scrap, whichever is more, rounded to the cent. Zero where the car is of no lot, or the lot has no price
/// and cannot be bought.
#[must_use]
pub fn stock_value(inputs: &Inputs, car: CarIx) -> Cents {
    let row = inputs.car(car);
    let Some((lot, price)) = row.lot.and_then(|lot| Some((lot, inputs.lot(lot).price?))) else {
        return Cents::ZERO;
    };
    let rules = &inputs.rules.purchase;
    let scrap = scrap_value(row, rules.scrap_usd_per_lb);
    stock_value_at(price, rules.stock_value_pct, scrap, lot_car_count(inputs, lot))
}

/// Worth of one left-over car of a lot of so many cars at a price: by the rules' share, or what it brings
/// as scrap, whichever is more, but no more than was paid for it, so that nobody buys lots for their scrap.
#[must_use]
pub fn stock_value_at(price: Cents, share: Percent, scrap: Cents, cars: u64) -> Cents {
    if cars == 0 {
        return Cents::ZERO;
    }
    let by_share = Cents::from_dollars(price.as_dollars() * share.fraction() / cars as f64);
    let paid = Cents(price.0 / cars as i64);
    by_share.max(scrap.min(paid))
}

/// What one left-over car takes off the plan's net cost: its stock value, as a negative amount.
/// `None` for a car of no lot.
#[must_use]
pub fn stock_value_line(inputs: &Inputs, car: CarIx) -> Option<CostLine> {
    let row = inputs.car(car);
    let lot_ix = row.lot?;
    let lot = inputs.lot(lot_ix);
    let price = lot.price?;
    let (rules, cars) = (&inputs.rules.purchase, lot_car_count(inputs, lot_ix));
    let worth = stock_value(inputs, car);
    let scrap = scrap_value(row, rules.scrap_usd_per_lb);
    let share = rules.stock_value_pct;
    let basis = if worth == stock_value_at(price, share, Cents::ZERO, cars) {
        format!("{share} of {price} / {cars} cars of lot {}", lot.name)
    } else if worth < scrap {
        format!("{price} / {cars} cars of lot {}; as scrap it would bring {scrap}", lot.name)
    } else {
        let weight = row.weight.map(|weight| weight.pounds().round()).unwrap_or_default();
        let rate = rules.scrap_usd_per_lb;
        format!(
            "as scrap, {} lb x {rate}, more than {share} of its share",
            group_thousands(weight as u64)
        )
    };
    Some(CostLine { item: CostItem::StockValue, subject: row.name(), basis, amount: -worth })
}

/// The share at a position: the even share, and one cent more for as many of the first cars as cents
/// are left.
fn share(price: Cents, count: u64, position: u64) -> Cents {
    let Ok(count) = i64::try_from(count) else { return Cents::ZERO };
    if count == 0 {
        return Cents::ZERO;
    }
    let left = price.0.rem_euclid(count);
    let extra = i64::from(i64::try_from(position).is_ok_and(|position| position < left));
    Cents(price.0.div_euclid(count) + extra)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_add_up_and_differ_by_a_cent_at_most() {
        for (price, count, expected) in [
            (1_000, 3, vec![334, 333, 333]),
            (1_001, 3, vec![334, 334, 333]),
            (2, 4, vec![1, 1, 0, 0]),
            (900, 3, vec![300, 300, 300]),
        ] {
            let shares: Vec<i64> = (0..count).map(|i| share(Cents(price), count, i).0).collect();
            assert_eq!(shares, expected);
            assert_eq!(shares.iter().sum::<i64>(), price);
        }
    }
}
