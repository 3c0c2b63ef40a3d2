//! One car landed on a span, line by line.

use spanyard::model::car::{Car, Coating, LeadStatus, MemberCondition, Members};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{CostItem, CostLine, sum};
use spanyard::model::rules::Damage;
use spanyard::price::{car_at, car_cost, car_price, loading};
use spanyard::quantity::{Cents, Feet, Kips, Percent};

use crate::testkit::fixture::{CAR, SITE, all_members, inputs, into_lot};

type Change = fn(&mut Car);

fn lines(change: impl FnOnce(&mut Inputs)) -> Vec<CostLine> {
    let mut inputs = inputs();
    change(&mut inputs);
    let lines = car_at(&inputs, CAR, SITE).unwrap();
    assert_eq!(car_cost(&inputs, CAR, SITE), Some(sum(&lines)), "sum without words");
    lines
}

fn of(lines: &[CostLine], item: CostItem) -> Vec<(i64, &str)> {
    lines
        .iter()
        .filter(|line| line.item == item)
        .map(|line| (line.amount.0, line.basis.as_str()))
        .collect()
}

#[test]
fn a_sound_car_nearby_has_the_few_lines_it_needs() {
    // 76 ft and 40 kips: a permit for length, no escort. Haul 43.2 mi x 6.50 = 280.80, below the least
    // charge of 450. Bolsters (66 - 64) / 2 = 1 ft beyond the bearings, ends cut 1.5 ft behind them:
    // 64 + 2 x 2.5 = 69 ft lie there. Deck 9 x 69 = 621 sq ft x 14 = 8,694.
    let found = lines(|_| {});
    let expected = [
        (CostItem::Loading, 35_000, "1 car x $350.00"),
        (CostItem::Haul, 45_000, "minimum charge; 43.2 mi x $6.50/mi would be $280.80"),
        (
            CostItem::Permit,
            25_000,
            "1 load: length 76.00 ft over 53.00 ft, width 9.00 ft over 8.50 ft",
        ),
        (CostItem::Pick, 55_000, "1 car x $550.00"),
        (CostItem::Trim, 130_000, "2 ends x $650.00; overhang 6.00 ft, cut back to 2.50 ft"),
        (CostItem::Deck, 869_400, "621.0 sq ft x $14.00/sq ft; timber, 9 ft x 69 ft"),
    ];
    let found: Vec<_> =
        found.iter().map(|line| (line.item, line.amount.0, line.basis.as_str())).collect();
    assert_eq!(found, expected);
}

#[test]
fn a_long_worn_car_far_away_has_every_line() {
    let found = lines(|inputs| {
        inputs.crossings[0].position.latitude_deg = 46.0; // 172.7 road miles, see distance.rs
        let car = &mut inputs.cars[0];
        (car.length, car.width, car.weight) =
            (Some(Feet(89.0)), Some(Feet(9.125)), Some(Kips(52.0)));
        (car.coating, car.lead) = (Some(Coating::Worn), None);
        car.members.cross_members = Some(MemberCondition::Corroded(Percent(8.0)));
        car.members.stringers = Some(MemberCondition::Bent);
    });
    let expected = [
        (CostItem::Loading, 35_000, "1 car x $350.00"),
        // 172.7 x 6.50 = 1,122.55
        (CostItem::Haul, 112_255, "172.7 mi x $6.50/mi"),
        (
            CostItem::Permit,
            25_000,
            "1 load: length 89.00 ft over 53.00 ft, weight 52.0 kip over 48.0 kip, width 9.12 ft over 8.50 ft",
        ),
        // 172.7 x 2.25 = 388.575
        (CostItem::Escort, 38_858, "172.7 mi x $2.25/mi; length 89.00 ft over 80.00 ft"),
        (CostItem::Pick, 55_000, "1 car x $550.00"),
        // (89 - 64) / 2 = 12.5 ft
        (CostItem::Trim, 130_000, "2 ends x $650.00; overhang 12.50 ft, cut back to 2.50 ft"),
        (CostItem::Repair, 120_000, "1 group x $1,200.00; cross-members corroded 8.0 %"),
        (CostItem::Repair, 90_000, "1 group x $900.00; stringers bent"),
        // 69 x 28 = 1,932
        (CostItem::Coating, 193_200, "69 ft x $28.00/ft; coating worn"),
        (CostItem::Lead, 180_000, "1 car x $1,800.00; not tested, lead assumed"),
        // 9.125 x 69 = 629.625 -> 629.6 sq ft x 14 = 8,814.40
        (CostItem::Deck, 881_440, "629.6 sq ft x $14.00/sq ft; timber, 9.125 ft x 69 ft"),
    ];
    assert!(found.iter().all(|line| line.subject == "Drumfell Reclaim DR-1"));
    let listed: Vec<_> =
        found.iter().map(|line| (line.item, line.amount.0, line.basis.as_str())).collect();
    assert_eq!(listed, expected);
    // 350 + 1,122.55 + 250 + 388.58 + 550 + 1,300 + 1,200 + 900 + 1,932 + 1,800 + 8,814.40
    assert_eq!(sum(&found), Cents(1_860_753));
}

