//! G13 to G18: one section name is no proof that cars are alike.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Check, Code, Outcome, all_pass};
use spanyard::group::deck_checks;
use spanyard::model::car::{Car, Fabrication, GirderPlates};
use spanyard::model::decision::{Decision, Goods, What};
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::inventory::Inventory;
use spanyard::quantity::{CubicInches, Feet, Inches, Kips, Percent};
use spanyard::survey::Survey;

use crate::testkit::fixture::{SITE, inputs_with, near, row};

fn deck(inputs: &Inputs) -> Vec<Check> {
    let cars: Vec<CarIx> = inputs.car_indices().collect();
    let joint = inputs.rules.joint_type("bolted plate").map(|joint| (joint, Inches(0.5)));
    deck_checks(inputs, SITE, &cars, joint)
}

fn of(checks: &[Check], code: Code) -> Option<&Check> {
    checks.iter().find(|check| check.code == code)
}

fn sound(_: &mut Car) {}

/// Two cars of the trade that a dealer lists under one name: 60 and 53 ft long, moduli 1,400 and
/// 560 in3, exterior girders 18 and 8 in, built 1975 and 1955. Each passes alone.
fn two_of_one_name() -> Inputs {
    let long = |car: &mut Car| {
        car.girder.plates = None;
        car.girder.stated_modulus = Some(CubicInches(1_400.0));
        (car.length, car.truck_centers) = (Some(Feet(60.0)), Some(Feet(44.0)));
        (car.width, car.camber) = (Some(Feet(9.0)), Some(Inches(1.0)));
        (car.exterior_depth, car.weight) = (Some(Inches(18.0)), Some(Kips(42.0)));
    };
    let short = |car: &mut Car| {
        car.girder.plates = None;
        car.girder.stated_modulus = Some(CubicInches(560.0));
        (car.length, car.truck_centers) = (Some(Feet(53.0)), Some(Feet(43.2)));
        (car.width, car.camber) = (Some(Feet(9.0)), Some(Inches(1.7)));
        (car.exterior_depth, car.weight) = (Some(Inches(8.0)), Some(Kips(52.0)));
        car.year_built = Some(1955);
    };
    let mut inputs = inputs_with(&[&long, &short]);
    // What is asked here is the match; their weights alone would be a question before it.
    inputs.rules.evidence.weight_from_sisters_pct = Percent(100.0);
    let crossing = &mut inputs.crossings[0];
    crossing.layouts[0].spans = vec![Feet(40.0)];
    (crossing.haul_length_limit, crossing.haul_weight_limit) = (Some(Feet(95.0)), Some(Kips(80.0)));
    crossing.crane_limit = Some(Kips(90.0));
    inputs
}

#[test]
fn two_unlike_cars_under_one_name_are_not_laid() {
    let inputs = two_of_one_name();
    let survey = Survey::new(&inputs);
    assert_eq!(survey.suitable(SITE).count(), 2, "each passes alone");
    let plan = make_plan(&inputs, &survey, &PlanOptions::default()).unwrap();
    assert!(plan.crossings[0].served().is_none());

    let checks = deck(&inputs);
    // The old rules let the pair through.
    for code in [Code::OneSection, Code::CamberSpread, Code::CentersSpread] {
        assert_eq!(of(&checks, code).unwrap().outcome, Outcome::Pass);
    }
    // 1,400 over 560 is 150 % more; 18 - 8 = 10 in; 60 - 53 = 7 ft; 52,000/53 = 981.1 lb/ft is 40 %
    // over 42,000/60 = 700 lb/ft.
    for (code, measured) in [
        (Code::ModulusSpread, 150.0),
        (Code::DepthSpread, 10.0),
        (Code::LengthSpread, 7.0),
        (Code::WeightSpread, 100.0 * (52.0 / 53.0 / 0.7 - 1.0)),
    ] {
        let check = of(&checks, code).unwrap();
        assert_eq!(check.outcome, Outcome::Fail, "{}", check.sentence());
        assert!(near(check.measured.number().unwrap(), measured), "{}", check.sentence());
    }
}

