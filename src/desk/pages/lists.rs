//! The dealers' lists of the folder, and where new ones are dropped.

use std::path::Path;

use askama::Template;
use spanyard::read::mapping_of;

use super::{Place, Shown};
use crate::desk::exchange::encoded;
use crate::desk::view::{Choice, Frame, Notice, Table, figure, head, page, text};

#[derive(Template)]
#[template(path = "desk/lists.html")]
struct Lists {
    frame: Frame,
    folder: String,
    follows: Vec<Choice>,
    waiting: Vec<(String, String)>,
    lists: Table,
}

/// The lists of the folder.
pub fn show(at: &Place<'_>) -> Shown {
    let heads = ["List", "Explained by", "#Rows", "#Not taken", "#Left out"];
    let mut table = Table::new("Lists", &heads);
    let files = match &at.known.reading {
        Ok(reading) => reading.files.clone(),
        Err(_) => at.known.files.check(false).files,
    };
    for list in &at.known.files.inventories {
        let name = list.display().to_string();
        let mapping = mapping_of(&name);
        let explained = at.known.files.at(Path::new(&mapping)).is_file();
        let read = files.iter().find(|file| *file.name == *name);
        let number = |of: fn(&spanyard::read::FileRead) -> usize| {
            figure(read.map(of).map_or_else(String::new, |n| n.to_string()))
        };
        table.row(vec![
            head(name.clone()).to(back_href(&name)),
            text(if explained { mapping } else { "its own header".to_owned() }),
            number(|file| file.rows),
            number(|file| file.not_taken.len()),
            number(|file| file.left_out),
        ]);
    }
    let mut frame = at.frame("Lists", "Lists");
    let folder = at.known.files.lists_in.as_ref().map(|folder| folder.display().to_string());
    if folder.is_none() {
        let words = "spanyard.toml names its lists one by one: put a new one there by hand.";
        frame.notices.push(Notice::new("notice", words));
    }
    // The name without day and ending is what a dealer's lists have in common.
    let follows = at.known.files.inventories.iter().map(|list| {
        Choice::new(spanyard::folder::stem(list), format!("the next after {}", list.display()), "")
    });
    let waiting = at.desk.waiting().into_iter().map(|(number, draft)| {
        (format!("/lists/new?draft={number}"), draft.asking.list.display().to_string())
    });
    Ok(page(&Lists {
        frame,
        folder: folder.unwrap_or_default(),
        follows: follows.collect(),
        waiting: waiting.collect(),
        lists: table,
    }))
}

/// Where a list is read back.
pub fn back_href(name: &str) -> String {
    format!("/lists/back?list={}", encoded(name))
}
