//! Several cars on one trailer, from the rules to the verified plan and its reports.

use spanyard::check::Code;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{CostItem, Deck, Fate, Plan, Served};
use spanyard::model::rules::{Laid, Truckload};
use spanyard::price;
use spanyard::quantity::{Cents, Feet, Kips, Pounds};
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::matching::Matching;
use spanyard::report::{csv, json, terminal};
use spanyard::survey::Survey;

use crate::deals::support::{failed, lines, planned};
use crate::testkit::demo;

fn truckload(cars: u32, lb: f64) -> Truckload {
    Truckload {
        cars,
        each_at_most_lb: Pounds(lb),
        each_at_most_ft: Feet(95.0),
        laid: Laid::Stacked,
        source: "the hauler".to_owned(),
    }
}

/// The demonstration, whose routes take any weight, with these truckloads.
fn with(truckloads: &[Truckload]) -> Inputs {
    let mut inputs = demo::inputs();
    for crossing in &mut inputs.crossings {
        crossing.haul_weight_limit = crossing.haul_weight_limit.map(|_| Kips(300.0));
    }
    inputs.rules.haul.truckload = truckloads.to_vec();
    inputs
}

fn decks(plan: &Plan) -> impl Iterator<Item = &Deck> {
    plan.crossings.iter().filter_map(|crossing| crossing.served()).flat_map(|s| &s.decks)
}

/// The first crossing with a load of several cars.
fn first(plan: &mut Plan) -> &mut Served {
    let mut served = plan.crossings.iter_mut().filter_map(|crossing| match &mut crossing.fate {
        Fate::Served(served) => Some(served),
        Fate::Unserved(_) => None,
    });
    served.find(|served| served.decks.iter().any(|deck| !deck.loads.is_empty())).unwrap()
}

#[test]
fn more_and_heavier_cars_to_a_trailer_never_make_the_plan_dearer() {
    let mut before: Option<Cents> = None;
    let mut falls = 0;
    for truckloads in [
        vec![],
        vec![truckload(2, 30_000.0)],
        vec![truckload(2, 45_000.0)],
        vec![truckload(2, 90_000.0)],
        vec![truckload(3, 45_000.0), truckload(2, 90_000.0)],
        vec![truckload(4, 90_000.0)],
    ] {
        let plan = planned(&with(&truckloads));
        if let Some(before) = before {
            assert!(plan.totals.net <= before, "{truckloads:?}");
            falls += usize::from(plan.totals.net < before);
        }
        before = Some(plan.totals.net);
    }
    assert!(falls >= 2, "{falls}");
}

#[test]
fn the_order_of_the_truckloads_does_not_matter() {
    let (two, three) = (truckload(2, 90_000.0), truckload(3, 45_000.0));
    let plan = planned(&with(&[two.clone(), three.clone()]));
    assert_eq!(planned(&with(&[three, two])), plan);
}

#[test]
fn a_haul_is_paid_for_each_load() {
    let inputs = with(&[truckload(2, 90_000.0)]);
    let plan = planned(&inputs);
    let cars: usize = decks(&plan).map(|deck| deck.cars.len()).sum();
    let shared: usize = decks(&plan).flat_map(|deck| &deck.loads).map(Vec::len).sum();
    let loads: usize = decks(&plan).map(|deck| deck.loads.len()).sum();
    assert!(loads > 2);
    assert_eq!(lines(&plan, CostItem::Haul).len(), cars - shared + loads);
    for deck in decks(&plan) {
        for load in &deck.loads {
            let yards: Vec<_> = deck.load(load).iter().map(|car| inputs.car(*car).yard).collect();
            assert!(load.len() == 2 && yards[0] == yards[1]);
        }
    }
}

#[test]
fn the_route_must_take_the_load() {
    // No route takes two cars at once, though each takes nearly twice the lightest: as if nothing were
    // said of trailers.
    let narrow = |truckloads: &[Truckload]| {
        let mut inputs = with(truckloads);
        let lightest = inputs.cars.iter().filter_map(|car| car.weight).reduce(Kips::min).unwrap();
        for crossing in &mut inputs.crossings {
            crossing.haul_weight_limit = Some(lightest * 1.99);
        }
        inputs
    };
    let (alone, allowed) = (narrow(&[]), narrow(&[truckload(4, 90_000.0)]));
    let plan = planned(&allowed);
    assert!(plan.served_count() > 2);
    assert_eq!(plan, planned(&alone));
}

