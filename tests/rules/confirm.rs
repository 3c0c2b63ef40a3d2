//! What is firm and what is to confirm, and the value that each fact must have.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Check, Code, Grade, Limit, Outcome, Value};
use spanyard::model::car::Car;
use spanyard::model::evidence::Evidence;
use spanyard::model::inputs::Inputs;
use spanyard::model::inventory::Inventory as C;
use spanyard::model::plan::{Confirmation, IfRefused, Plan, Served};
use spanyard::model::rules::{FactKind, Least};
use spanyard::quantity::{CubicInches, Feet, Inches, Kips};
use spanyard::rate::rate_checks_at;
use spanyard::survey::Survey;

use crate::testkit::fixture::{self, SITE, inputs_with, row};
use crate::testkit::rng::Rng;

fn planned(inputs: &Inputs) -> Plan {
    make_plan(inputs, &Survey::new(inputs), &PlanOptions::default()).unwrap()
}

fn served(plan: &Plan) -> &Served {
    plan.crossings[0].served().unwrap()
}

fn of(plan: &Plan, id: usize, fact: C) -> &Confirmation {
    let all = &served(plan).confirmations;
    all.iter().find(|one| one.car.0 == id && one.fact == fact).unwrap()
}

/// Gives a fact this grade.
fn graded(car: &mut Car, column: C, grade: Grade) {
    let evidence = Evidence { grade, by: Some("foreman".to_owned()), place: row("week.toml", 3) };
    car.evidence.set(column, evidence);
}

/// A car of which every fact was inspected.
fn inspected(car: &mut Car) {
    car.secondary.stringer_modulus = Some(CubicInches(60.0));
    car.secondary.stringer_spacing = Some(Feet(2.0));
    car.secondary.cross_member_modulus = Some(CubicInches(90.0));
    car.secondary.cross_member_spacing = Some(Feet(4.0));
    C::EACH.iter().for_each(|column| graded(car, *column, Grade::Inspected));
    graded(car, C::Yield, Grade::Documented);
}

/// The values by hand: two cars 9 ft wide on 64 ft, 16 ft clear and two rails of 0.75 ft, a bolted plate
/// joint of 0 to 2 in under girders of at least 8 in; the route takes 60 kip and 80 ft, the hook
/// 50 kip with 10 % of rigging.
#[test]
fn a_stated_car_is_to_confirm_with_the_values_that_its_place_needs() {
    let inputs = inputs_with(&[&|car| car.camber = Some(Inches(1.25)), &|_| {}]);
    let plan = planned(&inputs);
    assert_eq!((plan.served_count(), plan.firm_count()), (1, 0));
    let feet = |feet| Value::Feet(Feet(feet));
    let inches = |inches| Value::Inches(Inches(inches));
    for (fact, value) in [
        (C::TruckCenters, Limit::Between(feet(65.0), feet(67.0))),
        (C::Length, Limit::Between(feet(75.0), feet(77.0))),
        (C::Camber, Limit::Between(inches(0.5), inches(2.5))),
        (C::ExteriorDepth, Limit::Between(inches(13.0), inches(15.0))),
        (C::Weight, Limit::AtMost(Value::Kips(Kips(50.0 / 1.1)))),
        (C::Section, Limit::words("S-70, as its neighbors")),
        (C::Wrecked, Limit::words("free of wrecks")),
    ] {
        let one = of(&plan, 0, fact);
        assert_eq!(one.value, value, "{fact:?}");
        assert_eq!((one.now, one.needed), (Some(Grade::Stated), Grade::Inspected), "{fact:?}");
    }
    let Limit::Between(Value::Feet(least), Value::Feet(most)) = of(&plan, 0, C::Width).value else {
        panic!("a width has two ends")
    };
    assert!((least.0 - (17.5 - 9.0 - 2.0 / 12.0)).abs() < 1e-9, "{least}");
    assert!((most.0 - (17.5 + 2.0 - 9.0)).abs() < 1e-9, "{most}");
    assert_eq!(of(&plan, 0, C::StringerModulus).now, None);
}

