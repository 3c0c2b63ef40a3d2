//! A range of budgets: each plan is the one that its budget alone gives.

use spanyard::assemble::{PlanOptions, make_plan, plan_each};
use spanyard::choose::Effort;
use spanyard::quantity::Cents;
use spanyard::survey::Survey;

use crate::testkit::demo;

#[test]
fn each_budget_of_a_range_buys_what_it_buys_alone() {
    let inputs = demo::inputs();
    let survey = Survey::new(&inputs);
    let budgets: Vec<Cents> = (0..9).map(|step| Cents::dollars(60_000 + 90_000 * step)).collect();
    let plans = plan_each(&inputs, &survey, &budgets, &Effort::default()).expect("verified");
    let mut outlays = Vec::new();
    for (budget, plan) in budgets.iter().zip(plans) {
        let plan = plan.expect("nobody interrupted");
        let options = PlanOptions { budget: Some(*budget), effort: Effort::default() };
        let alone = make_plan(&inputs, &survey, &options).expect("verified");
        assert_eq!(plan.served_count(), alone.served_count(), "{budget}");
        assert_eq!(plan.totals.net, alone.totals.net, "{budget}");
        assert!(plan.totals.outlay <= *budget && plan.budget == Some(*budget), "{budget}");
        assert!(plan.proof.service && plan.proof.cheapest, "{budget}");
        outlays.push(plan.totals.outlay);
    }
    outlays.dedup();
    assert!(outlays.len() > 3, "the budgets tell plans apart: {outlays:?}");
}