#[test]
fn the_least_charge_ends_where_the_miles_cost_more() {
    for (minimum, amount, basis) in [
        (280.81, 28_081, "minimum charge; 43.2 mi x $6.50/mi would be $280.80"),
        (280.80, 28_080, "43.2 mi x $6.50/mi"),
        (0.0, 28_080, "43.2 mi x $6.50/mi"),
    ] {
        let found = lines(|inputs| inputs.rules.haul.minimum_usd = Cents::from_dollars(minimum));
        assert_eq!(of(&found, CostItem::Haul), [(amount, basis)]);
    }
}

#[test]
fn permits_and_escorts_begin_over_their_limits() {
    for (length, weight, permit, escort) in [
        (53.0, 48.0, 0, 0),
        (53.1, 48.0, 1, 0),
        (53.0, 48.1, 1, 0),
        (80.0, 60.0, 1, 0),
        (80.1, 40.0, 1, 1),
    ] {
        let found = lines(|inputs| {
            inputs.crossings[0].layouts[0].spans[0] = Feet(45.0);
            let car = &mut inputs.cars[0];
            (car.length, car.weight) = (Some(Feet(length)), Some(Kips(weight)));
            car.width = Some(Feet(8.5));
        });
        assert_eq!(of(&found, CostItem::Permit).len(), permit, "{length} ft, {weight} kip");
        assert_eq!(of(&found, CostItem::Escort).len(), escort, "{length} ft, {weight} kip");
    }
}

#[test]
fn both_ends_are_trimmed_behind_their_bolsters() {
    // Centers of 66 ft and 1.5 ft behind each bolster; without that limit, 6 ft beyond each bearing.
    for (behind, length, amount) in [
        (1.5, 69.0, None),
        (1.5, 69.1, Some(130_000)),
        (14.0, 76.0, None),
        (14.0, 76.1, Some(130_000)),
    ] {
        let found = lines(|inputs| {
            inputs.cars[0].length = Some(Feet(length));
            inputs.rules.screen.end_behind_bolster_ft = Feet(behind);
        });
        let amounts: Vec<i64> = of(&found, CostItem::Trim).iter().map(|line| line.0).collect();
        assert_eq!(amounts, amount.into_iter().collect::<Vec<_>>(), "{length} ft on 64 ft");
    }
}

#[test]
fn repairs_by_kind_of_damage() {
    for (condition, amount) in [
        (MemberCondition::Sound, None),
        (MemberCondition::Bent, Some(90_000)),
        (MemberCondition::Cracked, Some(250_000)),
        (MemberCondition::Corroded(Percent(3.0)), Some(120_000)),
        (MemberCondition::Missing, Some(300_000)),
    ] {
        let found = lines(|inputs| {
            inputs.rules.screen.secondary_repairable = Damage::ALL.to_vec();
            inputs.cars[0].members.stringers = Some(condition);
        });
        let amounts: Vec<i64> = of(&found, CostItem::Repair).iter().map(|line| line.0).collect();
        assert_eq!(amounts, amount.into_iter().collect::<Vec<_>>(), "{condition:?}");
    }
}

