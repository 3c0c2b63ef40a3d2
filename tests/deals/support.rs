//! Plans of the demonstration county under changed terms.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Code, Outcome};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{CostItem, CostLine, Plan};
use spanyard::survey::Survey;
use spanyard::verify;

/// The verified plan of some inputs.
pub fn planned(inputs: &Inputs) -> Plan {
    let plan = make_plan(inputs, &Survey::new(inputs), &PlanOptions::default()).unwrap();
    assert!(plan.proof.cheapest && plan.proof.service);
    plan
}

/// The codes of the verification that a plan fails.
pub fn failed(inputs: &Inputs, plan: &Plan) -> Vec<Code> {
    let checks = verify::checks(inputs, plan);
    checks.iter().filter(|check| check.outcome != Outcome::Pass).map(|check| check.code).collect()
}

/// Every cost line of the crossings that pays for this.
pub fn lines(plan: &Plan, item: CostItem) -> Vec<&CostLine> {
    let served = plan.crossings.iter().filter_map(|crossing| crossing.served());
    served.flat_map(|served| &served.lines).filter(|line| line.item == item).collect()
}
