//! The questions as tables, yard by yard.

use super::LEAST_WIDTH;
use crate::after::ask::Asked;
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::report::facts::ask::{CONDITIONAL, by_yard, closed, proof, route_row, row, title, ways};
use crate::report::text::{Align, Page, Table};

/// Which facts would open which crossings.
#[must_use]
pub fn ask(inputs: &Inputs, plan: &Plan, asked: &Asked, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, &format!("QUESTIONS: {}", title(inputs, plan, asked)));
    page.para(0, &proof(inputs, asked));
    if asked.questions.is_empty() && asked.routes.is_empty() {
        closed_ones(&mut page, inputs, asked);
        return page.finish();
    }
    page.para(0, CONDITIONAL);
    for (yard, questions) in by_yard(asked, inputs) {
        let yard = inputs.yard(yard);
        page.heading(&format!("{}, yard {}", yard.dealer, yard.name));
        let mut table =
            Table::new(&[Align::Left; 4]).header(&["Car", "To find out", "Must be", "Opens"]);
        let mut last = None;
        for question in &questions {
            let [car, fact, value, opens, _] = row(inputs, question);
            let car = if last == Some(question.car) { String::new() } else { car };
            last = Some(question.car);
            table.row([car, fact, value, opens]);
        }
        page.table(2, &table);
    }
    if !asked.questions.is_empty() {
        page.heading("How to find out");
        for (facts, way) in ways(&asked.questions) {
            page.hanging(0, "", &format!("{facts}: {way}."));
        }
    }
    if !asked.routes.is_empty() {
        page.heading("To find out yourselves");
        let mut table =
            Table::new(&[Align::Left; 3]).header(&["Crossing", "To find out", "Must be"]);
        for route in &asked.routes {
            table.row(route_row(inputs, route));
        }
        page.table(2, &table);
    }
    closed_ones(&mut page, inputs, asked);
    page.finish()
}

fn closed_ones(page: &mut Page, inputs: &Inputs, asked: &Asked) {
    let closed = closed(inputs, asked);
    if closed.is_empty() {
        return;
    }
    page.heading("Not opened by any question");
    for (crossing, why) in closed {
        page.hanging(0, &format!("{crossing}  "), &why);
    }
    page.para(0, "`spanyard want` tells what car to look for.");
}
