//! Crossings that a fund pays for.

use spanyard::check::Code;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::Plan;
use spanyard::model::rules::Fund;
use spanyard::quantity::Cents;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::funds::{beyond, funds};
use spanyard::report::facts::matching::Matching;
use spanyard::report::{json, terminal};
use spanyard::survey::Survey;

use crate::deals::support::{failed, planned};
use crate::testkit::demo;

/// The demonstration with a fund of so much for every other crossing.
fn with_fund(usd: f64) -> Inputs {
    let mut inputs = demo::inputs();
    inputs.rules.fund =
        vec![Fund { name: "school routes".to_owned(), usd: Cents::from_dollars(usd) }];
    for crossing in inputs.crossings.iter_mut().step_by(2) {
        crossing.fund = Some("school routes".to_owned());
    }
    inputs
}

/// What the cost lines of the crossings that name the fund add up to.
fn charged(inputs: &Inputs, plan: &Plan) -> Cents {
    let of_fund = plan.crossings.iter().filter(|c| inputs.crossing(c.crossing).fund.is_some());
    of_fund.filter_map(|crossing| crossing.served()).map(|served| served.total()).sum()
}

#[test]
fn a_fund_is_kept_and_what_it_leaves_pays_for_nothing_else() {
    let free = planned(&demo::inputs());
    let plenty = with_fund(10_000_000.0);
    let plan = planned(&plenty);
    assert_eq!(plan.totals, free.totals);
    let all = charged(&plenty, &plan);
    assert!(all > Cents::ZERO && all < plan.totals.outlay);
    let mut served = usize::MAX;
    for tenths in [10, 7, 4, 0] {
        let inputs = with_fund(all.as_dollars() * f64::from(tenths) / 10.0);
        let plan = planned(&inputs);
        let paid = charged(&inputs, &plan);
        assert!(paid <= inputs.rules.fund[0].usd);
        assert!(plan.served_count() <= served);
        served = plan.served_count();
        let facts = funds(&inputs, &plan);
        assert_eq!((facts[0].spent, facts[0].left()), (paid, inputs.rules.fund[0].usd - paid));
        assert_eq!(beyond(&plan, &facts), plan.totals.outlay - paid);
        if tenths == 0 {
            assert_eq!(paid, Cents::ZERO);
        }
    }
    assert!(served < free.served_count());
}

#[test]
fn a_fund_that_is_passed_is_caught() {
    let plenty = with_fund(10_000_000.0);
    let plan = planned(&plenty);
    let all = charged(&plenty, &plan).as_dollars();
    assert!(!failed(&with_fund(all), &plan).contains(&Code::WithinFunds));
    assert_eq!(failed(&with_fund(all - 0.01), &plan), [Code::WithinFunds]);
    let mut nameless = plenty.clone();
    nameless.rules.fund.clear();
    assert_eq!(failed(&nameless, &plan), [Code::WithinFunds]);
}

#[test]
fn the_report_tells_what_each_fund_pays_and_which_crossings_it_pays_for() {
    let inputs = with_fund(60_000.0);
    let plan = planned(&inputs);
    let survey = Survey::new(&inputs);
    let matching = Matching::new(&inputs, &survey);
    let report = PlanReport { inputs: &inputs, plan: &plan, matching: &matching, files: &[] };
    let paid = charged(&inputs, &plan);
    assert!(paid > Cents::ZERO);
    let text = terminal::plan(&report, 120);
    let row = text.lines().find(|line| line.trim_start().starts_with("school routes  "));
    let row = row.unwrap();
    for amount in [Cents(6_000_000), paid, Cents(6_000_000) - paid] {
        assert!(row.contains(&amount.to_string()), "{row}");
    }
    assert!(text.contains("paid by fund school routes"));
    assert!(text.contains("C07 Over the fund"));
    let json: serde_json::Value = serde_json::from_str(&json::plan(&report).unwrap()).unwrap();
    assert_eq!(json["funds"]["funds"][0]["spent_usd_cents"], paid.0);
    let beyond = (plan.totals.outlay - paid).0;
    assert_eq!(json["funds"]["paid_beyond_usd_cents"], beyond);
    assert_eq!(json["crossings"][0]["fund"], "school routes");
    assert!(json["crossings"][1].get("fund").is_none());
}
