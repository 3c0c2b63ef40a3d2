//! Purchases as files on which a choice once went wrong.

use std::collections::BTreeMap;

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::model::plan::Plan;
use spanyard::read::{self, SourceText, Sources};
use spanyard::survey::Survey;

/// The plan of the files in a folder of `tests/choose/cases`, with more rules; and how many crossings of
/// each priority it serves.
fn plan(case: &str, more_rules: &str) -> (Plan, BTreeMap<u8, usize>) {
    let file = |name: &str| {
        let path = format!("{}/tests/choose/cases/{case}/{name}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(&path).expect(&path);
        let more = if name == "rules.toml" { more_rules } else { "" };
        SourceText::new(name, text + more)
    };
    let sources = Sources {
        inventories: vec![file("cars.csv")],
        yards: Some(file("yards.csv")),
        lots: Some(file("lots.csv")),
        crossings: Some(file("crossings.csv")),
        rules: Some(file("rules.toml")),
        ..Sources::default()
    };
    let reading = read::read(&sources, jiff::civil::date(2026, 6, 1)).expect(case);
    let inputs = reading.inputs;
    let survey = Survey::new(&inputs);
    let plan = make_plan(&inputs, &survey, &PlanOptions::default()).expect(case);
    let mut served = BTreeMap::new();
    for crossing in plan.crossings.iter().filter(|crossing| crossing.served().is_some()) {
        *served.entry(inputs.crossing(crossing.crossing).priority).or_default() += 1;
    }
    (plan, served)
}

/// Two cars make the deck, and the yard sells no fewer than four: a lot of two that fit nowhere makes up
/// the order.
#[test]
fn a_lot_that_fits_nowhere_makes_up_a_minimum_order() {
    let (plan, served) = plan("filler", "");
    assert_eq!(served, BTreeMap::from([(1, 1)]));
    assert!(plan.proof.service && plan.proof.cheapest);
    let lots: usize = plan.purchases.iter().map(|purchase| purchase.lots.len()).sum();
    assert_eq!(lots, 1);
}

/// Most crossings served as an integer program over all decks has them, one variable to a deck, solved
/// and proven by HiGHS 1.16: the cheapest plans agreed with its own to the cent too.
#[test]
fn as_many_are_served_as_another_solver_proves() {
    for (more_rules, of_second) in [("", 1), ("\n[group]\nstiffness_tolerance_pct = 20\n", 2)] {
        let (plan, served) = plan("piers", more_rules);
        assert_eq!(served, BTreeMap::from([(1, 5), (2, of_second)]), "{more_rules}");
        assert!(plan.proof.service && plan.proof.cheapest, "{more_rules}");
    }
}
