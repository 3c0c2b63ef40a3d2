//! A rating followed by hand from the plates to the sign.

use spanyard::check::{Code, Outcome, Value};
use spanyard::model::rules::{JointShare, Rules};
use spanyard::quantity::{Feet, Inches, Ratio, Tons};
use spanyard::rate::posting::Posting;
use spanyard::rate::{Rating, rate_checks};

use crate::rating::support::{car, crossing, rules};

fn close(found: f64, by_hand: f64) {
    assert!((found - by_hand).abs() <= 6e-4 * by_hand.abs().max(1.0), "{found}, by hand {by_hand}");
}

/// 45 ft, HS20 and Type 3, timber deck. Figures worked on paper from the plates, the loads of
/// AASHTO (see `vehicles.rs`) and the default rules; each step is written beside its number.
#[test]
fn a_box_girder_at_45_ft() {
    let rating =
        Rating::of(&car(), &crossing(45.0, &["HS20", "Type 3"]), Feet(45.0), &rules()).unwrap();

    // Dead load: 45 / 60 car; 17 psf on 9 + 18 / 12 = 10.5 ft; the heavier joint; one rail.
    let dead = &rating.dead;
    close(dead.car.0, 0.750);
    close(dead.deck_width.0, 10.5);
    close(dead.deck.0, 0.1785);
    close(dead.joint.0, 0.160);
    close(dead.rail.0, 0.050);
    close(dead.components().0, 1.1385);
    assert_eq!((dead.rails, dead.wearing.0), (1, 0.0));

    // HS20 on 45 ft: 72 (22.5 - 7/3)^2 / 45 - 112 = 538.711; lane 0.64 x 45^2 / 8 + 18 x 45 / 4 =
    // 364.5. Impact 50 / 170 = 0.29412: 697.156.
    let hs20 = &rating.vehicles[0];
    close(hs20.on_span.allowable.moment.truck.moment.0, 538.711);
    close(hs20.on_span.allowable.impact.0, 0.294_118);
    close(hs20.on_span.allowable.moment.total.0, 697.156);
    // Dead moment 1.1385 x 45^2 / 8 = 288.183. Capacity 0.55 x 36 x 642.056 / 12 = 1059.393.
    let inventory = hs20.bending.by_allowable();
    close(inventory.capacity.0, 1059.393);
    close(inventory.dead.0, 288.183);
    close(inventory.factor.0, (1059.393 - 288.183) / 697.156);
    // Operating 0.75 x 36 x 642.056 / 12 = 1444.626.
    close(hs20.bending.allowable[1].factor.0, (1444.626 - 288.183) / 697.156);
    // Load and resistance: phi c phi s = max(0.95 x 0.85, 0.85) = 0.85; C = 0.85 x 36 x 642.056 / 12
    // = 1637.243; LL + IM = 1.33 x 538.711 = 716.486, one lane: x 1.20.
    let inventory = hs20.bending.by_factored();
    close(inventory.capacity.0, 1637.243);
    close(inventory.factor.0, (1637.243 - 1.25 * 288.183) / (1.75 * 1.2 * 716.486));
    close(hs20.bending.factored[1].factor.0, (1637.243 - 360.229) / (1.35 * 1.2 * 716.486));
    // Load factor ratio operating over inventory: 1.75 / 1.35.
    close(hs20.bending.factored[1].factor / inventory.factor, 1.75 / 1.35);

    // Shear: truck 32 + 32 x 31/45 + 8 x 17/45 = 57.0667; lane 0.64 x 22.5 + 26 = 40.4; dead 1.1385 x
    // 22.5 = 25.616. Webs 28.5 in2, 57 deep over thick, no buckling: 0.33 x 36 x 28.5 = 338.58.
    let shear = hs20.shear.as_ref().unwrap().by_allowable();
    close(shear.capacity.0, 338.58);
    close(shear.factor.0, (338.58 - 25.616) / (57.0667 * 1.294_118));
    // 0.58 x 36 x 28.5 x 0.85 = 505.818.
    let shear = hs20.shear.as_ref().unwrap().by_factored();
    close(shear.factor.0, (505.818 - 1.25 * 25.616) / (1.75 * 1.2 * 1.33 * 57.0667));

    // Type 3 on 45 ft: axles 16, 17, 17 at 0, 15, 19 ft; the resultant lies 578 / 50 = 11.56 ft behind
    // the first, 3.44 ft before the middle axle: 50 (22.5 + 1.72)^2 / 45 - 16 x 15 = 411.787, and from
    // the other bearing 50 (22.5 - 1.72)^2 / 45 - 17 x 4, the same.
    let type3 = &rating.vehicles[1];
    close(type3.on_span.factored.moment.truck.moment.0, 411.787);
    let legal = type3.bending.by_factored();
    close(legal.factor.0, (1637.243 - 360.229) / (1.45 * 1.2 * 1.33 * 411.787));
    assert_eq!(type3.posting, Posting::NotNeeded);

    // HS20 rates 0.8487 in the governing form: posted at 36 / 0.7 x 0.5487 = 28.2 tons.
    assert_eq!(rating.governing, 0);
    close(hs20.least.0, 0.8487);
    let Posting::UpTo { safe_load, sign } = hs20.posting else { panic!("posted") };
    close(safe_load.0, 28.220);
    assert_eq!(sign, Tons(28.0));

    // Deflection of HS20 with impact 0.33 against 45 x 12 / 800 = 0.675 in. The truck's own, times E
    // I: the two heavy axles and the light one by P a (3 L^2 - 4 a^2) / 48, with the middle axle 1.3 ft
    // off mid-span it is greatest; 1.33 x that x 1728 / (29000 x 9630.84).
    let deflection = hs20.deflection.unwrap().0;
    let at = |front: f64| -> f64 {
        [(8.0, 0.0), (32.0, 14.0), (32.0, 28.0)]
            .iter()
            .map(|(p, o)| {
                let a = (front + o).min(45.0 - front - o);
                if a > 0.0 { p * a * (3.0 * 2025.0 - 4.0 * a * a) / 48.0 } else { 0.0 }
            })
            .sum()
    };
    let most = (0..45_000).map(|i| at(f64::from(i) / 1000.0 - 20.0)).fold(0.0, f64::max);
    close(deflection, 1.33 * most * 1728.0 / (29_000.0 * 9630.844));
}

