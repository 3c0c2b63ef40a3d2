//! What stands behind the shopping list: refusals, totals, what was not checked, cautions.

use super::check::kind_word;
use crate::model::plan::CostItem;
use crate::quantity::Cents;
use crate::report::facts::limits::{ALWAYS_MIND, NEVER_CHECKED};
use crate::report::facts::reasons;
use crate::report::facts::refusals::refusals;
use crate::report::facts::rules_in_force::rules_in_force;
use crate::report::facts::{PlanReport, count, funds, totals};
use crate::report::text::{Align, Page, Table};

pub fn refused(page: &mut Page, report: &PlanReport) {
    page.heading("3. Cars refused");
    let refusals = refusals(report.inputs, report.matching);
    page.para(
        0,
        &format!(
            "{} of {} fit no crossing. A car that several checks bar counts under each of them.",
            refusals.fit_none,
            count(refusals.cars, "car")
        ),
    );
    if refusals.reasons.is_empty() {
        return;
    }
    page.blank();
    let mut table =
        Table::new(&[Align::Left, Align::Left, Align::Right, Align::Right, Align::Right])
            .header(&["Code", "Reason", "Everywhere", "Somewhere", "For want of data"]);
    for refusal in &refusals.reasons {
        table.row([
            refusal.code.id().to_owned(),
            refusal.code.kind().name.to_owned(),
            refusal.everywhere.to_string(),
            refusal.somewhere.to_string(),
            refusal.for_want_of_data.to_string(),
        ]);
    }
    page.table(2, &table);
    page.blank();
    page.para(
        0,
        "Everywhere: cars barred at every crossing. Somewhere: at one or more. For want of data: cars of these that only a measurement may bring back. Every car with its reasons: spanyard match.",
    );
}

pub fn totals(page: &mut Page, report: &PlanReport) {
    page.heading("4. Totals");
    let mut table = Table::new(&[Align::Left, Align::Right]);
    for (item, amount) in totals::by_item(report.plan) {
        if item != CostItem::StockValue {
            table.row([item.word().to_owned(), amount.to_string()]);
        }
    }
    let sums = report.plan.totals;
    table.row(["TO PAY".to_owned(), sums.outlay.to_string()]);
    if sums.stock_value != Cents::ZERO {
        table.row(["worth of left-over cars".to_owned(), (-sums.stock_value).to_string()]);
        table.row(["NET".to_owned(), sums.net.to_string()]);
    }
    page.table(2, &table);
    by_fund(page, report);
}

fn by_fund(page: &mut Page, report: &PlanReport) {
    let funds = funds::funds(report.inputs, report.plan);
    if funds.is_empty() {
        return;
    }
    let aligned = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Left];
    let mut table = Table::new(&aligned).header(&["Fund", "May pay", "Pays", "Left", "Crossings"]);
    for fund in &funds {
        table.row([
            fund.name.clone(),
            fund.limit.to_string(),
            fund.spent.to_string(),
            fund.left().to_string(),
            fund.crossings.join(", "),
        ]);
    }
    let beyond = funds::beyond(report.plan, &funds).to_string();
    table.row(["no fund".to_owned(), String::new(), beyond, String::new(), String::new()]);
    page.blank();
    page.table(2, &table);
    for fund in &funds {
        if let Some(words) = fund.share_words() {
            page.para(2, &format!("{} pays {words}.", fund.name));
        }
    }
    page.para(
        2,
        "No fund pays for yard trips and left-over cars, nor for crossings that name none.",
    );
}

pub fn not_checked(page: &mut Page, report: &PlanReport) {
    page.heading("5. Not checked");
    for said in reasons::not_checked(report.inputs, report.plan) {
        let check = &said.check;
        let note = if check.note.is_empty() { String::new() } else { format!(": {}", check.note) };
        page.hanging(
            0,
            "- ",
            &format!("{} {}{note} ({})", check.code.id(), check.title(), said.subjects.join(", ")),
        );
    }
    for text in NEVER_CHECKED {
        page.hanging(0, "- ", text);
    }
}

pub fn cautions(page: &mut Page) {
    page.heading("6. Cautions");
    for text in ALWAYS_MIND {
        page.hanging(0, "- ", text);
    }
}

pub fn provenance(page: &mut Page, report: &PlanReport) {
    page.heading("Made from");
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Right]);
    for file in report.files {
        let rows = if file.rows > 0 { count(file.rows, "row") } else { String::new() };
        table.row([kind_word(file.kind).to_owned(), file.name.to_string(), rows]);
    }
    page.table(2, &table);
    page.para(2, &format!("Orders placed on {}.", report.inputs.order_date));
    let rules = rules_in_force(&report.inputs.rules);
    page.para(2, &format!("Fingerprint of the rules in force: {}.", rules.fingerprint));
    if rules.changed.is_empty() {
        page.para(2, "All rules are the built-in ones.");
        return;
    }
    page.para(2, "Rules that differ from the built-in ones:");
    for rule in &rules.changed {
        page.hanging(
            4,
            "- ",
            &format!(
                "{} = {} (built in: {})",
                rule.key,
                rule.value.as_deref().unwrap_or("left out"),
                rule.built_in.as_deref().unwrap_or("none")
            ),
        );
    }
}
