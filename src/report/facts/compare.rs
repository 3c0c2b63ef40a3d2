//! The rows of a comparison: a label, and a cell for each plan.

use itertools::Itertools;

use crate::after::compare::{Scenario, served_by_all};
use crate::quantity::Cents;

/// One line of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is.
    pub label: String,
    /// A cell for each plan.
    pub cells: Vec<String>,
}

/// Every line: service, money, purchase, risk, then the crossings.
#[must_use]
pub fn lines(scenarios: &[Scenario]) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut add = |label: &str, cell: &dyn Fn(&Scenario) -> String| {
        let cells = scenarios.iter().map(cell).collect();
        lines.push(Line { label: label.to_owned(), cells });
    };
    let money = |cents: Cents| cents.to_string();
    add("crossings served", &|s| format!("{} of {}", s.served(), s.crossings.len()));
    let priorities =
        scenarios.iter().flat_map(|s| s.service.iter().map(|(priority, _, _)| *priority));
    for priority in priorities.unique().sorted() {
        add(&format!("  priority {priority}"), &|s| {
            let of = s.service.iter().find(|(other, _, _)| *other == priority);
            of.map_or_else(String::new, |(_, served, all)| format!("{served} of {all}"))
        });
    }
    add("to pay", &|s| money(s.outlay));
    add("paid already", &|s| if s.paid == Cents::ZERO { String::new() } else { money(s.paid) });
    add("worth of left-over cars", &|s| money(s.stock_value));
    add("net", &|s| money(s.net));
    // A plan that serves fewer crossings costs less; on those that all serve they can be compared.
    if scenarios.len() > 1 {
        let (ids, totals) = served_by_all(scenarios);
        let noun = if ids.len() == 1 { "crossing" } else { "crossings" };
        let cells = totals.into_iter().map(money).collect();
        let label = format!("in place, the {} {noun} that all serve", ids.len());
        lines.push(Line { label, cells });
    }
    let mut add = |label: &str, cell: &dyn Fn(&Scenario) -> String| {
        let cells = scenarios.iter().map(cell).collect();
        lines.push(Line { label: label.to_owned(), cells });
    };
    add("budget", &|s| s.budget.map(money).unwrap_or_default());
    add("proven best and cheapest", &|s| if s.proven { "yes" } else { "no" }.to_owned());
    add("cars bought", &|s| s.cars.to_string());
    add("yards", &|s| s.yards.to_string());
    add("lots", &|s| s.lots.to_string());
    add("lowest rating factor", &|s| {
        s.lowest_rating.as_ref().map_or_else(String::new, |(f, at)| format!("{f:.3} at {at}"))
    });
    add("weight postings", &|s| s.posted.iter().join(" "));
    add("cautions", &|s| s.cautions.to_string());
    let ids = scenarios.iter().flat_map(|s| s.crossings.iter().map(|(id, _)| id.as_str()));
    for id in ids.unique().sorted() {
        add(id, &|s| {
            let known = s.crossings.iter().any(|(other, _)| other == id);
            match s.cost_of(id) {
                Some(cost) => money(cost),
                None if known => "not served".to_owned(),
                None => "not asked".to_owned(),
            }
        });
    }
    lines
}
