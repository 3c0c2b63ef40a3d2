//! What is served where money does not reach for every crossing.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::Plan;
use spanyard::model::rules::ServeFirst;
use spanyard::quantity::Cents;
use spanyard::report::facts::headline::points;
use spanyard::survey::Survey;

use crate::deals::support::planned;
use crate::testkit::demo;

fn within(inputs: &Inputs, budget: Cents) -> Plan {
    let options = PlanOptions { budget: Some(budget), ..PlanOptions::default() };
    let plan = make_plan(inputs, &Survey::new(inputs), &options).unwrap();
    assert!(plan.proof.cheapest && plan.proof.service);
    plan
}

/// Crossings served of each priority, from the most urgent.
fn by_priority(inputs: &Inputs, plan: &Plan) -> Vec<usize> {
    let served = plan.crossings.iter().filter(|crossing| crossing.served().is_some());
    let priorities: Vec<u8> = served.map(|c| inputs.crossing(c.crossing).priority).collect();
    (1..=9).map(|rank| priorities.iter().filter(|priority| **priority == rank).count()).collect()
}

#[test]
fn each_goal_is_served_best_by_its_own_plan() {
    let mut urgent = demo::inputs();
    // The more urgent half of the crossings, by the list.
    for (place, crossing) in urgent.crossings.iter_mut().enumerate() {
        crossing.priority = if place % 3 == 0 { 1 } else { 5 };
    }
    let mut most = urgent.clone();
    most.rules.service.first = ServeFirst::Points;
    most.rules.service.points = vec![6, 1, 1, 1, 5, 1, 1, 1, 1];
    let all = planned(&urgent).totals.outlay;
    let mut differ = 0;
    for tenths in [2, 4, 6, 8] {
        let budget = Cents(all.0 * tenths / 10);
        let (a, b) = (within(&urgent, budget), within(&most, budget));
        assert_eq!(points(&urgent, &a), None);
        let counted = |plan: &Plan| points(&most, plan).unwrap().0;
        assert!(counted(&b) >= counted(&a));
        assert!(by_priority(&urgent, &a) >= by_priority(&most, &b));
        if counted(&a) == counted(&b) {
            assert!(b.totals.net <= a.totals.net);
        }
        differ += usize::from(counted(&a) != counted(&b));
    }
    assert!(differ > 0);
}

#[test]
fn where_everything_is_served_the_goal_does_not_matter() {
    let mut inputs = demo::inputs();
    let urgent = planned(&inputs);
    inputs.rules.service.first = ServeFirst::Points;
    let most = planned(&inputs);
    let (served, all) = points(&inputs, &most).unwrap();
    assert!(served <= all);
    assert_eq!(urgent.served_count(), most.served_count());
    assert_eq!(urgent.totals, most.totals);
}
