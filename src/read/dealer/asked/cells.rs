//! Questions about what stands in the cells, one for all cells that it explains.

use super::header::is_of_members;
use super::{Change, Choice, MEMBERS, Question, count, marked, some, words_of};
use crate::read::columns::Content;
use crate::read::dealer::List;
use crate::read::dealer::headers;
use crate::read::dealer::mapping::DateOrder;
use crate::read::dealer::origins::Origin;
use crate::read::dealer::squeezed::squeezed;
use crate::read::dealer::values::{Asks, Column, Note, tidy};
use crate::read::problem::cell_name;
use crate::read::units::Unit;

/// What one answer would explain, and the cells that it would.
#[derive(Clone, Debug)]
struct Met {
    asks: Asks,
    /// Our columns in which it stands, by place.
    columns: Vec<usize>,
    /// The text of the first cell.
    text: String,
    cells: usize,
}

/// Rows of which so many are looked at together.
const BLOCK: usize = 2048;

impl List<'_> {
    /// What must be asked of the cells, most cells first, and the cells that were asked about.
    pub(super) fn asked_of_cells(&self) -> (Vec<Question>, Vec<String>) {
        let mut met: Vec<(String, Met)> = Vec::new();
        let mut headings: Vec<(String, usize)> = Vec::new();
        let mut about = Vec::new();
        let mut columns = self.columns();
        for from in (0..self.grid.len()).step_by(BLOCK) {
            for (at, row) in (from..).zip(self.grid.block(from..from + BLOCK).iter()) {
                if self.head.is_row(at) || self.refused(at, row).is_some() {
                    continue;
                }
                let over = self.layout.over(at).and_then(|over| over.unknown.clone());
                if let Some(heading) = over {
                    match headings.iter_mut().find(|(known, _)| *known == heading) {
                        Some((_, rows)) => *rows += 1,
                        None => headings.push((heading, 1)),
                    }
                }
                for (column, origin) in &mut columns {
                    let Origin::Cell(cell) = *origin else { continue };
                    let text = row.cell(cell);
                    if text.is_empty() || row.struck.contains(&cell) {
                        continue;
                    }
                    let ours = column.meaning.column;
                    let Some(asks) = asks(column, text, row.kind(cell)) else { continue };
                    let Some(key) = self.key_of(asks, ours, cell, text) else { continue };
                    about.push(cell_name(cell as u64 + 1, row.number));
                    let found = met.iter().position(|(known, _)| *known == key);
                    let found = found.unwrap_or_else(|| {
                        let text = text.to_owned();
                        met.push((key, Met { asks, columns: Vec::new(), text, cells: 0 }));
                        met.len() - 1
                    });
                    let (_, met) = &mut met[found];
                    met.cells += 1;
                    if !met.columns.contains(&ours) {
                        met.columns.push(ours);
                    }
                }
            }
        }
        let headings = headings.iter().map(|(heading, rows)| of_heading(heading, *rows));
        let mut asked: Vec<Question> =
            met.into_iter().filter_map(|(id, met)| self.question(id, &met)).collect();
        // What explains most is asked first; of units and orders of dates everything depends.
        asked.sort_by_key(|question| {
            let is_word = matches!(question.changes, Change::Word(..));
            (is_word, std::cmp::Reverse(question.cells))
        });
        (headings.chain(asked).collect(), about)
    }

    /// Names the question that a cell asks; none where the mapping cannot answer it.
    fn key_of(&self, asks: Asks, column: usize, cell: usize, text: &str) -> Option<String> {
        let ours = &self.scheme().columns[column];
        match asks {
            Asks::Unit | Asks::Tons => {
                let header = headers::words(self.head.names.cell(cell));
                header.unit.is_none().then(|| format!("columns.{}", self.key(cell)))
            }
            Asks::Decimal => Some("decimal".to_owned()),
            Asks::Dates => Some("dates".to_owned()),
            Asks::Word => {
                words_of(ours)?;
                let table = if is_of_members(ours.content) { MEMBERS } else { ours.name };
                Some(format!("words.{table}.{}", squeezed(text)))
            }
        }
    }

    fn question(&self, id: String, met: &Met) -> Option<Question> {
        let columns = &self.scheme().columns;
        let first = *met.columns.first()?;
        let cell = self.cell_of(first)?;
        let cells = count(met.cells, "cell");
        let of = |asks: String, choices, changes, unanswered| Question {
            id: id.clone(),
            asks,
            cells: met.cells,
            choices,
            or_else: None,
            unanswered,
            changes,
        };
        let not_read = "the rows with such cells are left out";
        Some(match met.asks {
            Asks::Unit => {
                let own = Unit::of_column(&columns[first].content)?;
                let header = self.head.names.cell(cell);
                let asks = format!(
                    "In which unit is {}? It has {cells} without one, such as {}.",
                    marked(header),
                    self.samples(cell)
                );
                of(asks, units(own), Change::Unit(self.key(cell), columns[first].name), not_read)
            }
            Asks::Tons => {
                let asks = format!(
                    "Which tons are those of {}? It has {cells} in tons, such as {}.",
                    marked(self.head.names.cell(cell)),
                    marked(&met.text)
                );
                let choices = vec![
                    Choice::meaning("short tons", "2,000 lb"),
                    Choice::meaning("tonnes", "2,204.6 lb"),
                ];
                of(asks, choices, Change::Unit(self.key(cell), columns[first].name), not_read)
            }
            Asks::Decimal => {
                let asks = format!(
                    "Is the comma of numbers such as {} a decimal sign, or does it group thousands? It stands in {cells}.",
                    marked(&met.text)
                );
                let choices = vec![
                    Choice::meaning("point", "the comma groups thousands"),
                    Choice::meaning("comma", "the comma is the decimal sign"),
                ];
                of(asks, choices, Change::Key("decimal"), not_read)
            }
            Asks::Dates => {
                let asks = format!(
                    "Does the month or the day come first in dates such as {}? {cells} can be read both ways.",
                    marked(&met.text)
                );
                let orders = [DateOrder::MonthFirst, DateOrder::DayFirst];
                let choices = orders.map(|order| Choice::plain(order.words())).into();
                of(asks, choices, Change::Key("dates"), not_read)
            }
            Asks::Word => {
                let content = columns[first].content;
                let (choices, or_else) = words_of(&columns[first])?;
                let headers: Vec<&str> = met
                    .columns
                    .iter()
                    .filter_map(|column| Some(self.head.names.cell(self.cell_of(*column)?)))
                    .collect();
                let table = match is_of_members(content) {
                    true => MEMBERS,
                    false => columns[first].name,
                };
                let asks = format!(
                    "{} stands in {cells} of {} ({}). What does it mean?",
                    marked(&met.text),
                    count(headers.len(), "column"),
                    some(&headers)
                );
                let unanswered = match content {
                    Content::Condition => "it stays unknown, and an unknown member bars its car",
                    _ => "it stays unknown",
                };
                let changes = Change::Word(table.to_owned(), met.text.clone());
                Question { or_else, ..of(asks, choices, changes, unanswered) }
            }
        })
    }
}

