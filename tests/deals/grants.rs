//! Grants that pay a share of their crossings, and the funds that match them.

use spanyard::check::Code;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::Plan;
use spanyard::model::rules::{Fund, Grant};
use spanyard::quantity::{Cents, Percent};
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::funds::{beyond, funds};
use spanyard::report::facts::matching::Matching;
use spanyard::report::{json, terminal};
use spanyard::survey::Survey;

use crate::deals::support::{failed, planned};
use crate::testkit::demo;

fn fund(name: &str, usd: Cents) -> Fund {
    Fund { name: name.to_owned(), usd }
}

/// The demonstration with a grant for every other crossing that pays 80 % up to a limit, and a levy that pays
/// the rest and B-07, which is one of the others.
fn with(grant: Cents, levy: Cents) -> Inputs {
    let mut inputs = demo::inputs();
    inputs.rules.fund = vec![fund("bridge grant", grant), fund("road levy", levy)];
    inputs.rules.grant = vec![Grant {
        fund: "bridge grant".to_owned(),
        share_pct: Percent(80.0),
        match_fund: "road levy".to_owned(),
    }];
    for crossing in inputs.crossings.iter_mut().step_by(2) {
        crossing.fund = Some("bridge grant".to_owned());
    }
    inputs.crossings[1].fund = Some("road levy".to_owned());
    inputs
}

const PLENTY: Cents = Cents(1_000_000_000);

/// What the crossings of a fund cost in a plan, line by line.
fn cost(inputs: &Inputs, plan: &Plan, name: &str) -> Cents {
    let of = plan
        .crossings
        .iter()
        .filter(|planned| inputs.crossing(planned.crossing).fund.as_deref() == Some(name));
    of.filter_map(|planned| planned.served())
        .flat_map(|served| &served.lines)
        .map(|l| l.amount)
        .sum()
}

#[test]
fn a_grant_pays_its_share_up_to_its_limit_and_its_match_the_rest() {
    let inputs = with(PLENTY, PLENTY);
    let plan = planned(&inputs);
    let (all, own) = (cost(&inputs, &plan, "bridge grant"), cost(&inputs, &plan, "road levy"));
    assert!(all > Cents::ZERO && own > Cents::ZERO);
    let facts = funds(&inputs, &plan);
    // 80 %, rounded down to a cent; the rest to the cent.
    let pays = Cents(all.0 * 8 / 10);
    assert_eq!((facts[0].spent, facts[1].spent), (pays, own + all - pays));
    assert_eq!(beyond(&plan, &facts), plan.totals.outlay - all - own);
    // With a limit of $100,000 the levy pays all that is above it.
    let limited = with(Cents::dollars(100_000), PLENTY);
    let again = planned(&limited);
    assert_eq!(again.totals, plan.totals);
    let facts = funds(&limited, &again);
    assert_eq!(facts[0].spent, Cents::dollars(100_000));
    assert_eq!(facts[1].spent, own + all - Cents::dollars(100_000));
}

/// The match decides: with what the plan leaves to it the plan stands, with a cent less it is another one.
#[test]
fn the_match_is_kept_to_the_cent_and_a_plan_that_passes_it_is_caught() {
    let plan = planned(&with(PLENTY, PLENTY));
    let (all, own) = {
        let inputs = with(PLENTY, PLENTY);
        (cost(&inputs, &plan, "bridge grant"), cost(&inputs, &plan, "road levy"))
    };
    for grant in [PLENTY, Cents::dollars(100_000)] {
        let left = own + all - Cents(all.0 * 8 / 10).min(grant);
        assert!(!failed(&with(grant, left), &plan).contains(&Code::WithinFunds));
        assert_eq!(failed(&with(grant, left - Cents(1)), &plan), [Code::WithinFunds]);
        let enough = planned(&with(grant, left));
        assert_eq!(enough.totals, plan.totals);
        let short = planned(&with(grant, left - Cents(1)));
        assert_ne!(short.totals, plan.totals);
        assert!(short.served_count() <= plan.served_count());
    }
    // A grant of no fund, and a share raised afterwards.
    let mut other = with(PLENTY, PLENTY);
    other.rules.grant[0].match_fund = "road levies".to_owned();
    assert_eq!(failed(&other, &plan), [Code::WithinFunds]);
}

#[test]
fn the_report_tells_who_pays() {
    let inputs = with(Cents::dollars(300_000), Cents::dollars(150_000));
    let plan = planned(&inputs);
    let survey = Survey::new(&inputs);
    let matching = Matching::new(&inputs, &survey);
    let report = PlanReport { inputs: &inputs, plan: &plan, matching: &matching, files: &[] };
    let text = terminal::plan(&report, 120);
    for said in [
        "paid by fund bridge grant, at most 80 %, and fund road levy for the rest",
        "bridge grant pays at most 80 % of its crossings; road levy pays the rest.",
    ] {
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(said), "{said}");
    }
    let json: serde_json::Value = serde_json::from_str(&json::plan(&report).unwrap()).unwrap();
    assert_eq!(json["funds"]["funds"][0]["share_percent"], 80.0);
    assert_eq!(json["funds"]["funds"][0]["match_fund"], "road levy");
    let facts = funds(&inputs, &plan);
    assert_eq!(json["funds"]["funds"][1]["spent_usd_cents"], facts[1].spent.0);
}
