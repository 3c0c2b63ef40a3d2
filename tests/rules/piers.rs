//! Ends over a pier: two spans meet there, and the cars of neither reach into the other.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Check, Code};
use spanyard::model::crossing::Layout;
use spanyard::model::ends::{ends, longest};
use spanyard::model::inputs::{Inputs, Site};
use spanyard::model::plan::CostItem;
use spanyard::price::car_at;
use spanyard::quantity::{Cents, Feet, Inches};
use spanyard::screen::screen;
use spanyard::survey::Survey;

use crate::testkit::fixture::{CAR, SITE, inputs_with, near};

/// Cars 57 ft long with truck centers of 46 ft over spans of 45 ft: each end reaches 6 ft beyond its
/// bearing, so without a rule for piers the ends of two spans overlapped by 12 ft.
fn two_spans(spans: &[f64]) -> Inputs {
    let car = |car: &mut spanyard::model::car::Car| {
        (car.length, car.truck_centers) = (Some(Feet(57.0)), Some(Feet(46.0)));
        car.quantity = 3;
    };
    let mut inputs = inputs_with(&[&car, &car]);
    inputs.rules.screen.end_behind_bolster_ft = Feet(14.0);
    let crossing = &mut inputs.crossings[0];
    let spans = spans.iter().copied().map(Feet).collect();
    crossing.layouts = vec![Layout { spans, piers_cost: Cents::dollars(15_000) }];
    inputs
}

fn at(span: usize) -> Site {
    Site { span, ..SITE }
}

fn bearing(inputs: &Inputs, span: usize) -> Check {
    let checks = screen(inputs, CAR, at(span));
    checks.into_iter().find(|check| check.code == Code::BearingInside).unwrap()
}

#[test]
fn the_ends_of_two_spans_meet_over_the_pier_with_a_gap() {
    let mut inputs = two_spans(&[45.0, 45.0]);
    for (bearings, gap, left) in [
        (None, 1.0, 11.5 / 12.0), // the rules' 2 ft less 1 in, halved
        (Some(3.0), 1.0, 17.5 / 12.0),
        (Some(3.0), 6.0, 15.0 / 12.0),
        (Some(0.0), 1.0, 0.0), // both bear on one line: nothing may reach beyond it
        (Some(20.0), 1.0, 6.0), // no pier lets an end be longer than an abutment does
    ] {
        inputs.crossings[0].pier_bearings = bearings.map(Feet);
        inputs.rules.screen.pier_gap_in = Inches(gap);
        let (rules, crossing) = (&inputs.rules.screen, &inputs.crossings[0]);
        let [abutment, first] = ends(rules, crossing, at(0), Feet(57.0), None);
        let [second, other] = ends(rules, crossing, at(1), Feet(57.0), None);
        assert_eq!((abutment.at_pier, first.at_pier), (false, true));
        assert_eq!((second.at_pier, other.at_pier), (true, false));
        assert_eq!((abutment.left(), other.left()), (Feet(6.0), Feet(6.0)));
        assert!(near(first.left().0, left) && first == second, "{first:?}");
        let apart = bearings.unwrap_or(2.0);
        let free = apart - first.left().0 - second.left().0;
        assert!(free >= gap / 12.0 - 1e-9 || apart == 0.0, "the ends leave {free} ft");
        // A rating goes by the longest end there is: an abutment's, unless both bear on piers.
        assert_eq!(longest(rules, crossing, at(0)), Feet(6.0));
    }
}

#[test]
fn an_end_cut_at_a_pier_is_priced_and_said() {
    let mut inputs = two_spans(&[45.0, 45.0, 45.0]);
    let end = inputs.rules.trim.usd_per_end;
    let trim = |inputs: &Inputs, span| {
        let lines = car_at(inputs, CAR, at(span)).unwrap();
        lines.into_iter().find(|line| line.item == CostItem::Trim)
    };
    for (span, count, words) in [
        (0, 1, "left at the abutment and cut back to 0.96 ft at the pier"),
        (1, 2, "cut back to 0.96 ft at both piers"),
        (2, 1, "cut back to 0.96 ft at the pier and left at the abutment"),
    ] {
        let line = trim(&inputs, span).unwrap();
        assert_eq!(line.amount, end * count, "{}", line.basis);
        assert!(line.basis.ends_with(words), "{}", line.basis);
        let check = bearing(&inputs, span);
        assert!(check.note.contains(words), "{}", check.note);
        assert!(check.note.ends_with("priced"), "{}", check.note);
    }
    let (rules, crossing) = (&inputs.rules.screen, &inputs.crossings[0]);
    assert!(near(longest(rules, crossing, at(1)).0, 11.5 / 12.0));
    // Ends that need no cut cost nothing.
    inputs.cars[0].length = Some(Feet(46.5));
    assert!((0..3).all(|span| trim(&inputs, span).is_none()));
}

#[test]
fn a_bridge_with_a_pier_is_laid_and_priced() {
    let mut inputs = two_spans(&[45.0, 45.0]);
    inputs.crossings[0].haul_length_limit = Some(Feet(95.0));
    let survey = Survey::new(&inputs);
    let plan = make_plan(&inputs, &survey, &PlanOptions::default()).unwrap();
    let served = plan.crossings[0].served().unwrap();
    let trims: Vec<_> = served.lines.iter().filter(|l| l.item == CostItem::Trim).collect();
    let cars: usize = served.decks.iter().map(|deck| deck.cars.len()).sum();
    assert_eq!((cars, trims.len()), (4, 4));
    assert!(trims.iter().all(|line| line.basis.starts_with("1 end x ")), "{trims:?}");
}
