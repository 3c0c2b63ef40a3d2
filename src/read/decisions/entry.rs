//! The file as entries: kind, keys and values as text, each with its place.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::{ALWAYS, KINDS};
use crate::check::Code;
use crate::model::crossing_columns::CrossingColumn;
use crate::model::inventory::Inventory;
use crate::read::columns::Columns;
use crate::read::problem::{Findings, Problem, one_of, shown};
use crate::read::spot::Spot;
use crate::read::text::SourceText;
use crate::words::{nearest, present_spelling};

/// More names than this are too many for a message.
const MANY: usize = 12;

/// One key of an entry.
#[derive(Clone, Debug)]
pub(super) struct Key {
    pub name: String,
    /// The value: the content of a text, and anything else as it stands in the file.
    pub text: String,
    pub place: Spot,
}

/// One decision as it stands in the file.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    pub kind: &'static str,
    pub place: Spot,
    pub keys: Vec<Key>,
}

impl Entry {
    /// The text of a key.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.keys.iter().find(|key| key.name == name).map(|key| key.text.as_str())
    }
}

/// The entries in the order of the file; none if it is not TOML.
pub(super) fn entries(source: &SourceText, findings: &mut Findings) -> Option<Vec<Entry>> {
    let text = match source.text() {
        Ok(text) => text,
        Err(problem) => {
            findings.problems.push(*problem);
            return None;
        }
    };
    let mut reader = Reader { source, text, findings };
    let (table, errors) = DeTable::parse_recoverable(text);
    if let Some(error) = errors.first() {
        let wrong = format!("this is not valid TOML: {}", error.message());
        let at = error.span().unwrap_or_default();
        reader.problem(at, "", wrong, "compare with docs/formats.md");
        return None;
    }
    let mut entries = Vec::new();
    for (kind, value) in table.get_ref() {
        let name = kind.get_ref().as_ref();
        let Some(&(known, keys)) = KINDS.iter().find(|(known, _)| *known == name) else {
            let kinds: Vec<_> = KINDS.iter().map(|(kind, _)| *kind).collect();
            let instead = match nearest(name, kinds.iter().copied()) {
                Some(near) => format!("write [[{near}]] if that is meant"),
                None => format!("write {}", one_of(&kinds)),
            };
            reader.problem(kind.span(), name, "is no kind of decision", instead);
            continue;
        };
        let tables = value.get_ref().as_array().into_iter().flat_map(|list| list.iter());
        let before = entries.len();
        for table in tables {
            if let Some(keys_given) = table.get_ref().as_table() {
                let at = table.span();
                entries.push((at.start, reader.entry(known, keys, at, keys_given)));
            }
        }
        if entries.len() == before {
            let instead = format!("write each decision under [[{known}]]");
            reader.problem(kind.span(), name, "is a list of tables", instead);
        }
    }
    entries.sort_by_key(|(at, _)| *at);
    Some(entries.into_iter().map(|(_, entry)| entry).collect())
}

struct Reader<'s> {
    source: &'s SourceText,
    text: &'s str,
    findings: &'s mut Findings,
}

impl Reader<'_> {
    fn place(&self, span: Range<usize>) -> Spot {
        Spot::of(self.text, span)
    }

    fn problem(
        &mut self,
        at: Range<usize>,
        name: &str,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) {
        let spot = self.place(at);
        let file = self.source.name.clone();
        let problem = Problem::of_file(Code::DecisionsMalformed, file, wrong, instead).at(spot);
        self.findings.problems.push(Problem { name: shown(name), ..problem });
    }

    fn entry(
        &mut self,
        kind: &'static str,
        known: &[&'static str],
        at: Range<usize>,
        table: &DeTable<'_>,
    ) -> Entry {
        let mut keys = Vec::new();
        for (key, value) in table {
            let name = present_spelling(key.get_ref());
            let name = name.as_ref();
            let here = key.span();
            if !may_have(kind, known, name) {
                let names = all_keys(kind, known);
                let instead = match nearest(name, names.iter().copied()) {
                    Some(near) => format!("write {near} if that is meant"),
                    None if names.len() > MANY => "see docs/formats.md for its keys".to_owned(),
                    None => format!("write {}", one_of(&names)),
                };
                let path = format!("{kind}.{name}");
                self.problem(here, &path, format!("is no key of [[{kind}]]"), instead);
                continue;
            }
            let span = value.span();
            let text = match value.get_ref() {
                DeValue::String(text) => text.trim().to_owned(),
                DeValue::Array(_) | DeValue::Table(_) => {
                    let path = format!("{kind}.{name}");
                    self.problem(span, &path, "is no single value", "write one value");
                    continue;
                }
                _ => self.text.get(span.clone()).unwrap_or_default().replace('_', ""),
            };
            keys.push(Key { name: name.to_owned(), text, place: self.place(span) });
        }
        Entry { kind, place: self.place(at), keys }
    }
}

fn may_have(kind: &str, known: &[&str], name: &str) -> bool {
    all_keys(kind, known).contains(&name)
}

/// The keys that an entry of this kind may have.
fn all_keys<'k>(kind: &str, known: &[&'k str]) -> Vec<&'k str>
where
    'static: 'k,
{
    let more: Vec<&'static str> = match kind {
        "measured" => {
            let measured = Inventory::EACH.iter().filter(|column| column.is_measurable());
            measured.map(|column| column.column().name).collect()
        }
        "added" | "changed" => CrossingColumn::ALL.iter().map(|column| column.name).collect(),
        _ => Vec::new(),
    };
    known.iter().copied().chain(more).chain(ALWAYS.iter().copied()).collect()
}