#[test]
fn unlike_cars_are_laid_where_the_rules_say_so() {
    let mut inputs = two_of_one_name();
    let group = &mut inputs.rules.group;
    group.stiffness_tolerance_pct.0 = 150.0;
    group.exterior_depth_tolerance_in = Inches(10.0);
    group.length_tolerance_ft = Feet(7.0);
    group.weight_tolerance_pct.0 = 41.0;
    let survey = Survey::new(&inputs);
    let plan = make_plan(&inputs, &survey, &PlanOptions::default()).unwrap();
    let served = plan.crossings[0].served().unwrap();
    assert_eq!(served.decks[0].cars.len(), 2);
}

type Change = fn(&mut Car, f64);
type Clear = fn(&mut Car);
type Case = (Code, Change, Clear, [(f64, Outcome); 4]);

fn plates(car: &mut Car) -> &mut GirderPlates {
    car.girder.plates.as_mut().unwrap()
}

/// The sound car weighs 40 kip, is 76 ft long, and its exterior girder is 14 in deep.
#[test]
fn each_measure_on_inside_and_outside_its_limit_and_unknown() {
    let cases: [Case; 5] = [
        (
            Code::DepthSpread,
            |car, value| car.exterior_depth = Some(Inches(value)),
            |car| car.exterior_depth = None,
            [
                (14.5, Outcome::Pass),
                (15.0, Outcome::Caution), // on the limit of 1 in: near it
                (15.1, Outcome::Fail),
                (12.9, Outcome::Fail),
            ],
        ),
        (
            Code::LengthSpread,
            |car, value| {
                car.length = Some(Feet(value));
                car.weight = Some(Kips(40.0 / 76.0 * value));
            },
            |car| car.length = None,
            [
                (76.5, Outcome::Pass),
                (75.0, Outcome::Caution),
                (77.1, Outcome::Fail),
                (74.9, Outcome::Fail),
            ],
        ),
        (
            Code::WeightSpread,
            |car, value| car.weight = Some(Kips(value)),
            |car| car.weight = None,
            [
                (44.0, Outcome::Pass),    // 10 % more
                (45.0, Outcome::Caution), // 12.5 % of 15 %
                (46.1, Outcome::Fail),
                (34.7, Outcome::Fail), // 40 is 15.3 % over it
            ],
        ),
        (
            Code::DepthOverAllSpread,
            |car, value| car.depth_over_all = Some(Inches(value)),
            |car| car.depth_over_all = None,
            [
                (48.5, Outcome::Pass),
                (49.0, Outcome::Caution),
                (49.1, Outcome::Fail),
                (46.9, Outcome::Fail),
            ],
        ),
        (
            Code::RideHeightSpread,
            |car, value| car.ride_height = Some(Inches(value)),
            |car| car.ride_height = None,
            [
                (30.5, Outcome::Pass),
                (31.0, Outcome::Caution),
                (31.1, Outcome::Fail),
                (28.9, Outcome::Fail),
            ],
        ),
    ];
    let known: Clear = |car| {
        (car.depth_over_all, car.ride_height) = (Some(Inches(48.0)), Some(Inches(30.0)));
    };
    for (code, change, clear, values) in cases {
        for (value, outcome) in values {
            let other = |car: &mut Car| change(car, value);
            let checks = deck(&inputs_with(&[&known, &other]));
            let check = of(&checks, code).unwrap();
            assert_eq!(check.outcome, outcome, "{}", check.sentence());
        }
        let checks = deck(&inputs_with(&[&known, &clear]));
        let check = of(&checks, code).unwrap();
        assert_eq!(check.outcome, Outcome::Caution, "{}", check.sentence());
        assert!(check.note.contains("to confirm, not known of Drumfell Reclaim DR-2"), "{check:?}");
        assert!(of(&deck(&inputs_with(&[&sound])), code).is_none(), "a car alone is like itself");
    }
}

