//! Verification catches a plan that was tampered with, each rule by its own code.

use jiff::civil::date;
use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Code, Grade, Limit, Outcome, Value};
use spanyard::model::car::{Car, Fabrication};
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::inventory::Inventory;
use spanyard::model::plan::{Alternative, CostItem, Fate, IfRefused, PlacedCar, Plan, Served};
use spanyard::model::season::{Season, Seasons};
use spanyard::quantity::{Cents, CubicInches, Feet, Inches};
use spanyard::survey::Survey;
use spanyard::verify;

fn planned() -> (Inputs, Plan) {
    let inputs = crate::testkit::demo::inputs();
    let survey = Survey::new(&inputs);
    let plan = make_plan(&inputs, &survey, &PlanOptions::default()).unwrap();
    (inputs, plan)
}

/// The first served crossing whose decks have at least two cars.
fn served(plan: &mut Plan) -> &mut Served {
    plan.crossings
        .iter_mut()
        .find_map(|crossing| match &mut crossing.fate {
            Fate::Served(served) if served.decks[0].cars.len() > 1 => Some(served),
            _ => None,
        })
        .unwrap()
}

#[test]
fn a_car_whose_cost_is_unknown_is_never_free() {
    let (mut inputs, plan) = planned();
    let single = plan.purchases.iter().flat_map(|yard| &yard.singles).next().unwrap().car;
    inputs.cars[single.0].price = None;
    assert!(failed(&inputs, &plan).contains(&Code::CostLines));
}

/// Days that are closed, told of after the plan was made.
#[test]
fn a_bridge_is_not_ready_in_a_closed_season() {
    let (inputs, plan) = planned();
    let dated = |inputs: &mut Inputs, seasons: &Seasons| {
        for crossing in inputs.crossings.iter_mut().filter(|c| c.needed_by.is_some()) {
            crossing.no_stream_work = Some(seasons.clone());
        }
    };
    let day = |day| Season::Once(day, day);
    for seasons in [
        Seasons(vec![day(date(2026, 6, 20))]), // a day later than printed
        Seasons(vec![Season::EveryYear((1, 1), (12, 31))]),
    ] {
        let mut closed = inputs.clone();
        dated(&mut closed, &seasons);
        let checks = verify::checks(&closed, &plan);
        let found = checks.iter().find(|check| check.code == Code::CarsSuitable).unwrap();
        assert_eq!(found.outcome, Outcome::Fail, "{seasons}");
    }
}