#[test]
fn blasting_by_the_foot_and_lead_work_only_where_paint_is_blasted() {
    // 69 ft lie there: x 28 = 1,932; x 62 = 4,278.
    let failed = "69 ft x $62.00/ft; coating failed";
    let unknown = "69 ft x $62.00/ft; coating unknown, priced as failed";
    let (found, assumed) =
        ("1 car x $1,800.00; lead found", "1 car x $1,800.00; not tested, lead assumed");
    for (coating, lead, coating_line, lead_line) in [
        (Some(Coating::Sound), Some(LeadStatus::Present), None, None),
        (Some(Coating::Sound), None, None, None),
        (
            Some(Coating::Worn),
            Some(LeadStatus::Free),
            Some((193_200, "69 ft x $28.00/ft; coating worn")),
            None,
        ),
        (
            Some(Coating::Failed),
            Some(LeadStatus::Present),
            Some((427_800, failed)),
            Some((180_000, found)),
        ),
        (None, None, Some((427_800, unknown)), Some((180_000, assumed))),
    ] {
        let lines = lines(|inputs| {
            (inputs.cars[0].coating, inputs.cars[0].lead) = (coating, lead);
        });
        let one = |line: Option<(i64, &'static str)>| line.into_iter().collect::<Vec<_>>();
        assert_eq!(of(&lines, CostItem::Coating), one(coating_line));
        assert_eq!(of(&lines, CostItem::Lead), one(lead_line));
    }
}

#[test]
fn the_deck_is_priced_by_tenths_of_a_square_foot() {
    for (system, width, span, line) in [
        // 1.5 ft behind each bolster 66 + 3 = 69 ft lie there. 8.83 x 69 = 609.27 -> 609.3 x 14 = 8,530.20
        (
            "timber",
            8.83,
            61.5,
            Some((853_020, "609.3 sq ft x $14.00/sq ft; timber, 8.83 ft x 69 ft")),
        ),
        // At most 6 ft beyond each bearing: 50.5 + 12. 9.5 x 62.5 = 593.75 -> 593.8 x 24 = 14,251.20
        (
            "concrete",
            9.5,
            50.5,
            Some((1_425_120, "593.8 sq ft x $24.00/sq ft; concrete, 9.5 ft x 62.5 ft")),
        ),
        ("car deck", 9.0, 64.0, None),
    ] {
        let found = lines(|inputs| {
            inputs.crossings[0].deck_system = system.to_owned();
            inputs.crossings[0].layouts[0].spans[0] = Feet(span);
            inputs.cars[0].width = Some(Feet(width));
        });
        assert_eq!(of(&found, CostItem::Deck), line.into_iter().collect::<Vec<_>>());
    }
}

#[test]
fn what_is_unknown_has_no_price() {
    let unknowns: [(&str, Change); 7] = [
        ("length", |car| car.length = None),
        ("weight", |car| car.weight = None),
        ("width", |car| car.width = None),
        ("cross-members", |car| car.members.cross_members = None),
        ("all members", |car| car.members = all_members(None)),
        ("stringers beyond repair", |car| car.members.stringers = Some(MemberCondition::Missing)),
        ("cross-members beyond repair", |car| {
            car.members = Members { cross_members: Some(MemberCondition::Cracked), ..car.members };
        }),
    ];
    for (name, unknown) in unknowns {
        let mut inputs = inputs();
        unknown(&mut inputs.cars[0]);
        assert_eq!(car_at(&inputs, CAR, SITE), None, "{name}");
        assert_eq!(car_cost(&inputs, CAR, SITE), None, "{name}");
    }
    let mut inputs = inputs();
    inputs.crossings[0].deck_system = "bamboo".to_owned();
    assert_eq!(car_at(&inputs, CAR, SITE), None);
}

#[test]
fn the_price_of_a_car_is_its_own_or_its_lots() {
    let mut inputs = inputs();
    let lines = car_price(&inputs, CAR).unwrap();
    assert_eq!(of(&lines, CostItem::Car), [(950_000, "1 car x $9,500.00, as quoted")]);
    assert_eq!(loading(&inputs, CAR), Cents(35_000));

    inputs.cars[0].price = None;
    assert_eq!(car_price(&inputs, CAR), None);

    into_lot(&mut inputs, Some(Cents(100)));
    assert_eq!(car_price(&inputs, CAR), Some(Vec::new()));
}

/// Centers of 66 ft on 62 ft: 2 ft inside each bolster, over 1 ft. Two ends x 850 = 1,700.
#[test]
fn stiffeners_where_the_car_bears_inside_its_bolsters() {
    let on = |span: f64| lines(|inputs| inputs.crossings[0].layouts[0].spans[0] = Feet(span));
    let expected = [(170_000, "2 ends x $850.00; bears 2.00 ft inside the bolsters, over 1.00 ft")];
    assert_eq!(of(&on(62.0), CostItem::Stiffener), expected);
    assert_eq!(of(&on(64.0), CostItem::Stiffener), []);
}

/// A car of 50 ft, 40 kips and 13.5 ft: permit for its width over 8.5 ft, and an escort, for it is over
/// 12 ft: 43.2 mi x 2.25 = 97.20, below the least charge of 350.
#[test]
fn a_wide_car_travels_by_permit_and_escorted() {
    let wide = |width: f64| {
        lines(|inputs| {
            let car = &mut inputs.cars[0];
            (car.length, car.width) = (Some(Feet(50.0)), Some(Feet(width)));
        })
    };
    let (legal, over, escorted) = (wide(8.5), wide(8.75), wide(13.5));
    assert_eq!((of(&legal, CostItem::Permit), of(&legal, CostItem::Escort)), (vec![], vec![]));
    assert_eq!(of(&over, CostItem::Permit), [(25_000, "1 load: width 8.75 ft over 8.50 ft")]);
    assert_eq!(of(&over, CostItem::Escort), []);
    assert_eq!(of(&escorted, CostItem::Permit), [(25_000, "1 load: width 13.50 ft over 8.50 ft")]);
    let charge = "minimum charge; 43.2 mi x $2.25/mi would be $97.20; width 13.50 ft over 12.00 ft";
    assert_eq!(of(&escorted, CostItem::Escort), [(35_000, charge)]);
}
