//! The questions as tables, yard by yard.

use super::LEAST_WIDTH;
use crate::after::ask::Asked;
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::report::facts::ask::{CONDITIONAL, by_yard, proof, route_row, row, title};
use crate::report::text::{Align, Page, Table};

/// Which facts would open which crossings.
#[must_use]
pub fn ask(inputs: &Inputs, plan: &Plan, asked: &Asked, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, &format!("QUESTIONS: {}", title(inputs, plan, asked)));
    page.para(0, &proof(inputs, asked));
    if asked.questions.is_empty() && asked.routes.is_empty() {
        return page.finish();
    }
    page.para(0, CONDITIONAL);
    for (yard, questions) in by_yard(asked, inputs) {
        let yard = inputs.yard(yard);
        page.heading(&format!("{}, yard {}", yard.dealer, yard.name));
        let mut table = Table::new(&[Align::Left; 5]).header(&[
            "Car",
            "To find out",
            "Must be",
            "Opens",
            "How",
        ]);
        for question in &questions {
            table.row(row(inputs, question));
        }
        page.table(2, &table);
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
    page.finish()
}