/// The plan as made, before cars that turn out to be unlike their neighbors.
#[test]
fn cars_that_turn_out_unlike_are_not_left_side_by_side() {
    type Change = (&'static str, fn(&mut Car));
    let changes: [Change; 9] = [
        ("unlike stiffness", |car| {
            if let Some(plates) = &mut car.girder.plates {
                plates.bottom_flange.thickness_in = plates.bottom_flange.thickness_in * 2.0;
            }
        }),
        ("unlike section modulus", |car| {
            car.girder.plates = None;
            car.girder.stated_modulus = Some(CubicInches(5_000.0));
        }),
        ("exterior girders of unlike depth", |car| {
            car.exterior_depth = car.exterior_depth.map(|depth| depth + Inches(1.1));
        }),
        ("cars of unlike length", |car| {
            car.length = car.length.map(|length| length + Feet(1.1));
        }),
        ("unlike number of webs", |car| {
            if let Some(plates) = &mut car.girder.plates {
                // One web twice as thick: the same section.
                plates.webs = 1;
                plates.web.thickness_in = plates.web.thickness_in * 2.0;
            }
        }),
        ("unlike weight per foot", |car| car.weight = car.weight.map(|weight| weight * 1.2)),
        ("unlike depth over all", |car| car.depth_over_all = Some(Inches(49.1))),
        ("unlike ride height", |car| car.ride_height = Some(Inches(28.9))),
        ("a riveted girder beside a welded one", |car| {
            car.fabrication = Some(Fabrication::Riveted)
        }),
    ];
    let (inputs, plan) = planned();
    // A deck of which two cars have plates.
    let deck = plan
        .crossings
        .iter()
        .filter_map(|crossing| crossing.served())
        .flat_map(|served| &served.decks)
        .find(|deck| {
            let with_plates = |p: &&PlacedCar| inputs.car(p.car).girder.plates.is_some();
            let mut rows = deck.cars.iter().filter(with_plates).map(|p| p.car);
            let first = rows.next();
            rows.any(|other| Some(other) != first)
        })
        .unwrap();
    let car = deck.cars.iter().find(|p| inputs.car(p.car).girder.plates.is_some()).unwrap().car;
    for (fault, change) in changes {
        let mut inputs = inputs.clone();
        for car in &mut inputs.cars {
            (car.depth_over_all, car.ride_height) = (Some(Inches(48.0)), Some(Inches(30.0)));
            car.fabrication = Some(Fabrication::Welded);
        }
        change(&mut inputs.cars[car.0]);
        let checks = verify::checks(&inputs, &plan);
        let valid = checks.iter().find(|check| check.code == Code::DecksValid).unwrap();
        assert!(valid.sentence().contains(fault), "{fault}: {}", valid.sentence());
    }
}

#[test]
fn a_step_at_a_joint_beyond_the_limit_is_found() {
    let (mut inputs, plan) = planned();
    inputs.rules.group.camber_step_in = Inches(0.1);
    let checks = verify::checks(&inputs, &plan);
    let valid = checks.iter().find(|check| check.code == Code::DecksValid).unwrap();
    assert!(valid.sentence().contains("camber step at a joint"), "{}", valid.sentence());
}

fn failed(inputs: &Inputs, plan: &Plan) -> Vec<Code> {
    let checks = verify::checks(inputs, plan);
    checks.iter().filter(|check| check.outcome != Outcome::Pass).map(|check| check.code).collect()
}

#[test]
fn the_plan_as_made_stands() {
    let (inputs, plan) = planned();
    assert_eq!(failed(&inputs, &plan), []);
    assert_eq!(verify::checks(&inputs, &plan).len(), 14);
}

/// A lot whose rows could not all be read is never bought, whatever the plan says.
#[test]
fn a_lot_bought_with_a_row_unread_is_found() {
    let (mut inputs, mut plan) = planned();
    let bought = lot(&mut plan).lot;
    inputs.lots[bought.0].unread_rows = 1;
    assert!(failed(&inputs, &plan).contains(&Code::LotsWhole));
}

/// Tampers with the plan and says which code must be among those that fail.
type Tamper = (&'static str, Code, fn(&Inputs, &mut Plan));

#[test]
fn every_kind_of_tampering_is_caught_by_its_own_code() {
    let cases: &[Tamper] = &[
        ("a car placed once more", Code::CarsOnce, |inputs, plan| {
            let deck = &mut served(plan).decks[0];
            let car = deck.cars[0].clone();
            for _ in 0..inputs.car(car.car).quantity {
                deck.cars.push(car.clone());
            }
        }),
        ("a lot at another price", Code::LotsWhole, |_, plan| {
            lot(plan).price += Cents(1);
        }),
        ("a lot forgotten", Code::LotsWhole, |_, plan| {
            plan.purchases.iter_mut().for_each(|yard| yard.lots.clear());
        }),
        ("a lot without one of its cars", Code::LotsWhole, |_, plan| {
            let lot = lot(plan);
            lot.left_over.clear();
            lot.placed.pop();
        }),
        ("an unfit car in a deck", Code::CarsSuitable, |inputs, plan| {
            let survey = Survey::new(inputs);
            let deck = &mut served(plan).decks[0];
            let unfit = inputs.car_indices().find(|c| !survey.barred(*c, deck.site).is_empty());
            deck.cars[0].car = unfit.unwrap();
        }),
        ("a reason made prettier", Code::CarsSuitable, |_, plan| {
            served(plan).decks[0].cars[0].checks[0].note = "all fine".to_owned();
        }),
        ("cars out of order", Code::DecksValid, |inputs, plan| {
            let deck = plan
                .crossings
                .iter_mut()
                .filter_map(|c| match &mut c.fate {
                    Fate::Served(served) => Some(served),
                    Fate::Unserved(_) => None,
                })
                .flat_map(|served| &mut served.decks)
                .find(|deck| {
                    let camber = |at: usize| inputs.car(deck.cars[at].car).camber;
                    deck.cars.len() > 1 && camber(0) != camber(deck.cars.len() - 1)
                });
            deck.unwrap().cars.reverse();
        }),
        ("a wider gap", Code::DecksValid, |_, plan| {
            served(plan).decks[0].joint.as_mut().unwrap().gap = Inches(40.0);
        }),
        ("a joint of another name", Code::DecksValid, |_, plan| {
            served(plan).decks[0].joint.as_mut().unwrap().name = "rope".to_owned();
        }),
        ("a width misprinted", Code::DecksValid, |_, plan| {
            served(plan).decks[0].total_width += Feet(0.5);
        }),
        ("a span without a deck", Code::SpansServed, |_, plan| {
            served(plan).decks.pop();
        }),
        ("a crossing left out", Code::SpansServed, |_, plan| {
            plan.crossings.pop();
        }),
        ("a cost line left out", Code::CostLines, |_, plan| {
            served(plan).lines.retain(|line| line.item != CostItem::Haul);
        }),
        ("a cent less for the haul", Code::CostLines, |_, plan| {
            let lines = &mut served(plan).lines;
            let haul = lines.iter_mut().find(|line| line.item == CostItem::Haul);
            haul.unwrap().amount += Cents(-1);
        }),
        ("a cent more for the rails", Code::CostLines, |_, plan| {
            let lines = &mut served(plan).lines;
            let rail = lines.iter_mut().find(|line| line.item == CostItem::Rail);
            rail.unwrap().amount += Cents(1);
        }),
        ("a cent less of contingency", Code::CostLines, |_, plan| {
            let lines = &mut served(plan).lines;
            let line = lines.iter_mut().find(|line| line.item == CostItem::Contingency);
            line.unwrap().amount += Cents(-1);
        }),
        ("no engineering", Code::CostLines, |_, plan| {
            served(plan).lines.retain(|line| line.item != CostItem::Engineering);
        }),
        ("stiffeners left out", Code::CostLines, |_, plan| {
            let served =
                plan.crossings.iter_mut().filter_map(|crossing| match &mut crossing.fate {
                    Fate::Served(served) => Some(served),
                    Fate::Unserved(_) => None,
                });
            let mut left_out = 0;
            for served in served {
                let before = served.lines.len();
                served.lines.retain(|line| line.item != CostItem::Stiffener);
                left_out += before - served.lines.len();
            }
            assert!(left_out > 0, "bearings inside their bolsters");
        }),
        ("a trip forgotten", Code::CostLines, |_, plan| plan.purchases[0].lines.clear()),
        ("a dearer left-over car", Code::CostLines, |_, plan| {
            let lines = plan.purchases.iter_mut().flat_map(|y| &mut y.lots);
            let mut lines = lines.flat_map(|lot| &mut lot.left_over_lines);
            let value = lines.find(|line| line.item == CostItem::StockValue);
            value.unwrap().amount += Cents(-100);
        }),
        ("a total a cent off", Code::Totals, |_, plan| plan.totals.net += Cents(1)),
        ("outlay and stock value both off", Code::Totals, |_, plan| {
            plan.totals.outlay += Cents(5);
            plan.totals.stock_value += Cents(5);
        }),
        ("a budget not kept", Code::WithinBudget, |_, plan| {
            plan.budget = Some(plan.totals.outlay - Cents(1));
        }),
        ("a bound above the cost", Code::BoundHonest, |_, plan| {
            plan.proof.bound = plan.totals.net + Cents(1);
        }),
        ("cheapest without proof", Code::BoundHonest, |_, plan| {
            plan.proof.cheapest = true;
            plan.proof.bound = plan.totals.net - Cents(1);
        }),
        ("a single car not on the list", Code::LeftOver, |_, plan| {
            let yard = plan.purchases.iter_mut().find(|yard| !yard.singles.is_empty());
            yard.unwrap().singles.pop();
        }),
        ("a car on the list that is not placed", Code::LeftOver, |inputs, plan| {
            let yard = plan.purchases.iter_mut().find(|yard| !yard.singles.is_empty()).unwrap();
            let listed: Vec<CarIx> = yard.singles.iter().map(|single| single.car).collect();
            let other = inputs.car_indices().find(|car| !listed.contains(car));
            yard.singles[0].car = other.unwrap();
        }),
        ("a bridge called firm that is not", Code::Confirmed, |_, plan| {
            served(plan).confirmations.clear();
        }),
        ("a confirmation forgotten", Code::Confirmed, |_, plan| {
            served(plan).confirmations.pop();
        }),
        ("a fact better known than it is", Code::Confirmed, |_, plan| {
            served(plan).confirmations[0].now = Some(Grade::Inspected);
        }),
        ("a modulus asked for that is too small", Code::Confirmed, |_, plan| {
            let asked = served(plan).confirmations.iter_mut();
            let asked = asked.filter_map(|one| match &mut one.value {
                Limit::AtLeast(Value::CubicInches(needed))
                    if matches!(one.fact, Inventory::Webs | Inventory::Modulus) =>
                {
                    Some(needed)
                }
                _ => None,
            });
            asked.for_each(|needed| needed.0 -= 2.0);
        }),
        ("a camber window too wide", Code::Confirmed, |_, plan| {
            let mut asked = served(plan).confirmations.iter_mut();
            let camber = asked.find(|one| one.fact == Inventory::Camber).unwrap();
            let Limit::Between(_, most) = &mut camber.value else { panic!("two ends") };
            *most = Value::Inches(Inches(9.0));
        }),
        ("a refused car in its own place", Code::Confirmed, |_, plan| {
            let served = served(plan);
            let car = served.decks[0].cars[0].car;
            let other = Alternative { layout: 0, decks: vec![vec![car; 9]], extra: Cents(0) };
            served.if_refused = vec![(car, IfRefused::Instead(other))];
        }),
    ];
    let (inputs, plan) = planned();
    for (what, code, tamper) in cases {
        let mut tampered = plan.clone();
        tamper(&inputs, &mut tampered);
        let failed = failed(&inputs, &tampered);
        assert!(failed.contains(code), "{what}: expected {code}, found {failed:?}");
    }
}

fn lot(plan: &mut Plan) -> &mut spanyard::model::plan::LotPurchase {
    let mut lots = plan.purchases.iter_mut().flat_map(|yard| &mut yard.lots);
    lots.find(|lot| !lot.left_over.is_empty()).unwrap()
}

/// A haul at another price than quoted, and one priced by distance although it is quoted.
#[test]
fn a_haul_that_is_not_as_quoted_is_found() {
    let (inputs, plan) = planned();
    for change in [Some(Cents::dollars(1_000)), None] {
        let mut others = inputs.clone();
        others.haul_quotes = Default::default();
        for crossing in &inputs.crossings {
            for quote in inputs.haul_quotes.to(&crossing.id) {
                let mut quote = quote.clone();
                let Some(haul) = change else { continue };
                quote.haul = haul;
                others.haul_quotes.add(crossing.id.clone(), quote);
            }
        }
        assert!(failed(&others, &plan).contains(&Code::CostLines));
    }
}
