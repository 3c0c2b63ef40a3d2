//! The questions of a dealer's list: what a person must say once, so that its cells can be read.

use std::collections::HashSet;

use jiff::civil::Date;

use super::Sources;
use super::dealer::{Mappings, Question, asked, asked_of_text, is_dealers_list};
use super::inventory::{self, Context, Inventory as C};
use super::parts::Pace;
use super::problem::{Findings, Problems};
use super::text::SourceText;
use super::yards::Lots;
use crate::model::columns::Columns as _;

/// What must be asked of a list with what its mapping says so far, in the order in which it is asked:
/// of the list, its headers and its headings, of its words, most cells first, and of single texts that
/// cannot be read.
///
/// # Errors
/// The mapping cannot be understood, or the list has no table that could be found.
pub fn questions(
    list: &SourceText,
    mapping: Option<&SourceText>,
    today: Date,
) -> Result<Vec<Question>, Problems> {
    let sources = Sources {
        inventories: vec![list.clone()],
        mappings: mapping.cloned().into_iter().collect(),
        ..Sources::default()
    };
    let mappings = Mappings::read(&sources);
    if mappings.has_unread() {
        let found = mappings.into_findings().flat_map(|(_, findings)| findings.problems);
        return Err(Problems(found.collect()));
    }
    let of_list = mappings.of(list);
    if of_list.is_none() && !is_dealers_list(list) {
        return Ok(Vec::new());
    }
    let (mut questions, about) = asked(list, of_list).map_err(Problems)?;
    let about: HashSet<String> = about.into_iter().collect();
    let lots = Lots::without_file(true);
    let context =
        Context { yards: None, lots: &lots, order_year: today.year(), pace: Pace::whole() };
    let mut texts: Vec<(C, String, String, Vec<String>, String)> = Vec::new();
    inventory::each(list, &mappings, &context, &mut Findings::default(), |row, _| {
        for problem in row.problems() {
            let Some(column) = C::EACH.iter().find(|one| one.column().name == problem.name) else {
                continue;
            };
            let behind = row.written(*column);
            let is_cell = !behind.is_constant && behind.cell.starts_with(char::is_alphabetic);
            if !is_cell || behind.text.is_empty() || about.contains(&behind.cell) {
                continue;
            }
            let known =
                texts.iter_mut().find(|(of, _, text, ..)| of == column && *text == behind.text);
            match known {
                Some((.., cells, _)) if cells.contains(&behind.cell) => {}
                Some((.., cells, _)) => cells.push(behind.cell),
                None => {
                    let cells = vec![behind.cell];
                    texts.push((*column, behind.header, behind.text, cells, problem.wrong.clone()));
                }
            }
        }
    });
    texts.sort_by_key(|(.., cells, _)| std::cmp::Reverse(cells.len()));
    for (column, header, text, cells, wrong) in texts {
        questions.push(asked_of_text((column.column(), &header), cells, text, &wrong));
    }
    Ok(questions)
}