/// What a cell makes it necessary to ask.
fn asks(column: &Column<'_>, text: &str, kind: crate::read::dealer::grid::Kind) -> Option<Asks> {
    match tidy(text, kind, &column.meaning) {
        Ok((_, Some(Note { asks, .. }))) | Err(Note { asks, .. }) => asks,
        Ok((_, None)) => None,
    }
}

/// The units in which a column of ours may be.
fn units(own: Unit) -> Vec<Choice> {
    // Tons are no answer: whether short or metric is itself a question.
    let answer = |unit: &Unit| *unit != own && *unit != Unit::Tons && unit.fits(own);
    let fitting = Unit::ALL.into_iter().filter(answer);
    std::iter::once(own).chain(fitting).map(|unit| Choice::plain(unit.words())).collect()
}

/// What a heading above rows means.
fn of_heading(heading: &str, rows: usize) -> Question {
    Question {
        id: format!("headings.{}", squeezed(heading)),
        asks: format!(
            "The heading {} stands above {}. What does it say of them?",
            marked(heading),
            count(rows, "row")
        ),
        cells: rows,
        choices: vec![
            Choice::meaning("for sale", "they are on offer"),
            Choice::meaning("not for sale", "they are not"),
            Choice::meaning("section", "it is the name of their section"),
            Choice::meaning("ignore", "nothing"),
        ],
        or_else: None,
        unanswered: "the rows under it are left out",
        changes: Change::Heading(heading.to_owned()),
    }
}
