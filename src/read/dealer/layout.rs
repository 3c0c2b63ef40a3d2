//! What stands between the rows of cars and says something of them: headings, the header of another
//! table; and what the rows of a column say together, such as the order of day and month.

use std::collections::HashMap;

use super::List;
use super::grid::{GridRow, Kind};
use super::header_row::score;
use super::mapping::{DateOrder, Headed};
use super::marks::{is_ruled, is_total};
use super::news::{is_news, is_withdrawn};
use super::squeezed::squeezed;
use super::values::{note, order_of};
use crate::check::Code;
use crate::read::columns::Content;
use crate::read::problem::{Findings, Problem, shown};

/// So many rows are looked at together.
const BLOCK: usize = 4096;

/// Words by which the cars under a heading are on offer.
const ON_OFFER: &[&str] =
    &["available", "for sale", "in stock", "on offer", "on hand", "unsold", "ready to ship"];

/// Words that turn those round.
const DENIALS: &[&str] =
    &["not", "no", "un", "longer", "until", "soon", "previously", "was", "were"];

/// Words of headings that say nothing of a sale: sizes, kinds, groups.
const PLAIN: &[&str] = &[
    "a", "all", "and", "bulkhead", "car", "cars", "class", "common", "deck", "decked", "decks",
    "feet", "flat", "flatcar", "flatcars", "flats", "foot", "footers", "ft", "group", "in", "inch",
    "length", "list", "long", "lot", "lots", "model", "of", "or", "other", "our", "page",
    "platform", "price", "prices", "riveted", "section", "sections", "series", "short", "size",
    "steel", "the", "timber", "type", "types", "welded", "with", "without", "wood", "yard",
];

/// What a heading says of the rows below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sense {
    /// They are on offer, whatever stood above.
    ForSale,
    /// Words of a sale or of harm.
    News,
    /// A size, a kind, a name.
    Plain,
    /// Nobody can tell.
    Unknown,
    /// The mapping says what.
    Said(Headed),
}

/// What a heading says by its own words.
fn sense(text: &str) -> Sense {
    let lower = text.to_lowercase();
    let tokens: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let denied = tokens.iter().any(|word| DENIALS.contains(word));
    if is_news(text) {
        return Sense::News;
    }
    if !denied && ON_OFFER.iter().any(|words| tokens.join(" ").contains(words)) {
        return Sense::ForSale;
    }
    // A name or size has a digit and letters; a day has digits alone.
    let size =
        |word: &str| word.contains(|c: char| c.is_ascii_digit()) && !text.contains(['/', '%', '$']);
    // Of `D-60A` the letter by itself is a part of the name.
    let plain = |word: &&str| PLAIN.contains(word) || size(word) || word.len() == 1;
    if !tokens.is_empty() && !denied && tokens.iter().all(plain) {
        Sense::Plain
    } else {
        Sense::Unknown
    }
}

/// What the headings above a row say of it. Of each the place in the grid.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Over {
    /// The heading with words of a sale or of harm.
    pub news: Option<String>,
    /// The heading that nobody can tell.
    pub unknown: Option<String>,
    /// The heading that the mapping says means not for sale.
    pub refused: Option<String>,
    /// The heading that is the name of a section.
    pub section: Option<(usize, String)>,
    /// One that says a size or a kind.
    pub plain: Option<String>,
    /// The row whose header is of another table.
    pub other_table: Option<u64>,
}

impl Over {
    fn under(&mut self, at: usize, text: &str, sense: Sense) {
        let text = || Some(text.to_owned());
        match sense {
            Sense::ForSale | Sense::Said(Headed::ForSale) => {
                *self = Self { other_table: self.other_table, ..Self::default() };
            }
            Sense::News => {
                (self.news, self.unknown, self.refused) = (text(), None, None);
            }
            Sense::Said(Headed::NotForSale) => {
                (self.refused, self.news, self.unknown) = (text(), None, None);
            }
            // A size may stand among those that are sold.
            Sense::Plain => (self.plain, self.unknown) = (text(), None),
            Sense::Said(Headed::Section) => {
                self.section = text().map(|text| (at, text));
                self.unknown = None;
            }
            Sense::Said(Headed::Ignored) => {}
            Sense::Unknown => self.unknown = text(),
        }
    }

    /// What is carried with the notes of a row.
    pub fn notes(&self) -> Vec<String> {
        let said = [&self.news, &self.plain].into_iter().flatten();
        said.map(|text| format!("under the heading \"{text}\"")).collect()
    }
}

/// What stands between the rows.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    /// What holds from a row of the grid on.
    over: Vec<(usize, Over)>,
    /// The order of day and month in a column, by our column.
    pub dates: HashMap<usize, DateOrder>,
}

impl Layout {
    /// What the headings above a row of the grid say of it.
    pub fn over(&self, at: usize) -> Option<&Over> {
        let next = self.over.partition_point(|(from, _)| *from <= at);
        self.over.get(next.checked_sub(1)?).map(|(_, over)| over)
    }

