//! What is firm and what is to confirm, and the value that each fact must have.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Check, Code, Grade, Limit, Outcome, Value};
use spanyard::confirm::{camber_window, least_webs};
use spanyard::model::car::Car;
use spanyard::model::evidence::Evidence;
use spanyard::model::inputs::Inputs;
use spanyard::model::inventory::Inventory as C;
use spanyard::model::plan::{Confirmation, IfRefused, Plan, Served};
use spanyard::model::rules::{FactKind, Least};
use spanyard::quantity::{CubicInches, Feet, Inches, Kips};
use spanyard::rate::{SpanLoads, rate_checks_at};
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
        // 1 in of spread and 0.75 in of a step beside 1.5 in.
        (C::Camber, Limit::Between(inches(0.75), inches(2.25))),
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

/// A car whose modulus a drawing states, and nothing of whose webs is known.
fn by_drawing(modulus: f64) -> impl Fn(&mut Car) {
    move |car: &mut Car| {
        car.girder.plates = None;
        car.girder.stated_modulus = Some(CubicInches(modulus));
    }
}

/// Webs of the area said carry as much in shear as the girder does in bending, one square inch less
/// does not: by a car of plates with such webs.
#[test]
fn the_webs_needed_are_the_least_that_shear_asks_for() {
    for modulus in [700.0, 2_000.0] {
        let change = by_drawing(modulus);
        let inputs = inputs_with(&[&change, &change]);
        let crossing = &inputs.crossings[0];
        let loads = SpanLoads::at(crossing, SITE, &inputs.rules);
        let webs = least_webs(&inputs.cars[0], &loads, &inputs.rules).unwrap();
        // 1.12 sqrt(5 x 29000 / 50) is 60.3.
        assert_eq!(webs.slenderness, 60.0);
        let least = |car: &Car, codes: [Code; 2]| {
            let checks = rate_checks_at(car, crossing, SITE, &inputs.rules).into_iter();
            let of_code = |code: Code, checks: &[Check]| {
                let of = checks.iter().filter(|check| check.code == code);
                of.filter_map(|check| check.measured.number()).reduce(f64::min).unwrap()
            };
            let checks: Vec<_> = checks.collect();
            codes.map(|code| of_code(code, &checks))
        };
        let bending = least(&inputs.cars[0], [Code::BendingAllowable, Code::BendingFactored]);
        let shear = |area: u32| {
            let mut car = fixture::sound_car("DR-1");
            let depth = (f64::from(area) * 60.0 / 2.0).sqrt();
            let web = fixture::plate(depth, depth / 60.0);
            car.girder.plates = Some(fixture::box_of(web, fixture::plate(12.0, 0.5)));
            car.girder.stated_modulus = None;
            least(&car, [Code::ShearAllowable, Code::ShearFactored])
        };
        let no_worse = |area: u32| {
            let pairs = shear(area).into_iter().zip(bending);
            pairs.into_iter().all(|(shear, bending)| shear >= bending.min(1.0) - 1e-9)
        };
        assert!(no_worse(webs.area), "{webs:?} {:?} {bending:?}", shear(webs.area));
        // The legal trucks may ask for more than the crossing's own.
        assert!(webs.area < 5 || !no_worse(webs.area / 2), "{webs:?}");
        let plan = planned(&inputs);
        let one = of(&plan, 0, C::Webs);
        assert_eq!(one.value, Limit::words(webs.words()));
        assert_eq!(one.now, None);
    }
}

/// An I girder: the length said is short enough and a tenth of a foot more is not; a box is asked for none.
#[test]
fn the_unbraced_length_needed_is_the_greatest_with_which_bending_passes() {
    let single = |car: &mut Car| {
        let plates = car.girder.plates.as_mut().unwrap();
        plates.webs = 1;
        plates.web = fixture::plate(36.0, 0.5);
        plates.top_flange = fixture::plate(20.0, 1.5);
        plates.bottom_flange = fixture::plate(20.0, 1.5);
        plates.bottom_cover = None;
        car.girder.stated_modulus = None;
    };
    let inputs = inputs_with(&[&single, &single]);
    let plan = planned(&inputs);
    let Limit::AtMost(Value::Feet(most)) = of(&plan, 0, C::Unbraced).value else {
        panic!("{:?}", of(&plan, 0, C::Unbraced))
    };
    let bars = |length: f64| {
        let mut car = inputs.cars[0].clone();
        car.girder.unbraced_ft = Some(Feet(length));
        let checks = rate_checks_at(&car, &inputs.crossings[0], SITE, &inputs.rules);
        checks.iter().any(|check| check.outcome.bars())
    };
    assert!(most.0 > 5.0 && !bars(most.0) && bars(most.0 + 0.1), "{most:?}");
    let boxes = planned(&inputs_with(&[&|_| {}, &|_| {}]));
    assert!(served(&boxes).confirmations.iter().all(|one| one.fact != C::Unbraced));
}

/// Limits by hand, with 1 in of spread and 0.75 in of a step.
#[test]
fn a_camber_goes_with_the_spread_and_the_steps_of_its_neighbors() {
    let rules = fixture::rules();
    for (others, expected) in [
        (&[][..], (0.0, None)),
        (&[1.5], (0.75, Some(2.25))),
        (&[0.25], (0.0, Some(1.0))),
        (&[1.5, 1.5], (0.75, Some(2.25))),
        (&[2.0, 1.5], (1.0, Some(2.5))),
        // The step of 1 in between the others has to be halved.
        (&[2.0, 1.0], (1.25, Some(1.75))),
        // No camber goes with these.
        (&[3.0, 1.0], (2.25, Some(1.75))),
    ] {
        assert_eq!(camber_window(others.to_vec(), &rules), expected, "{others:?}");
    }
}

/// Where the girder is weak, its own weight decides before hook and road do: with a tenth of a kip more
/// some check of the rating bars.
#[test]
fn the_weight_allowed_is_the_greatest_that_the_girder_carries() {
    let with = |modulus: f64, weight: f64| {
        let mut car = fixture::sound_car("DR-1");
        by_drawing(modulus)(&mut car);
        car.weight = Some(Kips(weight));
        car
    };
    let surroundings = inputs_with(&[]);
    let bars = |modulus: f64, weight: f64| {
        let (crossing, rules) = (&surroundings.crossings[0], &surroundings.rules);
        let checks = rate_checks_at(&with(modulus, weight), crossing, SITE, rules);
        checks.iter().any(|check| check.outcome.bars())
    };
    // The weakest girder, in steps of 10 cubic inches, that carries a car of 25 kip.
    let modulus =
        (20..200).map(|tens| f64::from(tens) * 10.0).find(|modulus| !bars(*modulus, 25.0));
    let modulus = modulus.unwrap();
    let weak = |car: &mut Car| *car = Car { id: car.id.clone(), ..with(modulus, 25.0) };
    let inputs = inputs_with(&[&weak, &weak]);
    let plan = planned(&inputs);
    let Limit::AtMost(Value::Kips(most)) = of(&plan, 0, C::Weight).value else {
        panic!("a weight has a most")
    };
    assert!(most.0 < 50.0 / 1.1, "{most}");
    assert!(!bars(modulus, most.0) && bars(modulus, most.0 + 0.1), "{most}");
}
