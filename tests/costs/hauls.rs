//! Haul quotes: what takes the place of the estimate, and what loads of several cars pay.

use jiff::civil::date;
use spanyard::model::haul_quote::HaulQuote;
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::plan::{CostItem, CostLine};
use spanyard::model::rules::{Laid, Truckload};
use spanyard::price::{car_at, is_quoted, load_cost, load_lines};
use spanyard::quantity::{Cents, Feet, Pounds};

use crate::testkit::fixture::{CAR, SITE, inputs, inputs_with};

fn quote(inputs: &Inputs, car: Option<&str>, haul: i64, permit: Option<i64>) -> HaulQuote {
    let yard = &inputs.yards[0];
    HaulQuote {
        dealer: yard.dealer.clone(),
        yard: yard.name.clone(),
        car: car.map(str::to_owned),
        haul: Cents::dollars(haul),
        permit: permit.map(Cents::dollars),
        escort: None,
        source: "Cobbold".to_owned(),
        quoted: date(2026, 5, 12),
        expires: Some(date(2026, 6, 1)),
        place: yard.place.clone(),
    }
}

fn with(mut inputs: Inputs, quotes: Vec<HaulQuote>) -> Inputs {
    let crossing = inputs.crossings[0].id.clone();
    for quote in quotes {
        inputs.haul_quotes.add(crossing.clone(), quote);
    }
    inputs
}

fn of(lines: &[CostLine], item: CostItem) -> Option<(i64, &str)> {
    lines.iter().find(|line| line.item == item).map(|line| (line.amount.0, line.basis.as_str()))
}

/// The fixture's car is 60 ft long: its permit of $250 goes on being estimated where the quote does not
/// name it, and is left out where the quote includes it.
#[test]
fn a_quote_takes_the_place_of_the_estimate() {
    let bare = inputs();
    let estimated = car_at(&bare, CAR, SITE).unwrap();
    let quoted = with(inputs(), vec![quote(&bare, None, 1_234, None)]);
    let lines = car_at(&quoted, CAR, SITE).unwrap();
    assert_eq!(of(&lines, CostItem::Haul), Some((123_400, "quoted by Cobbold, 2026-05-12")));
    assert_eq!(of(&lines, CostItem::Permit), of(&estimated, CostItem::Permit));
    assert!(of(&lines, CostItem::Permit).is_some_and(|(cents, _)| cents == 25_000));
    assert!(is_quoted(&quoted, &[CAR], SITE, CostItem::Haul));
    assert!(!is_quoted(&quoted, &[CAR], SITE, CostItem::Permit));
    let whole = with(inputs(), vec![quote(&bare, None, 1_234, Some(0))]);
    assert_eq!(of(&car_at(&whole, CAR, SITE).unwrap(), CostItem::Permit), None);
}

#[test]
fn a_quote_that_has_run_out_is_not_used() {
    let bare = inputs();
    let mut old = with(inputs(), vec![quote(&bare, None, 1_234, None)]);
    old.order_date = date(2026, 6, 2);
    assert_eq!(car_at(&old, CAR, SITE), car_at(&bare, CAR, SITE));
}

/// Two cars on a trailer, one with a quote of its own of $2,000 with permits, the other with the yard's of
/// $1,500 without: $2,000, and $250 for the permit that the yard's quote does not hold.
#[test]
fn cars_with_quotes_of_their_own_pay_the_dearest_of_each_part() {
    let mut bare = inputs_with(&[&|_| (), &|_| ()]);
    bare.rules.haul.truckload = vec![Truckload {
        cars: 2,
        each_at_most_lb: Pounds(90_000.0),
        each_at_most_ft: Feet(90.0),
        laid: Laid::Stacked,
        source: "the hauler".to_owned(),
    }];
    let quotes =
        vec![quote(&bare, None, 1_500, None), quote(&bare, Some(&bare.cars[0].id), 2_000, Some(0))];
    let inputs = with(bare, quotes);
    let both = [CarIx(0), CarIx(1)];
    let lines = load_lines(&inputs, &both, SITE).unwrap();
    assert_eq!(of(&lines, CostItem::Haul).unwrap().0, 200_000);
    assert_eq!(of(&lines, CostItem::Permit).unwrap().0, 25_000);
    // As the search has it: of each part the greater.
    let each = both.map(|car| load_cost(&inputs, car, SITE, 2).unwrap());
    let total: Cents = lines.iter().map(|line| line.amount).sum();
    assert_eq!(each[0].greater(&each[1]).total(), total);
}
