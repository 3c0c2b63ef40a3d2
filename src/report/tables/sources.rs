//! What a plan was made from.

use super::{Cell, Column, Kind, Table, column};
use crate::report::facts::PlanReport;
use crate::report::facts::funds::funds;
use crate::report::facts::rules_in_force::rules_in_force;
use crate::report::provenance::PageContext;

const INPUTS: &[Column] = &[
    column("what", "What", Kind::Word),
    column("name", "Name", Kind::Words),
    column("value", "Value", Kind::Words),
    column("built_in", "Built-in value", Kind::Words),
];

/// Files with their hashes, order date, budget, and every rule that differs from the built-in ones.
pub fn inputs(report: &PlanReport<'_>, context: &PageContext) -> Table {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut row = |what: &str, name: &str, value: &str, built_in: &str| {
        rows.push(vec![what.into(), name.into(), value.into(), built_in.into()]);
    };
    row("plan", "ID", &context.plan_id, "");
    row("plan", "program", &context.version, "");
    row("plan", "command", &context.command, "");
    row("plan", "order date", &report.inputs.order_date.to_string(), "");
    if let Some(budget) = report.plan.budget {
        row("plan", "budget", &budget.to_string(), "");
    }
    for fund in funds(report.inputs, report.plan) {
        row("fund", &fund.name, &fund.words(), "");
    }
    for file in &context.files {
        row("file, SHA-256", &file.name, &file.sha256, "");
    }
    for file in report.files {
        row("file, rows", &file.name, &file.rows.to_string(), "");
    }
    let rules = rules_in_force(&report.inputs.rules);
    row("rules", "fingerprint", &rules.fingerprint, "");
    for rule in &rules.changed {
        row(
            "changed rule",
            &rule.key,
            rule.value.as_deref().unwrap_or("left out"),
            rule.built_in.as_deref().unwrap_or("none"),
        );
    }
    Table { name: "inputs", title: "Inputs", columns: INPUTS, rows }
}
