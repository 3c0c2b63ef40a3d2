//! Flat cars against another bridge.

use spanyard::check::Code;
use spanyard::model::crossing::OtherBridge;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{Fate, Plan};
use spanyard::model::rules::Fund;
use spanyard::quantity::Cents;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::matching::Matching;
use spanyard::report::facts::other_bridge::{against, sentences};
use spanyard::report::{json, terminal};
use spanyard::survey::Survey;

use crate::deals::support::{failed, planned};
use crate::testkit::fixture::inputs_with;

/// Two cars for one crossing, and a culvert there at so much.
fn culvert(cents: i64) -> Inputs {
    let mut inputs = inputs_with(&[&|_| {}, &|_| {}]);
    inputs.crossings[0].other_bridge =
        Some(OtherBridge { cost: Cents(cents), what: Some("culvert".to_owned()), years: Some(50) });
    inputs
}

/// What the flat cars cost there.
fn total() -> i64 {
    let plan = planned(&culvert(1_000_000_000));
    plan.crossings[0].served().unwrap().total().0
}

fn codes(plan: &Plan) -> Vec<Code> {
    match &plan.crossings[0].fate {
        Fate::Served(_) => Vec::new(),
        Fate::Unserved(unserved) => unserved.reasons.iter().map(|check| check.code).collect(),
    }
}

#[test]
fn no_flat_cars_are_laid_where_the_culvert_is_cheaper_by_a_cent() {
    let total = total();
    let plan = planned(&culvert(total));
    assert_eq!(plan.crossings[0].served().unwrap().total(), Cents(total));
    let inputs = culvert(total - 1);
    let dearer = planned(&inputs);
    assert_eq!(codes(&dearer), [Code::OtherBridge]);
    let Fate::Unserved(unserved) = &dearer.crossings[0].fate else { panic!("served") };
    let words = unserved.reasons[0].sentence();
    assert!(words.contains("$0.01"), "{words}");
    let said = sentences(&inputs, &dearer).join(" ");
    let at = Cents(total - 1);
    assert_eq!(said, format!("At T-07 the culvert at {at} is cheaper: no flat cars are laid."));
    // The plan of the dearer culvert does not stand up against the cheaper one.
    assert_eq!(failed(&inputs, &plan), [Code::WithinFunds]);
}

#[test]
fn the_rules_or_a_fund_may_have_them_laid_all_the_same() {
    let total = total();
    let mut inputs = culvert(total - 250);
    inputs.rules.service.above_other_bridge = true;
    let plan = planned(&inputs);
    assert_eq!(plan.crossings[0].served().unwrap().total(), Cents(total));
    let said = sentences(&inputs, &plan).join(" ");
    assert!(
        said.contains("At T-07 the culvert is cheaper by $2.50, and flat cars are laid"),
        "{said}"
    );

    let mut inputs = culvert(total - 250);
    inputs.rules.fund =
        vec![Fund { name: "school routes".to_owned(), usd: Cents::dollars(10_000_000) }];
    inputs.crossings[0].fund = Some("school routes".to_owned());
    assert_eq!(planned(&inputs).served_count(), 1);
}

#[test]
fn what_flat_cars_save_is_told_and_by_the_year() {
    let total = total();
    // A culvert that costs 12,000.00 more.
    let mut inputs = culvert(total + 1_200_000);
    inputs.rules.service.life_years = Some(25);
    let plan = planned(&inputs);
    let found = against(&inputs, &plan.crossings[0]).unwrap();
    assert_eq!(found.saves(), Some(Cents(1_200_000)));
    let (flat_cars, other) = found.by_the_year().unwrap();
    assert_eq!(other, Cents::from_dollars((total + 1_200_000) as f64 / 100.0 / 50.0));
    assert_eq!(flat_cars, Cents::from_dollars(total as f64 / 100.0 / 25.0));
    let survey = Survey::new(&inputs);
    let matching = Matching::new(&inputs, &survey);
    let report = PlanReport { inputs: &inputs, plan: &plan, matching: &matching, files: &[] };
    let text = terminal::plan(&report, 200);
    assert!(text.contains("Another bridge: the culvert, "), "{text}");
    assert!(text.contains("flat cars save $12,000.00; by the year of service"), "{text}");
    assert!(
        text.contains("Against other bridges at 1 crossing, flat cars save $12,000.00; at 1 of")
    );
    let json: serde_json::Value = serde_json::from_str(&json::plan(&report).unwrap()).unwrap();
    let other = &json["crossings"][0]["other_bridge"];
    assert_eq!(other["saves_usd_cents"], 1_200_000);
    assert_eq!((other["years"].as_u64(), other["is_cheaper"].as_bool()), (Some(50), Some(false)));
    // Without a life of the flat cars, nothing by the year.
    inputs.rules.service.life_years = None;
    assert_eq!(against(&inputs, &plan.crossings[0]).unwrap().by_the_year(), None);
}