/// A form that the rules switch off, and a posting that the crossing accepts, turn failures into
/// cautions; the posting then decides.
#[test]
fn who_bars_is_for_the_rules_and_the_crossing_to_say() {
    let mut rules = rules();
    let mut x = crossing(45.0, &["HS20"]);
    let outcome = |x: &_, rules: &_, code| {
        rate_checks(&car(), x, Feet(45.0), rules)
            .into_iter()
            .find(|check| check.code == code)
            .map(|check| check.outcome)
    };
    assert_eq!(outcome(&x, &rules, Code::BendingAllowable), Some(Outcome::Pass));
    assert_eq!(outcome(&x, &rules, Code::BendingFactored), Some(Outcome::Fail));
    assert_eq!(outcome(&x, &rules, Code::Posting), None);
    // A design load is on no sign: the legal trucks decide.
    x.least_posting = Some(Tons(28.5));
    assert_eq!(outcome(&x, &rules, Code::BendingFactored), Some(Outcome::Caution));
    assert_eq!(outcome(&x, &rules, Code::Posting), Some(Outcome::Pass));
    x.least_posting = None;
    rules.rating.load_and_resistance = false;
    assert_eq!(outcome(&x, &rules, Code::BendingFactored), Some(Outcome::Caution));
    rules.rating.allowable_stress = false;
    assert_eq!(outcome(&x, &rules, Code::BendingFactored), Some(Outcome::Caution));
}