#[test]
fn loads_that_are_not_allowed_or_cost_too_much_are_caught() {
    let inputs = with(&[truckload(2, 90_000.0)]);
    let plan = planned(&inputs);
    // Without the truckloads none of its loads is one.
    assert_eq!(failed(&with(&[]), &plan), [Code::CostLines]);
    // Nor are they where the route takes less.
    let mut weak = inputs.clone();
    for crossing in &mut weak.crossings {
        crossing.haul_weight_limit = demo::inputs().crossings[0].haul_weight_limit;
    }
    assert!(failed(&weak, &plan).contains(&Code::CostLines));

    // Each car alone, every line as it must be: dearer than it could be.
    let mut alone = plan.clone();
    let (mut more, mut extra) = (Vec::new(), Cents::ZERO);
    let served = first(&mut alone);
    let deck = served.decks.iter_mut().find(|deck| !deck.loads.is_empty()).unwrap();
    let load = deck.loads.remove(0);
    let cars = deck.load(&load);
    let together = price::load_lines(&inputs, &cars, deck.site).unwrap();
    for car in cars {
        more.extend(price::load_lines(&inputs, &[car], deck.site).unwrap());
    }
    served.lines.retain(|line| !together.contains(line));
    extra += more.iter().map(|line| line.amount).sum();
    extra += -together.iter().map(|line| line.amount).sum::<Cents>();
    served.lines.extend(more);
    alone.totals.net += extra;
    alone.totals.outlay += extra;
    (alone.proof.cheapest, alone.proof.bound) = (false, plan.proof.bound);
    assert_eq!(failed(&inputs, &alone), [Code::CostLines]);

    // A car on two trailers, and one that is not there.
    for load in [vec![0, 0], vec![0, 9], vec![0]] {
        let mut broken = plan.clone();
        let deck = first(&mut broken).decks.iter_mut().find(|deck| !deck.loads.is_empty());
        deck.unwrap().loads[0] = load;
        assert!(failed(&inputs, &broken).contains(&Code::CostLines));
    }
}

#[test]
fn the_reports_tell_which_cars_come_together_and_their_hauls_add_up() {
    let inputs = with(&[truckload(2, 90_000.0)]);
    let plan = planned(&inputs);
    let survey = Survey::new(&inputs);
    let matching = Matching::new(&inputs, &survey);
    let report = PlanReport { inputs: &inputs, plan: &plan, matching: &matching, files: &[] };
    let text = terminal::plan(&report, 200);
    let loads: usize = decks(&plan).map(|deck| deck.loads.len()).sum();
    assert_eq!(text.matches("On one trailer: ").count(), loads);
    assert!(text.contains("1 load of 2 cars: "));

    let json: serde_json::Value = serde_json::from_str(&json::plan(&report).unwrap()).unwrap();
    let crossings = json["crossings"].as_array().unwrap().iter();
    let of_decks = crossings.flat_map(|crossing| crossing["decks"].as_array()).flatten();
    let shared = of_decks.filter_map(|deck| deck["shared_loads"].as_array()).flatten();
    assert_eq!(shared.count(), loads);

    // The hauls of the shopping list are those of the cost lines.
    let haul: Cents = lines(&plan, CostItem::Haul).iter().map(|line| line.amount).sum();
    let listed = csv::plan(&report).unwrap();
    let rows: Vec<&str> = listed.lines().collect();
    let column = rows[0].split(',').position(|name| name == "haul_usd").unwrap();
    let mut reader = ::csv::Reader::from_reader(listed.as_bytes());
    let sum: f64 =
        reader.records().filter_map(|row| row.unwrap().get(column)?.parse::<f64>().ok()).sum();
    assert_eq!(Cents::from_dollars(sum), haul);
}