/// I of a box by hand: two webs 30 x 0.5, flanges 26 x 1, no cover: 2 x 0.5 x 30^3/12 = 2,250 and
/// 2 x (26 x 1 x 15.5^2 + 26/12) = 12,497.3: 14,747.3 in4. With flanges 1.1 in thick it is 2,250 and
/// 2 x (28.6 x 15.55^2 + 26 x 1.1^3/12) = 13,836.9: 16,086.9 in4, 9.08 % more; 1.2 in: 18.3 % more.
#[test]
fn stiffness_is_compared_where_plates_are_known_and_the_modulus_in_any_case() {
    let plain = |thickness: f64| {
        move |car: &mut Car| {
            plates(car).bottom_cover = None;
            plates(car).top_flange.thickness_in = Inches(thickness);
            plates(car).bottom_flange.thickness_in = Inches(thickness);
        }
    };
    for (thickness, over, outcome) in [
        (1.0, 0.0, Outcome::Pass),
        (1.1, 100.0 * (16_086.9 / 14_747.3 - 1.0), Outcome::Caution),
        (1.2, 18.3, Outcome::Fail),
    ] {
        let checks = deck(&inputs_with(&[&plain(1.0), &plain(thickness)]));
        let check = of(&checks, Code::StiffnessSpread).unwrap();
        let found = check.measured.number().unwrap();
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
        assert!((found - over).abs() < 0.05, "{}", check.sentence());
    }
    // One car without plates: its stated modulus against that of the other's plates.
    let stated = |modulus: f64| {
        move |car: &mut Car| {
            car.girder.plates = None;
            car.girder.stated_modulus = Some(CubicInches(modulus));
        }
    };
    // 14,747.3/16 = 921.7 in3.
    for (modulus, outcome) in
        [(930.0, Outcome::Pass), (1_000.0, Outcome::Caution), (1_020.0, Outcome::Fail)]
    {
        let checks = deck(&inputs_with(&[&plain(1.0), &stated(modulus)]));
        assert!(of(&checks, Code::StiffnessSpread).is_none());
        let check = of(&checks, Code::ModulusSpread).unwrap();
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
        assert_eq!(of(&checks, Code::WebsSpread).unwrap().outcome, Outcome::Caution);
    }
    let one_web = |car: &mut Car| plates(car).webs = 1;
    let checks = deck(&inputs_with(&[&sound, &one_web]));
    assert_eq!(of(&checks, Code::WebsSpread).unwrap().outcome, Outcome::Fail);
}

/// An inspector who looked at every car and found it to be of its section confirms what is not
/// known, and not what is known otherwise.
#[test]
fn a_confirmed_section_answers_for_what_is_not_known() {
    let stated = |car: &mut Car| car.girder.plates = None;
    let mut inputs = inputs_with(&[&stated, &stated]);
    assert_eq!(of(&deck(&inputs), Code::WebsSpread).unwrap().outcome, Outcome::Caution);
    let confirm = |inputs: &mut Inputs, at: usize| {
        let car = inputs.cars[at].clone();
        inputs.decided.list.push(Decision {
            what: What::Measured {
                by: None,
                document: None,
                goods: Goods::Car { dealer: car.dealer.clone(), car: car.id.clone() },
                values: Box::new(car),
                columns: vec![Inventory::Section],
            },
            part: None,
            on: None,
            note: None,
            place: row("decisions.toml", 1),
        });
    };
    confirm(&mut inputs, 0);
    assert_eq!(of(&deck(&inputs), Code::WebsSpread).unwrap().outcome, Outcome::Caution);
    confirm(&mut inputs, 1);
    let checks = deck(&inputs);
    assert_eq!(of(&checks, Code::WebsSpread).unwrap().outcome, Outcome::Pass);
    assert!(all_pass(&checks));
    inputs.cars[1].exterior_depth = Some(Inches(10.0));
    assert_eq!(of(&deck(&inputs), Code::DepthSpread).unwrap().outcome, Outcome::Fail);
}

#[test]
fn a_riveted_girder_lies_beside_a_riveted_one() {
    let made = |how| move |car: &mut Car| car.fabrication = how;
    let (riveted, welded) = (Some(Fabrication::Riveted), Some(Fabrication::Welded));
    for (a, b, outcome) in [
        (riveted, riveted, Outcome::Pass),
        (riveted, welded, Outcome::Fail),
        (welded, None, Outcome::Caution),
    ] {
        let checks = deck(&inputs_with(&[&made(a), &made(b)]));
        let check = of(&checks, Code::FabricationSpread).unwrap();
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
    }
}