/// Each vehicle is named in its checks, with rating factor, level and a limit of 1.
#[test]
fn one_check_per_vehicle_and_question() {
    let names = ["H15", "HL-93", "Type 3S2", "EV3"];
    let checks = rate_checks(&car(), &crossing(40.0, &names), Feet(40.0), &rules());
    for code in
        [Code::BendingAllowable, Code::ShearAllowable, Code::BendingFactored, Code::ShearFactored]
    {
        let parts: Vec<_> =
            checks.iter().filter(|c| c.code == code).map(|c| c.part.as_str()).collect();
        assert_eq!(parts, names);
        for check in checks.iter().filter(|c| c.code == code) {
            assert!(matches!(check.measured, Value::Ratio(Ratio(f)) if f > 0.0));
            assert_eq!(check.limit.number(), Some(1.0));
            assert!(check.note.contains("level"));
        }
    }
    let mut order: Vec<_> = checks.iter().map(|c| c.code).collect();
    order.dedup();
    assert!(order.is_sorted(), "in the order of the registry");
}

/// A share stated for one joint type counts where the car's girders are deep enough for no other; of
/// several joints the greatest share, since the joint is not chosen yet.
#[test]
fn a_share_may_be_stated_for_a_joint_type() {
    let mut rules = rules();
    let share = |rules: &Rules, depth: Option<f64>| {
        let mut car = car();
        car.exterior_depth = depth.map(Inches);
        let rating = Rating::of(&car, &crossing(45.0, &["HS20"]), Feet(45.0), rules).unwrap();
        (rating.allowable_share.total.0, rating.share_source())
    };
    let stated = |joint: &str, truck_share, source: &str| JointShare {
        joint: joint.to_owned(),
        truck_share,
        source: source.to_owned(),
    };
    let whole = rules.rating.truck_share_source.clone();
    // The built-in joints want 8 and 12 in of exterior girder.
    rules.joint_share = vec![stated("bolted plate", 0.8, "test A")];
    let beside_plate = (0.8, "beside a bolted plate joint: test A".to_owned());
    assert_eq!(share(&rules, Some(10.0)), beside_plate);
    assert_eq!(share(&rules, Some(14.0)), (1.0, whole.clone()), "it may get a concrete beam");
    assert_eq!(share(&rules, None), (1.0, whole.clone()));
    rules.joint_share.push(stated("concrete beam", 0.7, "test B"));
    for depth in [Some(10.0), Some(14.0), None] {
        assert_eq!(share(&rules, depth), beside_plate, "{depth:?}");
    }
    rules.joint.retain(|joint| joint.name == "concrete beam");
    assert_eq!(share(&rules, Some(14.0)), (0.7, "beside a concrete beam joint: test B".to_owned()));
    assert_eq!(share(&rules, Some(10.0)), (1.0, whole), "no joint carries it");
}

/// An agency's share stands for what joints hand on, so a car that may lie alone has none of it.
#[test]
fn a_car_that_may_lie_alone_carries_the_whole_truck() {
    let mut rules = rules();
    rules.rating.truck_share = 0.6;
    rules.rating.truck_share_source = "load test of 2025-08-14".to_owned();
    let mut x = crossing(45.0, &["HS20"]);
    let rated = |x: &_| {
        let rating = Rating::of(&car(), x, Feet(45.0), &rules).unwrap();
        let deflection = rating.vehicles[0].deflection.unwrap().0;
        (rating.allowable_share.total, rating.factored_share.total, deflection)
    };
    let beside = rated(&x);
    assert_eq!((beside.0, beside.1), (Ratio(0.6), Ratio(0.72)));
    x.most_abreast = 1;
    let alone = rated(&x);
    assert_eq!((alone.0, alone.1), (Ratio(1.0), Ratio(1.2)));
    close(beside.2, 0.6 * alone.2);
    let checks = rate_checks(&car(), &x, Feet(45.0), &rules);
    let share = checks.iter().find(|check| check.code == Code::LoadShare).unwrap();
    assert!(share.note.contains("may lie alone") && !share.note.contains("load test"));
    // Wide enough for the roadway and its rails it may lie alone too.
    x.most_abreast = 2;
    x.clear_width = Feet(7.5);
    assert_eq!(rated(&x).0, Ratio(1.0));
}