    /// Whether headings are carried with the notes of rows.
    pub fn has_notes(&self) -> bool {
        self.over.iter().any(|(_, over)| !over.notes().is_empty())
    }

    /// Whether a heading is the name of a section.
    pub fn has_sections(&self) -> bool {
        self.over.iter().any(|(_, over)| over.section.is_some())
    }
}

impl List<'_> {
    /// Looks through all rows for what says something of others, and tells what is not read.
    pub(super) fn lay_out(&mut self, findings: &mut Findings) {
        let mut layout = Layout::default();
        let mut over = self.titled();
        layout.over.push((0, over.clone()));
        let (mut hidden, mut struck) = (Counted::default(), Counted::default());
        let days = self.day_columns();
        for from in (0..self.grid.len()).step_by(BLOCK) {
            for (at, row) in (from..).zip(self.grid.block(from..from + BLOCK).iter()) {
                if at <= self.head.row || self.head.is_row(at) {
                    continue;
                }
                if self.is_withheld(row) {
                    if row.hidden { &mut hidden } else { &mut struck }.add(row);
                }
                for &(column, cell) in &days {
                    if let (None, Some(order)) =
                        (layout.dates.get(&column), order_of(row.cell(cell)))
                    {
                        layout.dates.insert(column, order);
                        findings.warnings.push(self.settled(row, cell, column, order));
                    }
                }
                if let Some(text) = self.heading(row) {
                    over.under(at, text, self.sense(text));
                    layout.over.push((at, over.clone()));
                } else if self.is_header_again(row) {
                    if over.other_table.take().is_some() {
                        layout.over.push((at, over.clone()));
                    }
                } else if over.other_table.is_none() && self.is_other_header(row) {
                    over.other_table = Some(row.number);
                    layout.over.push((at, over.clone()));
                    findings.warnings.push(self.at(
                        row,
                        None,
                        "",
                        note(
                            Code::HeaderUnsure,
                            "is the header of another table, whose rows are not read",
                            "save that table as a list of its own if it holds cars",
                        ),
                    ));
                }
            }
        }
        self.layout = layout;
        self.tell_withheld(hidden, ("hidden", "hidden_rows"), findings);
        self.tell_withheld(struck, ("struck through", "struck_rows"), findings);
    }

    /// What the title and the sheet's name say of all rows.
    fn titled(&self) -> Over {
        /// A longer one is a sentence on terms and conditions.
        const MOST_WORDS: usize = 5;
        let mut over = Over::default();
        let rows = self.grid.block(0..self.head.row);
        let cells = rows.iter().flat_map(|row| row.cells.iter()).map(str::trim);
        for text in self.grid.sheet.as_deref().into_iter().chain(cells) {
            let said = self.rules.headings.get(&squeezed(text)).copied();
            let short = text.split_whitespace().count() <= MOST_WORDS;
            match said {
                Some(said) => over.under(0, text, Sense::Said(said)),
                None if short && is_withdrawn(text) => over.under(0, text, Sense::News),
                None => {}
            }
        }
        over
    }

    fn sense(&self, text: &str) -> Sense {
        let said = self.rules.headings.get(&squeezed(text)).copied();
        said.map_or_else(|| sense(text), Sense::Said)
    }

    /// The columns of days in which nobody said whether month or day comes first, and their cells.
    fn day_columns(&self) -> Vec<(usize, usize)> {
        if self.rules.dates.is_some() {
            return Vec::new();
        }
        let columns = self.scheme().columns.iter().enumerate();
        let days = columns
            .filter(|(_, column)| matches!(column.content, Content::Date | Content::Availability));
        days.filter_map(|(at, _)| Some((at, self.cell_of(at)?))).collect()
    }

    /// Whether a row is hidden or struck through, and nobody said that it is to be read nevertheless.
    pub(super) fn is_withheld(&self, row: &GridRow) -> bool {
        (row.hidden && !self.rules.hidden_rows)
            || (!self.rules.struck_rows && row.is_struck(self.cell_of(self.scheme().id)))
    }

    /// The heading that a row is, if it is one.
    pub(super) fn heading<'r>(&self, row: &'r GridRow) -> Option<&'r str> {
        let id = self.cell_of(self.scheme().id)?;
        let mut filled = (0..row.cells.len()).filter(|cell| !row.cell(*cell).is_empty());
        let (first, others) = (filled.next()?, filled.count());
        let text = row.cell(first);
        if row.kind(first) != Kind::Text || is_ruled(text) || is_total(text) {
            return None;
        }
        if self.rules.headings.contains_key(&squeezed(text)) && others <= 1 {
            return Some(text);
        }
        let digits = text.contains(|c: char| c.is_ascii_digit());
        let heads = match others {
            // Where IDs stand it takes words without a digit to be none, or plain words of a heading.
            0 if first == id => {
                !digits || is_news(text) || (text.contains(' ') && sense(text) != Sense::Unknown)
            }
            0 => !text.starts_with(|c: char| c.is_ascii_digit()) || is_news(text),
            // `SOLD` with a day or a name beside it.
            1 => first <= id && !digits && is_withdrawn(text),
            _ => false,
        };
        heads.then_some(text)
    }

    /// Whether a row repeats the header.
    pub(super) fn is_header_again(&self, row: &GridRow) -> bool {
        let header = &self.head.header;
        let filled = (0..row.cells.len()).filter(|cell| !row.cell(*cell).is_empty()).count();
        filled > 1
            && (0..row.cells.len().max(header.cells.len()))
                .all(|cell| row.cell(cell) == header.cell(cell))
    }

    /// Whether a row is the header of a table with other columns.
    fn is_other_header(&self, row: &GridRow) -> bool {
        /// So many known words are no chance.
        const KNOWN_LEAST: usize = 3;
        let cells = || row.cells.iter().map(str::trim).filter(|cell| !cell.is_empty());
        // Rows of cars have numbers.
        if cells().any(|cell| cell.starts_with(|c: char| c.is_ascii_digit() || c == '$')) {
            return false;
        }
        let known = score(row, &self.rules);
        known >= KNOWN_LEAST && known * 2 >= cells().count()
    }

    /// That a day above 12 tells how all days of its column are written.
    fn settled(&self, row: &GridRow, cell: usize, column: usize, order: DateOrder) -> Problem {
        let order = order.words();
        let wrong = format!("can be read one way only, so the column is read as {order}");
        let instead = format!("say `dates = \"{order}\"` in the mapping to confirm it");
        let name = self.scheme().columns[column].name;
        self.at(row, Some(cell), name, note(Code::ValueDoubtful, wrong, instead))
    }

    fn tell_withheld(&self, rows: Counted, (what, key): (&str, &str), findings: &mut Findings) {
        let Some(first) = rows.first else { return };
        let number = rows.count;
        let row = GridRow { number: first, ..GridRow::default() };
        let wrong = match number {
            1 => format!("is {what} and was not read"),
            _ => format!("is {what}, and {} more rows are; they were not read", number - 1),
        };
        let instead = match self.scheme().mappable {
            true => format!("ask the dealer; `{key} = \"read\"` in the mapping reads them"),
            false => "show the rows, or delete them".to_owned(),
        };
        let problem = self.at(&row, None, "", note(Code::SetAside, wrong, instead));
        findings.warnings.push(problem);
    }

    /// What is wrong with a row for what stands above it.
    pub(super) fn unexplained(&self, at: usize, row: &GridRow, found: &mut Findings) {
        let over = self.layout.over(at);
        let Some(heading) = over.and_then(|over| over.unknown.as_deref()) else { return };
        let wrong =
            format!("stands under the heading `{}`, which nobody has explained", shown(heading));
        let instead = "say under [headings] of the mapping what it means: \"for sale\", \"not for sale\", \"section\" or \"ignore\"";
        let problem = self.at(row, None, "", note(Code::SetAside, wrong, instead));
        found.problems.push(problem);
    }
}

