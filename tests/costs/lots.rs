//! Lots: even shares that add up, and the worth of what is left over.

use spanyard::model::inputs::{CarIx, Inputs, LotIx};
use spanyard::model::plan::CostItem;
use spanyard::price::{lot_car_count, lot_share, lot_shares, stock_value, stock_value_line};
use spanyard::quantity::{Cents, Percent};

use crate::testkit::fixture::{inputs, into_lot, sound_car};

const LOT: LotIx = LotIx(0);

/// A lot of rows with these quantities at a price in cents.
fn lot(quantities: &[u32], price: Option<i64>) -> Inputs {
    let mut inputs = inputs();
    inputs.cars = quantities
        .iter()
        .zip(1..)
        .map(|(&quantity, number)| {
            let mut car = sound_car(&format!("DR-{number}"));
            car.quantity = quantity;
            car
        })
        .collect();
    into_lot(&mut inputs, price.map(Cents));
    inputs
}

#[test]
fn shares_are_even_larger_first_and_add_up() {
    for (quantities, price, shares) in [
        (&[1, 1, 1][..], 1_000_000, vec![333_334, 333_333, 333_333]),
        (&[2, 1], 1_000_001, vec![333_334, 333_334, 333_333]),
        (&[3], 900, vec![300, 300, 300]),
        (&[1], 12_345, vec![12_345]),
        (&[1, 1], 0, vec![0, 0]),
    ] {
        let inputs = lot(quantities, Some(price));
        let found: Vec<i64> = lot_shares(&inputs, LOT).iter().map(|share| share.0).collect();
        assert_eq!(found, shares);
        assert_eq!(found.iter().sum::<i64>(), price);
        assert_eq!(lot_car_count(&inputs, LOT), shares.len() as u64);
    }
    assert!(lot_shares(&lot(&[1, 1], None), LOT).is_empty());
}

#[test]
fn each_copy_of_a_row_finds_its_own_share() {
    // Five cars at $100.03: 10,003 / 5 = 2,000 and 3 cents left for the first three.
    let inputs = lot(&[2, 3], Some(10_003));
    let share =
        |car: usize, copy: u32| lot_share(&inputs, CarIx(car), copy).map(|line| line.amount.0);
    let found = [share(0, 0), share(0, 1), share(1, 0), share(1, 1), share(1, 2)];
    assert_eq!(found.map(Option::unwrap), [2_001, 2_001, 2_001, 2_000, 2_000]);
    let whole: Vec<i64> = lot_shares(&inputs, LOT).iter().map(|share| share.0).collect();
    assert_eq!(found.map(Option::unwrap), whole[..]);
    assert_eq!((share(0, 2), share(1, 3)), (None, None));

    let line = lot_share(&inputs, CarIx(1), 0).unwrap();
    assert_eq!((line.item, line.subject.as_str()), (CostItem::LotShare, "Drumfell Reclaim DR-2"));
    assert_eq!(line.basis, "1 of 5 cars of lot L-1 at $100.03");
}

#[test]
fn a_car_sold_singly_has_neither_share_nor_stock_value() {
    let inputs = inputs();
    assert!(lot_share(&inputs, CarIx(0), 0).is_none());
    assert!(stock_value_line(&inputs, CarIx(0)).is_none());
}

#[test]
fn left_over_cars_are_worth_their_part_of_the_even_share() {
    for (quantities, price, percent, cents) in [
        (&[1, 1, 1][..], Some(3_000_000), 20.0, 200_000), // 30,000 / 3 x 0.2 = 2,000
        (&[2, 1], Some(1_000_000), 20.0, 66_667),         // 10,000 / 3 x 0.2 = 666.6667
        (&[4], Some(1_000_000), 0.0, 0),
        (&[4], Some(1_000_000), 100.0, 250_000),
        (&[4], None, 20.0, 0),
    ] {
        let mut inputs = lot(quantities, price);
        inputs.rules.purchase.stock_value_pct = Percent(percent);
        assert_eq!(stock_value(&inputs, CarIx(0)), Cents(cents));
        let line = stock_value_line(&inputs, CarIx(0));
        assert_eq!(line.map(|line| line.amount), price.map(|_| Cents(-cents)));
    }
    let line = stock_value_line(&lot(&[2, 1], Some(1_000_000)), CarIx(0)).unwrap();
    assert_eq!(line.basis, "20.0 % of $10,000.00 / 3 cars of lot L-1");
    assert_eq!(line.item, CostItem::StockValue);
}
