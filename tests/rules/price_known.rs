//! S16 price known.

use spanyard::check::{Code, Outcome, Value};
use spanyard::quantity::Cents;

use crate::testkit::fixture::{asked, asked_of, into_lot};

#[test]
fn a_car_sold_singly_needs_its_own_price() {
    let check = asked_of(Code::PriceKnown, |_| {});
    assert_eq!(check.sentence(), "S16 Price known: $9,500.00, must be quoted; for the car");
    assert_eq!(check.outcome, Outcome::Pass);
    let check = asked_of(Code::PriceKnown, |car| car.price = None);
    assert_eq!((check.outcome, check.note.as_str()), (Outcome::Unknown, "no price for the car"));
}

#[test]
fn what_the_agency_owns_needs_no_price() {
    let check = asked_of(Code::PriceKnown, |car| (car.owned, car.price) = (true, None));
    assert_eq!(check.sentence(), "S16 Price known: own stock, not bought, must be quoted");
    assert_eq!(check.outcome, Outcome::Pass);
}

#[test]
fn a_car_of_a_lot_needs_the_lots_price_and_its_own_does_not_count() {
    for (price, own, outcome, measured) in [
        (Some(Cents(2_000_000)), None, Outcome::Pass, Value::Money(Cents(2_000_000))),
        (None, Some(Cents(100)), Outcome::Unknown, Value::Unknown),
    ] {
        let check = asked(Code::PriceKnown, |inputs| {
            into_lot(inputs, price);
            inputs.cars[0].price = own;
        });
        assert_eq!((check.outcome, check.measured), (outcome, measured));
    }
}

/// The price of a lot is for all its rows, also for those that nobody could read.
#[test]
fn a_lot_with_a_row_that_cannot_be_read_is_not_bought() {
    let check = asked(Code::PriceKnown, |inputs| {
        into_lot(inputs, Some(Cents(2_000_000)));
        inputs.lots[0].unread_rows = 1;
    });
    assert_eq!(check.outcome, Outcome::Unknown);
    let said = "the price of lot L-1 is also for cars in a row that cannot be read";
    assert_eq!(check.note, said);
}
