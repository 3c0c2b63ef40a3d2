//! What each budget buys, as a chart and a table, with the plan of the page marked in both.

use super::Drawn;
use crate::quantity::Cents;
use crate::report::drawing::budget_chart;
use crate::report::facts::sweep::Point;
use crate::report::facts::{PlanReport, count};

/// The chapter.
pub struct Curve {
    pub chart: Drawn,
    pub steps: Vec<Step>,
    /// Whether some plan of the range is not proven.
    pub unproven: bool,
}

/// One budget.
pub struct Step {
    pub budget: String,
    pub served: String,
    pub gains: String,
    pub pays: String,
    /// The plan of the page.
    pub this: bool,
}

/// More crossings than these are counted in a cell, not named.
const NAMED: usize = 6;

/// None where no range of budgets was asked about.
pub fn curve(report: &PlanReport<'_>, budgets: &[Point]) -> Option<Curve> {
    if budgets.is_empty() {
        return None;
    }
    let plan = report.plan;
    let budget = plan.budget.unwrap_or(plan.totals.outlay);
    let own = Point::of(report.inputs, budget, plan);
    let mut points = budgets.to_vec();
    let same = |point: &Point| point.budget == budget && point.outlay == own.outlay;
    let this = points.iter().position(same).unwrap_or_else(|| {
        let at = points.partition_point(|point| point.budget <= budget);
        points.insert(at, own);
        at
    });
    let before = |at: usize| at.checked_sub(1).and_then(|before| points.get(before));
    let steps = points.iter().enumerate().map(|(at, point)| Step {
        budget: format!("{:.0}", point.budget),
        served: format!(
            "{} of {}{}",
            point.served(),
            point.crossings(),
            if point.proven { "" } else { " ?" }
        ),
        gains: gains(report, before(at), point),
        pays: format!("{:.0}", point.outlay),
        this: at == this,
    });
    Some(Curve {
        steps: steps.collect(),
        unproven: points.iter().any(|point| !point.proven),
        chart: Drawn {
            caption: "What each budget buys".to_owned(),
            svg: budget_chart::draw(&points, Some(this), "budgets"),
        },
    })
}

/// What is served more than at the budget before, and less.
fn gains(report: &PlanReport<'_>, before: Option<&Point>, point: &Point) -> String {
    let all = report.inputs.crossings.iter().map(|crossing| crossing.id.as_str());
    let served = |point: &Point, id: &str| !point.unserved.iter().any(|without| without == id);
    let was = |id: &str| before.is_some_and(|before| served(before, id));
    let more: Vec<&str> = all.clone().filter(|id| served(point, id) && !was(id)).collect();
    let fewer: Vec<&str> = all.filter(|id| !served(point, id) && was(id)).collect();
    let named = |ids: &[&str]| match ids.len() {
        n if n > NAMED => count(n, "crossing"),
        _ => ids.join(", "),
    };
    match (more.is_empty(), fewer.is_empty()) {
        (true, true) => "nothing more".to_owned(),
        (false, true) => named(&more),
        (true, false) => format!("without {}", named(&fewer)),
        (false, false) => format!("{}, without {}", named(&more), named(&fewer)),
    }
}

/// A line of the money: a budget or fund, what it may pay, what it pays, what is left.
pub struct Money {
    pub name: String,
    pub limit: String,
    pub pays: String,
    pub left: String,
}

/// The budget and the funds against what is paid; empty where none is stated.
pub fn money(report: &PlanReport<'_>) -> Vec<Money> {
    use crate::report::facts::funds::{beyond, funds};
    let PlanReport { inputs, plan, .. } = *report;
    let row = |name: String, limit: Cents, pays: Cents| Money {
        name,
        limit: limit.to_string(),
        pays: pays.to_string(),
        left: (limit - pays).to_string(),
    };
    let mut rows = Vec::new();
    // What is paid already by decision is out of the same budget.
    let paid = inputs.decided.paid;
    rows.extend(plan.budget.map(|all| row("Budget".to_owned(), all, plan.totals.outlay + paid)));
    let funds = funds(inputs, plan);
    for fund in &funds {
        rows.push(row(format!("Fund {}", fund.name), fund.limit, fund.spent));
    }
    if !funds.is_empty() {
        let pays = beyond(plan, &funds);
        rows.push(Money {
            name: "Beyond the funds".to_owned(),
            limit: String::new(),
            pays: pays.to_string(),
            left: String::new(),
        });
    }
    rows
}
