//! A range of budgets: each plan is the one that its budget alone gives.

use std::time::Duration;

use spanyard::assemble::{PlanOptions, make_plan, plan_each};
use spanyard::choose::Effort;
use spanyard::quantity::Cents;
use spanyard::survey::Survey;

use crate::choose::limits::Counting;
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

#[test]
fn a_range_that_is_cut_short_buys_no_less_for_more() {
    let inputs = demo::inputs();
    let survey = Survey::new(&inputs);
    let budgets: Vec<Cents> = (0..9).map(|step| Cents::dollars(60_000 + 90_000 * step)).collect();
    let mut unproven = 0;
    for looks in [5, 40, 200] {
        let timer = Counting::new(Duration::from_secs(1) / looks);
        let effort = Effort {
            time_limit: Some(Duration::from_secs(1)),
            timer: Some(&timer),
            ..Effort::default()
        };
        let plans = plan_each(&inputs, &survey, &budgets, &effort).expect("verified");
        let plans: Vec<_> =
            plans.into_iter().map(|plan| plan.expect("nobody interrupted")).collect();
        for (plan, budget) in plans.iter().zip(&budgets) {
            assert!(plan.totals.outlay <= *budget && plan.proof.bound <= plan.totals.net);
            unproven += usize::from(!plan.proof.cheapest || !plan.proof.service);
        }
        let served: Vec<usize> = plans.iter().map(|plan| plan.served_count()).collect();
        let urgent = |at: usize| {
            let crossings = plans[at].crossings.iter();
            let urgent = crossings.filter(|c| inputs.crossing(c.crossing).priority == 1);
            urgent.filter(|c| c.served().is_some()).count()
        };
        for at in 1..plans.len() {
            assert!(urgent(at - 1) <= urgent(at), "{looks} looks: {served:?}");
        }
    }
    assert!(unproven > 3, "{unproven}");
}