/// The modulus asked for is enough, one cubic inch less is not; and bending alone decides it.
#[test]
fn the_modulus_needed_is_the_least_with_which_bending_passes() {
    let inputs = inputs_with(&[&|_| {}, &|_| {}]);
    let plan = planned(&inputs);
    let Limit::AtLeast(Value::CubicInches(needed)) = of(&plan, 0, C::Webs).value else {
        panic!("a modulus is asked for")
    };
    let bends = |modulus: f64| {
        let mut car = fixture::sound_car("DR-1");
        car.girder.plates = None;
        car.girder.stated_modulus = Some(CubicInches(modulus));
        let checks = rate_checks_at(&car, &inputs.crossings[0], SITE, &inputs.rules);
        let bending =
            |check: &&Check| matches!(check.code, Code::BendingAllowable | Code::BendingFactored);
        checks.iter().filter(bending).any(|check| check.outcome == Outcome::Fail)
    };
    assert!(!bends(needed.0) && bends(needed.0 - 1.0), "{needed}");
}

#[test]
fn inspected_cars_make_a_firm_bridge_and_each_fact_less_makes_it_one_to_confirm() {
    let both: [&dyn Fn(&mut Car); 2] = [&inspected, &inspected];
    let firm = planned(&inputs_with(&both));
    assert_eq!(served(&firm).confirmations, []);
    assert_eq!((firm.served_count(), firm.firm_count()), (1, 1));
    for (column, kind) in [
        (C::Kind, FactKind::Kind),
        (C::Wrecked, FactKind::History),
        (C::Bolsters, FactKind::Primary),
        (C::Stringers, FactKind::Secondary),
        (C::TruckCenters, FactKind::Lengths),
        (C::Width, FactKind::Width),
        (C::Camber, FactKind::Camber),
        (C::WebThickness, FactKind::Plates),
        (C::Unbraced, FactKind::Web),
        (C::StringerSpacing, FactKind::Local),
        (C::ExteriorDepth, FactKind::Exterior),
        (C::Weight, FactKind::Weight),
        (C::Lead, FactKind::Lead),
    ] {
        let stated = |car: &mut Car| {
            inspected(car);
            graded(car, column, Grade::Stated);
        };
        let plan = planned(&inputs_with(&[&inspected, &stated]));
        let asked: Vec<_> = served(&plan).confirmations.iter().map(|one| one.kind).collect();
        assert_eq!(asked, [kind], "{column:?}");
        assert_eq!(plan.firm_count(), 0, "{column:?}");
        // With facts only that are enough to pay on there is no second car.
        let mut held = inputs_with(&[&inspected, &stated]);
        held.hold_to_firm();
        assert_eq!(planned(&held).served_count(), 0, "{column:?}");
    }
    let mut held = inputs_with(&both);
    held.hold_to_firm();
    assert_eq!((planned(&held).served_count(), planned(&held).totals), (1, firm.totals));
}

#[test]
fn what_is_below_the_rules_is_not_planned_with() {
    let assumed = |car: &mut Car| graded(car, C::MainGirder, Grade::Assumed);
    let mut inputs = inputs_with(&[&assumed, &|_| {}]);
    assert_eq!(planned(&inputs).served_count(), 0);
    // A dealer's word that the mapping reads is enough, and a caution.
    let read = |car: &mut Car| graded(car, C::MainGirder, Grade::Interpreted);
    let interpreted = inputs_with(&[&read, &|_| {}]);
    assert_eq!(planned(&interpreted).served_count(), 1);
    let checks = spanyard::survey::checks(&interpreted, fixture::CAR, SITE);
    let member = checks.iter().find(|check| check.code == Code::PrimaryMembers).unwrap();
    assert_eq!(member.outcome, Outcome::Caution);
    // An agency may ask for less, or for more.
    inputs.rules.evidence.to_plan.primary_members = Least::Assumed;
    assert_eq!(planned(&inputs).served_count(), 1);
    inputs.rules.evidence.to_plan.primary_members = Least::Stated;
    let checks = spanyard::survey::checks(&inputs, fixture::CAR, SITE);
    let check = checks.iter().find(|check| check.code == Code::EvidenceToPlan).unwrap();
    assert_eq!(check.outcome, Outcome::Unknown);
    assert_eq!(check.measured.to_string(), "main girder assumed by the agency");
    assert_eq!(check.limit.to_string(), "main members stated");
    // Plates that the agency assumed are no plates.
    let inputs = inputs_with(&[&|car| graded(car, C::Webs, Grade::Assumed), &|_| {}]);
    assert_eq!(planned(&inputs).served_count(), 0);
}

