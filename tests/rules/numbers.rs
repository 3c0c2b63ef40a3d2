//! The numbers that the choice searches with, made from the inputs.

use spanyard::check::{Code, all_pass};
use spanyard::group::{Sections, candidate, deck_checks, deck_rule};
use spanyard::model::car::Car;
use spanyard::model::plan::sum;
use spanyard::price::car_at;
use spanyard::quantity::{Cents, Feet, Inches};

use crate::testkit::fixture::{CAR, SITE, inputs, inputs_with};

#[test]
fn the_rule_of_a_span_is_that_of_rules_and_crossing() {
    let inputs = inputs();
    let rule = deck_rule(&inputs, SITE);
    assert_eq!(rule.most_abreast, 2);
    assert_eq!((rule.width_least, rule.width_most), (Feet(17.5), Feet(19.5)));
    let tolerance = |code| rule.tolerances.get(code).unwrap();
    assert_eq!((tolerance(Code::CamberSpread), tolerance(Code::CentersSpread)), (1.0, 1.0));
    // 10 % and 15 %: shares are compared as logarithms.
    assert_eq!(tolerance(Code::StiffnessSpread), 0.10_f64.ln_1p());
    assert_eq!(tolerance(Code::ModulusSpread), 0.10_f64.ln_1p());
    assert_eq!(tolerance(Code::WeightSpread), 0.15_f64.ln_1p());
    assert_eq!((tolerance(Code::DepthSpread), tolerance(Code::LengthSpread)), (1.0, 1.0));
    assert_eq!(tolerance(Code::WebsSpread), 0.0);
    assert_eq!(rule.joints.len(), 2);
    // Centers of 66 ft and 1.5 ft behind each bolster: 69 ft of the car lie there.
    assert_eq!(rule.lengths, [Feet(69.0)]);
    assert_eq!(rule.joints[0].costs, [Cents(262_200)]); // 69 ft x $38
    assert_eq!(rule.joints[1].costs, [Cents(662_400)]); // 69 ft x $96
    assert_eq!(rule.rails, [Cents(634_800)]); // 2 x 69 ft x $46
    for (option, joint) in rule.joints.iter().zip(&inputs.rules.joint) {
        assert_eq!(option.gap_max, joint.gap_max_in);
        assert_eq!(option.depth_min, joint.exterior_depth_min_in);
    }
}

#[test]
fn sections_are_numbered_by_name() {
    let named = |name: &'static str| move |car: &mut Car| car.section = Some(name.to_owned());
    let unnamed = |car: &mut Car| car.section = None;
    let inputs = inputs_with(&[&named("T-2"), &named("S-70"), &unnamed, &named("T-2")]);
    let sections = Sections::of(&inputs);
    assert_eq!(sections.number("S-70"), Some(0));
    assert_eq!(sections.number("T-2"), Some(1));
    assert_eq!(sections.number("T-3"), None);
    assert_eq!(sections.name(1), Some("T-2"));
    assert_eq!(sections.name(2), None);
}

#[test]
fn a_candidate_costs_what_its_lines_add_up_to() {
    let inputs = inputs();
    let found = candidate(&inputs, CAR, SITE, &Sections::of(&inputs)).unwrap();
    assert_eq!(found.cost, sum(&car_at(&inputs, CAR, SITE).unwrap()));
    assert!(found.cost > Cents::ZERO);
    assert_eq!((found.offer, found.fit.section), (0, 0));
    let measure = |code| found.fit.measures.get(code);
    assert_eq!(measure(Code::CamberSpread), Some(1.5));
    assert_eq!(measure(Code::CentersSpread), Some(66.0));
    assert_eq!(measure(Code::WeightSpread), Some((40.0_f64 / 76.0).ln()));
    assert_eq!((found.fit.width, found.fit.exterior_depth), (Feet(9.0), Inches(14.0)));
}

type Change = fn(&mut Car);

#[test]
fn an_unknown_measure_makes_no_candidate() {
    let unknowns: [(&str, Change); 8] = [
        ("section", |car| car.section = None),
        ("camber", |car| car.camber = None),
        ("width", |car| car.width = None),
        ("truck centers", |car| car.truck_centers = None),
        ("exterior depth", |car| car.exterior_depth = None),
        ("length", |car| car.length = None),
        ("weight", |car| car.weight = None),
        ("stringers", |car| car.members.stringers = None),
    ];
    for (name, unknown) in unknowns {
        let inputs = inputs_with(&[&unknown]);
        assert!(candidate(&inputs, CAR, SITE, &Sections::of(&inputs)).is_none(), "{name}");
    }
}

#[test]
fn alone_an_unmeasured_exterior_girder_does_not_matter_and_still_carries_no_joint() {
    let mut inputs = inputs_with(&[&|car: &mut Car| car.exterior_depth = None]);
    inputs.crossings[0].most_abreast = 1;
    let found = candidate(&inputs, CAR, SITE, &Sections::of(&inputs)).unwrap();
    assert_eq!(found.fit.exterior_depth, Inches(0.0));
}

/// The rule in numbers and the checks for people must never disagree: over a grid of second cars,
/// a deck that the one admits passes the other, and a deck that the one refuses fails the other
/// with every joint and every gap in eighths.
#[test]
fn numbers_and_checks_agree() {
    let mut admitted = 0;
    let mut refused = 0;
    for width in [7.5, 8.0, 8.4, 8.5, 9.0, 9.4, 9.6, 10.0] {
        for camber in [0.25, 0.5, 1.5, 2.5, 2.625] {
            for centers in [64.9, 66.0, 67.0] {
                for depth in [7.9, 11.9, 12.0] {
                    let other = |car: &mut Car| {
                        car.width = Some(Feet(width));
                        car.camber = Some(Inches(camber));
                        car.truck_centers = Some(Feet(centers));
                        car.exterior_depth = Some(Inches(depth));
                    };
                    let deep = |car: &mut Car| car.exterior_depth = Some(Inches(depth));
                    let inputs = inputs_with(&[&deep, &other]);
                    let sections = Sections::of(&inputs);
                    let cars: Vec<_> = inputs.car_indices().collect();
                    let candidates: Vec<_> = cars
                        .iter()
                        .map(|&car| candidate(&inputs, car, SITE, &sections).unwrap())
                        .collect();
                    let choice =
                        deck_rule(&inputs, SITE).admits(&candidates.iter().collect::<Vec<_>>());
                    let passes = |joint: usize, gap: Inches| {
                        let joint = &inputs.rules.joint[joint];
                        all_pass(&deck_checks(&inputs, SITE, &cars, Some((joint, gap))))
                    };
                    match choice {
                        Some(choice) => {
                            admitted += 1;
                            assert!(passes(choice.joint.unwrap(), choice.gap), "{choice:?}");
                        }
                        None => {
                            refused += 1;
                            let any = (0..2).any(|joint| {
                                (0..=145)
                                    .any(|eighth| passes(joint, Inches(f64::from(eighth) / 8.0)))
                            });
                            assert!(!any, "{width} ft {camber} in {centers} ft {depth} in");
                        }
                    }
                }
            }
        }
    }
    assert!(admitted >= 20 && refused >= 100, "{admitted} admitted, {refused} refused");
}
