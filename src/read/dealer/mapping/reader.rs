//! The keys of a mapping file, one after the other, with everything that is wrong with them.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::{
    Correction, DateOrder, Entry, Headed, IN_CELLS, LeftOut, Mapping, Stated, Target, cell_place,
};
use crate::check::Code;
use crate::model::inventory::Inventory;
use crate::read::columns::Columns;
use crate::read::dealer::squeezed::squeezed;
use crate::read::measure::Decimal;
use crate::read::problem::{Findings, Problem, one_of, shown};
use crate::read::spot::Spot;
use crate::read::text::SourceText;
use crate::read::units::Unit;
use crate::words::{nearest, present_spelling};

/// The place of a column of ours in its table.
fn column(name: &str) -> Option<usize> {
    let name = present_spelling(name);
    Inventory::ALL.iter().position(|column| column.name.eq_ignore_ascii_case(&name))
}

/// A mapping file being read.
pub(super) struct Reader<'s> {
    pub source: &'s SourceText,
    pub text: &'s str,
    pub findings: &'s mut Findings,
}

impl Reader<'_> {
    pub fn problem(
        &mut self,
        span: &Range<usize>,
        name: &str,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) {
        let file = self.source.name.clone();
        let problem = Problem::of_file(Code::MappingMalformed, file, wrong, instead);
        let spot = Spot::of(self.text, span.clone());
        self.findings.problems.push(Problem { name: shown(name), ..problem.at(spot) });
    }

    pub fn key(
        &mut self,
        mapping: &mut Mapping,
        key: &Spanned<std::borrow::Cow<'_, str>>,
        value: &Spanned<DeValue<'_>>,
    ) {
        let name = present_spelling(key.get_ref());
        let name = name.as_ref();
        match name {
            "inventory" => mapping.inventories = self.names(name, value),
            "sheet" => mapping.sheet = self.string(name, value),
            "delimiter" => {
                let words = [
                    ("comma", b','),
                    ("semicolon", b';'),
                    ("tab", b'\t'),
                    (",", b','),
                    (";", b';'),
                    ("\t", b'\t'),
                ];
                mapping.delimiter = self.word(name, value, &words);
            }
            "encoding" => {
                let words = [
                    ("utf-8", encoding_rs::UTF_8),
                    ("windows-1252", encoding_rs::WINDOWS_1252),
                    ("utf-16le", encoding_rs::UTF_16LE),
                    ("utf-16be", encoding_rs::UTF_16BE),
                ];
                mapping.encoding = self.word(name, value, &words);
            }
            "decimal" => {
                let words = [("point", Decimal::Point), ("comma", Decimal::Comma)];
                mapping.decimal = self.word(name, value, &words);
            }
            "dates" => {
                let words = [
                    ("month/day/year", DateOrder::MonthFirst),
                    ("day/month/year", DateOrder::DayFirst),
                ];
                mapping.dates = self.word(name, value, &words);
            }
            "header_row" => {
                let row = match value.get_ref() {
                    DeValue::Integer(row) => {
                        row.as_str().parse::<u64>().ok().filter(|row| *row > 0)
                    }
                    _ => None,
                };
                if row.is_none() {
                    self.problem(
                        &value.span(),
                        name,
                        "is not a line number",
                        "write the line of the header, from 1",
                    );
                }
                mapping.header_row = row;
            }
            "columns" => self.columns(mapping, value),
            "constants" => self.constants(mapping, value),
            "words" => self.words(mapping, value),
            "headings" => self.headings(mapping, value),
            "cells" => self.cells(mapping, value),
            "rows" => self.rows(mapping, value),
            "hidden_rows" => mapping.hidden_rows = self.is_read(name, value),
            "struck_rows" => mapping.struck_rows = self.is_read(name, value),
            _ => {
                const KEYS: [&str; 15] = [
                    "inventory",
                    "sheet",
                    "delimiter",
                    "encoding",
                    "decimal",
                    "dates",
                    "header_row",
                    "columns",
                    "constants",
                    "words",
                    "headings",
                    "cells",
                    "rows",
                    "hidden_rows",
                    "struck_rows",
                ];
                let instead = match nearest(name, KEYS) {
                    Some(near) => format!("write `{near}` if that is meant"),
                    None => format!("write {}", one_of(&KEYS)),
                };
                self.problem(&key.span(), name, "is not a key of a mapping", instead);
            }
        }
    }

    fn is_read(&mut self, name: &str, value: &Spanned<DeValue<'_>>) -> bool {
        self.word(name, value, &[("read", true), ("leave", false)]).unwrap_or_default()
    }

    /// Each cell with what the list has there, so that a correction is not taken for another list.
    fn cells(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let Some(table) = self.table("cells", value) else { return };
        for (name, correction) in table {
            let key = name.get_ref();
            let Some(place) = cell_place(key) else {
                let instead = "write the column's letter and the row, like \"F12\"";
                self.problem(&name.span(), key, "is not a cell", instead);
                continue;
            };
            let texts = correction.get_ref().as_table().and_then(|table| {
                let text = |key: &str| Some(table.get(key)?.get_ref().as_str()?.to_owned());
                (table.len() == 2).then_some((text("was")?, text("is")?))
            });
            let Some((was, is)) = texts else {
                let wrong = "does not say what the cell was and what it is";
                let instead = "write { was = \"9,500 OBO\", is = \"9500\" }, both in quotes";
                self.problem(&correction.span(), key, wrong, instead);
                continue;
            };
            let spot = Spot::of(self.text, name.span());
            mapping.cells.insert(place, Correction { was, is, spot });
        }
    }

    /// Each row with its ID, so that it is not taken for one of another list.
    fn rows(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let Some(table) = self.table("rows", value) else { return };
        for (name, row) in table {
            let key = name.get_ref();
            let texts = row.get_ref().as_table().and_then(|table| {
                let text = |key: &str| Some(table.get(key)?.get_ref().as_str()?.to_owned());
                (table.len() == 2).then_some((text("car")?, text("out")?))
            });
            match (key.parse::<u64>(), texts) {
                (Ok(number), Some((car, why))) => {
                    let spot = Spot::of(self.text, name.span());
                    mapping.rows.insert(number, LeftOut { car, why, spot });
                }
                (Err(_), _) => {
                    let instead = "write the row's number, like 12";
                    self.problem(&name.span(), key, "is not a row", instead);
                }
                (_, None) => {
                    let wrong = "does not say which car the row is of and why it is left out";
                    let instead = "write { car = \"UD-08\", out = \"sold by telephone\" }";
                    self.problem(&row.span(), key, wrong, instead);
                }
            }
        }
    }

    fn headings(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let words = [
            ("for sale", Headed::ForSale),
            ("not for sale", Headed::NotForSale),
            ("section", Headed::Section),
            ("ignore", Headed::Ignored),
        ];
        let Some(table) = self.table("headings", value) else { return };
        for (heading, meaning) in table {
            if let Some(meaning) = self.word(heading.get_ref(), meaning, &words) {
                mapping.headings.insert(squeezed(heading.get_ref()), meaning);
            }
        }
    }

    pub fn table<'v, 'd>(
        &mut self,
        name: &str,
        value: &'v Spanned<DeValue<'d>>,
    ) -> Option<&'v DeTable<'d>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            self.problem(&value.span(), name, "is not a table", "see docs/formats.md");
        }
        table
    }

    pub fn string(&mut self, name: &str, value: &Spanned<DeValue<'_>>) -> Option<String> {
        match value.get_ref() {
            DeValue::String(text) if !text.trim().is_empty() => Some(text.to_string()),
            DeValue::Integer(number) => Some(number.as_str().to_owned()),
            DeValue::Float(number) => Some(number.as_str().to_owned()),
            _ => {
                self.problem(&value.span(), name, "is not a text", "write a text in quotes");
                None
            }
        }
    }

    fn names(&mut self, name: &str, value: &Spanned<DeValue<'_>>) -> Vec<String> {
        match value.get_ref() {
            DeValue::Array(list) => {
                list.iter().filter_map(|item| self.string(name, item)).collect()
            }
            _ => self.string(name, value).into_iter().collect(),
        }
    }

    fn word<T: Copy>(
        &mut self,
        name: &str,
        value: &Spanned<DeValue<'_>>,
        words: &[(&str, T)],
    ) -> Option<T> {
        let text = self.string(name, value)?;
        let found = words.iter().find(|(word, _)| word.eq_ignore_ascii_case(&text));
        if found.is_none() {
            let known: Vec<_> =
                words.iter().map(|(word, _)| *word).filter(|word| word.len() > 1).collect();
            self.problem(
                &value.span(),
                name,
                format!("cannot be {}", shown(&text)),
                format!("write {}", one_of(&known)),
            );
        }
        found.map(|(_, value)| *value)
    }

    /// The place of our column of this name, or a problem.
    pub fn our(&mut self, span: &Range<usize>, name: &str) -> Option<usize> {
        let found = column(name);
        if found.is_none() {
            let instead = match nearest(name, Inventory::ALL.iter().map(|column| column.name)) {
                Some(near) => format!("write `{near}` if that is meant"),
                None => "write a column of docs/formats.md, or `note` or `ignore`".to_owned(),
            };
            self.problem(span, name, "is not a column of an inventory", instead);
        }
        found
    }

    fn target(
        &mut self,
        span: &Range<usize>,
        name: &str,
        unit: Option<(String, Range<usize>)>,
    ) -> Option<Target> {
        match name {
            "note" => return Some(Target::Note),
            "ignore" => return Some(Target::Ignored),
            _ => {}
        }
        let at = self.our(span, name)?;
        let Some((word, span)) = unit else { return Some(Target::Column(at, None)) };
        if word.eq_ignore_ascii_case(IN_CELLS) {
            return Some(Target::InCells(at));
        }
        let unit = Unit::from_word(&word).filter(|unit| *unit != Unit::Tons);
        let own = Unit::of_column(&Inventory::ALL[at].content);
        match (unit, own) {
            (Some(unit), Some(own)) if unit.fits(own) => Some(Target::Column(at, Some(unit))),
            (_, Some(own)) => {
                let wrong = format!("cannot be in {}", shown(&word));
                let instead = match Unit::from_word(&word) {
                    Some(Unit::Tons) => "write \"short ton\" or \"tonne\"".to_owned(),
                    _ => format!("write {}, or a unit that can be turned into it", own.words()),
                };
                self.problem(&span, name, wrong, instead);
                None
            }
            (_, None) => {
                self.problem(&span, name, "is a column without a unit", "leave `unit` out");
                None
            }
        }
    }

    fn columns(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let Some(table) = self.table("columns", value) else { return };
        for (header, meaning) in table {
            let target = match meaning.get_ref() {
                DeValue::Table(table) => {
                    for key in table
                        .keys()
                        .filter(|key| !matches!(key.get_ref().as_ref(), "column" | "unit"))
                    {
                        self.problem(
                            &key.span(),
                            key.get_ref(),
                            "is not a key of a column",
                            "write `column` and `unit`",
                        );
                    }
                    let Some(column) = table.get("column") else {
                        self.problem(
                            &meaning.span(),
                            header.get_ref(),
                            "does not say which column",
                            "write `column`",
                        );
                        continue;
                    };
                    let unit = match table.get("unit") {
                        None => None,
                        Some(unit) => match self.string("unit", unit) {
                            Some(word) => Some((word, unit.span())),
                            None => continue,
                        },
                    };
                    let Some(name) = self.string("column", column) else { continue };
                    self.target(&column.span(), &name, unit)
                }
                _ => match self.string(header.get_ref(), meaning) {
                    Some(name) => self.target(&meaning.span(), &name, None),
                    None => None,
                },
            };
            let Some(target) = target else { continue };
            let spot = Spot::of(self.text, header.span());
            let entry = Entry { target, header: header.get_ref().to_string(), spot };
            if mapping.columns.insert(squeezed(header.get_ref()), entry).is_some() {
                let wrong = "stands twice, but for case, blanks and punctuation";
                self.problem(&header.span(), header.get_ref(), wrong, "keep one of the two");
            }
        }
    }

    fn constants(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let Some(table) = self.table("constants", value) else { return };
        for (name, value) in table {
            let found = self.our(&name.span(), name.get_ref());
            let spot = Spot::of(self.text, value.span());
            let value = self.string(name.get_ref(), value);
            if let (Some(at), Some(text)) = (found, value) {
                if Inventory::ALL[at].name == "car" {
                    self.problem(
                        &name.span(),
                        "car",
                        "cannot be the same for all cars",
                        "map a column to it",
                    );
                }
                mapping.constants.insert(at, Stated { text, spot });
            }
        }
    }
}
