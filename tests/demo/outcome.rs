//! The plan of the demonstration, as a person works it out with the lists in hand.

use spanyard::assemble::PlanOptions;
use spanyard::model::plan::Fate;
use spanyard::quantity::Cents;

use super::county::{County, Planned};

/// The codes of the reasons for which a crossing goes without.
fn unserved_codes(planned: &Planned, crossing: &str) -> Vec<&'static str> {
    let mut plans = planned.plan.crossings.iter();
    let plan = plans.find(|plan| planned.inputs.crossing(plan.crossing).id == crossing).unwrap();
    match &plan.fate {
        Fate::Served(_) => Vec::new(),
        Fate::Unserved(unserved) => {
            unserved.reasons.iter().map(|reason| reason.code.id()).collect()
        }
    }
}

#[test]
fn eight_crossings_are_served_and_four_go_without_for_the_reason_built_into_each() {
    let planned = County::new().plan();
    assert_eq!(
        planned.served_ids(),
        ["B-03", "B-07", "B-11", "B-12", "B-16", "B-24", "B-30", "B-33"]
    );
    for (crossing, code) in [
        ("B-19", "C01"), // 112 ft, longer than any car, and no pier allowed
        ("B-21", "C01"), // the crane picks 30,000 lb, the lightest strong enough car has 38,400
        ("B-38", "C02"), // two cars reach 57 ft on its road; their cambers differ by 2.25 in
        ("B-40", "C03"), // three cars reach 64 ft, and B-12 takes two of them
    ] {
        assert_eq!(unserved_codes(&planned, crossing), [code], "{crossing}");
    }
    assert!(planned.plan.proof.cheapest && planned.plan.proof.service);
}

#[test]
fn sedge_bottoms_gets_one_pier_and_two_decks() {
    let planned = County::new().plan();
    let served = planned.served("B-16").unwrap();
    let spans: Vec<_> = served.decks.iter().map(|deck| deck.span.0).collect();
    assert_eq!(spans, [45.0, 45.0]);
}

/// The quay's lot of three holds one useless car and is still the cheaper pair for 60 ft; the mixed
/// lot of six holds two and is not worth its price; the lot of four is all good.
#[test]
fn lots_are_judged_by_what_they_leave_over() {
    let planned = County::new().plan();
    assert_eq!(planned.lots(), ["UD-A", "OQ-2"]);
    assert_eq!(planned.cars("B-11"), [["Q-08", "Q-08"]]);
}

#[test]
fn the_widest_gap_and_the_narrowest_come_from_the_widths() {
    let planned = County::new().plan();
    // Clear 17 ft and two rails of 0.75 ft: 18.5 ft; two cars of 9 ft leave a gap of 6 in.
    let marl_pit = &planned.served("B-24").unwrap().decks[0];
    let joint = marl_pit.joint.as_ref().unwrap();
    assert_eq!((joint.name.as_str(), joint.gap.0), ("concrete beam", 6.0));
    // Clear 25 ft and the rails: 26.5 ft; three cars of 8 ft 9 3/4 in leave 3/4 in for two gaps.
    let town_line = &planned.served("B-30").unwrap().decks[0];
    let joint = town_line.joint.as_ref().unwrap();
    assert_eq!((joint.name.as_str(), joint.gap.0), ("bolted plate", 0.375));
}

#[test]
fn a_short_budget_serves_the_urgent_crossings_and_says_what_the_others_lack() {
    let budget = Cents::from_dollars(200_000.0);
    let options = PlanOptions { budget: Some(budget), ..PlanOptions::default() };
    let planned = County::new().plan_with(&options);
    assert!(planned.plan.totals.outlay <= budget);
    // Priority 1.
    assert!(planned.served("B-03").is_some() && planned.served("B-07").is_some());
    // Priority 3, served without a budget.
    assert_eq!(unserved_codes(&planned, "B-33"), ["C04"]);
}