/// Rows of a kind.
#[derive(Default)]
struct Counted {
    count: usize,
    /// The number of the first.
    first: Option<u64>,
}

impl Counted {
    fn add(&mut self, row: &GridRow) {
        self.count += 1;
        self.first.get_or_insert(row.number);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_by_their_words() {
        for (text, expected) in [
            ("SOLD", Sense::News),
            ("On hold until Friday", Sense::News),
            ("Reserved - Miller Co.", Sense::News),
            ("cars with cracked sills", Sense::News),
            ("Available", Sense::ForSale),
            ("FOR SALE:", Sense::ForSale),
            ("Not available", Sense::Unknown),
            ("no longer for sale", Sense::Unknown),
            ("60 ft cars", Sense::Plain),
            ("D-60A", Sense::Plain),
            ("89' flats", Sense::Plain),
            ("Section M-75", Sense::Plain),
            ("Shipped 5/20", Sense::Unknown),
            ("5/20", Sense::Unknown),
            ("Call Pat for more", Sense::Unknown),
        ] {
            assert_eq!(sense(text), expected, "{text}");
        }
    }

    #[test]
    fn what_holds_below_one_heading_after_the_other() {
        let mut over = Over::default();
        over.under(3, "SOLD", Sense::News);
        over.under(5, "60 ft cars", Sense::Plain);
        assert_eq!(
            over.notes(),
            ["under the heading \"SOLD\"", "under the heading \"60 ft cars\""]
        );
        over.under(7, "Call Pat", Sense::Unknown);
        assert_eq!(over.unknown.as_deref(), Some("Call Pat"));
        over.under(9, "Available", Sense::ForSale);
        assert_eq!(over, Over::default());
    }
}
