//! The read-back of a list on the terminal.

use super::check::not_taken_of;
use crate::read::{ReadBack, State};
use crate::report::facts::count;
use crate::report::readback;
use crate::report::text::{Align, Page, Table};

/// Car by car what was read, from which cell, as written and as understood.
#[must_use]
pub fn read_back(back: &ReadBack, width: usize) -> String {
    let mut page = Page::new(width);
    page.para(0, &readback::title(back));
    page.para(0, &readback::summary(back));
    page.para(0, readback::LEGEND);
    for remark in &back.remarks {
        page.para(0, remark);
    }
    for car in &back.cars {
        page.heading(&readback::car_title(car));
        let mut table = Table::new(&[Align::Left; 5]).header(&[
            "Fact",
            "Cell",
            "As written",
            "As understood",
            "",
        ]);
        for fact in &car.facts {
            // What is blank in the list says nothing but that.
            let understood = match fact.state {
                State::Unknown => "unknown",
                State::Refused => "not read",
                _ => &fact.understood,
            };
            let mark = match fact.state {
                State::Unknown | State::Refused => "?",
                state => state.word(),
            };
            table.row([
                fact.column.to_owned(),
                fact.cell.clone(),
                fact.written.clone(),
                understood.to_owned(),
                mark.to_owned(),
            ]);
        }
        page.table(2, &table);
        let of_facts = car.facts.iter().flat_map(|fact| {
            fact.remarks.iter().map(move |remark| format!("{}: {remark}", fact.column))
        });
        for remark in of_facts.chain(car.remarks.iter().cloned()) {
            page.para(2, &remark);
        }
    }
    page.heading("Not in the list");
    for line in readback::absent(back) {
        page.para(2, &line);
    }
    if !back.not_taken.is_empty() {
        page.heading(&format!("Not taken: {}", count(back.not_taken.len(), "row")));
        page.para(2, &not_taken_of(&back.not_taken));
    }
    page.finish()
}