#[test]
fn a_refused_car_is_replaced_by_the_cheapest_other_or_the_crossing_goes_without() {
    let price = |dollars: i64| {
        move |car: &mut Car| car.price = Some(spanyard::quantity::Cents::dollars(dollars))
    };
    let two = planned(&inputs_with(&[&price(9_000), &price(9_100)]));
    for (_, then) in &served(&two).if_refused {
        assert_eq!(*then, IfRefused::Without(Some(-two.totals.net)));
    }
    let three = planned(&inputs_with(&[&price(9_000), &price(9_100), &price(9_750)]));
    let extra = |car: usize| match &served(&three).if_refused[car].1 {
        IfRefused::Instead(other) => other.extra.0,
        other => panic!("{other:?}"),
    };
    assert_eq!((extra(0), extra(1)), (75_000, 65_000));
}

/// Grades of a hundred small markets raised or facts dropped, one at a time.
#[test]
fn better_evidence_never_makes_a_plan_worse_and_an_unknown_never_makes_it_firmer() {
    let grades =
        [Grade::Assumed, Grade::Interpreted, Grade::Stated, Grade::Inspected, Grade::Documented];
    let worth = |plan: &Plan| (std::cmp::Reverse(plan.served_count()), plan.totals.net);
    let mut firmer = 0;
    for seed in 0..40 {
        let mut rng = Rng::new(seed);
        let mut inputs = inputs_with(&[&inspected, &inspected, &inspected]);
        for car in &mut inputs.cars {
            for column in C::EACH {
                // Most facts stay inspected, so that some bridges are firm.
                if rng.chance(0.02) {
                    graded(car, *column, rng.pick(&grades));
                }
            }
        }
        let before = planned(&inputs);
        let car = rng.int(0, 2) as usize;
        let column = rng.pick(C::EACH);
        let mut raised = inputs.clone();
        let now = raised.cars[car].evidence(column).grade;
        let better: Vec<Grade> = grades.iter().copied().filter(|grade| *grade > now).collect();
        if let Some(better) = better.first() {
            graded(&mut raised.cars[car], column, *better);
            let after = planned(&raised);
            assert!(worth(&after) <= worth(&before), "seed {seed}, {column:?}");
            firmer += usize::from(after.firm_count() > before.firm_count());
        }
        let mut dropped = inputs.clone();
        let nothing = Car::unknown("", "", dropped.cars[car].yard, row("cars.csv", 2));
        column.copy(&mut dropped.cars[car], &nothing);
        let after = planned(&dropped);
        let same = |plan: &Plan| plan.served_count() > 0;
        // Another car may then be laid; of the same cars none becomes firmer.
        let cars = |plan: &Plan| {
            let decks = plan.crossings[0].served().into_iter().flat_map(|served| &served.decks);
            decks.flat_map(|deck| &deck.cars).map(|placed| placed.car).collect::<Vec<_>>()
        };
        if same(&before) && same(&after) && cars(&before) == cars(&after) {
            assert!(after.firm_count() <= before.firm_count(), "seed {seed}, {column:?}");
        }
    }
    assert!(firmer < 40);
}
