//! The registry for people.

use crate::check::registry::{REGISTRY, Stage};
use crate::check::{Code, Kind};
use crate::report::text::{Align, Page, Table};

/// One check in full.
#[must_use]
pub fn explain(code: Code, width: usize) -> String {
    let Kind { id, stage, name, basis, about, remedy, examples, .. } = code.kind();
    let mut page = Page::new(width);
    page.para(0, &format!("{id} {name}"));
    page.blank();
    page.hanging(2, "Asked when:  ", stage.title());
    page.hanging(2, "About:       ", about);
    page.hanging(2, "What to do:  ", remedy);
    page.hanging(2, "Source:      ", &basis.to_string());
    for example in *examples {
        page.hanging(2, "Example:     ", &example.words());
    }
    page.finish()
}

/// All checks by stage.
#[must_use]
pub fn explain_all(width: usize) -> String {
    let mut page = Page::new(width);
    page.para(0, "Every check, by stage of the work. More on one: spanyard explain CODE.");
    let mut stage: Option<Stage> = None;
    let mut table = Table::new(&[Align::Left, Align::Left]);
    for kind in REGISTRY {
        if stage.is_some_and(|seen| seen != kind.stage) {
            page.table(2, &table);
            table = Table::new(&[Align::Left, Align::Left]);
        }
        if stage != Some(kind.stage) {
            page.heading(kind.stage.title());
            stage = Some(kind.stage);
        }
        table.row([kind.id.to_owned(), kind.name.to_owned()]);
    }
    page.table(2, &table);
    page.finish()
}
