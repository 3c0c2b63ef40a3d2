//! The rules file as keys with their places, laid over the built-in values.

use std::collections::HashMap;
use std::ops::Range;

use toml::de::{DeArray, DeTable, DeValue};
use toml::{Spanned, Value};

use super::value::check;
use crate::check::Code;
use crate::model::rules::SECTIONS;
use crate::model::rules::table::{Key, Kind, List, Section, Table};
use crate::read::lines::line_starts;
use crate::read::problem::{Findings, Problem, shown};
use crate::read::spot::Spot;
use crate::read::text::SourceText;
use crate::words::{nearest, present_spelling};

/// The tables of the rules.
fn tables() -> impl Iterator<Item = &'static Table> {
    SECTIONS.iter().filter_map(|section| match section {
        Section::Table(table) => Some(table),
        Section::List(_) => None,
    })
}

/// The lists of tables of the rules.
fn lists() -> impl Iterator<Item = &'static List> {
    SECTIONS.iter().filter_map(|section| match section {
        Section::List(list) => Some(list),
        Section::Table(_) => None,
    })
}

/// The key of this name.
fn named(keys: &'static [Key], name: &str) -> Option<&'static Key> {
    keys.iter().find(|key| key.name == name)
}

/// A table of a list, with the places of its keys.
pub(super) struct Item {
    /// Where the table begins.
    pub span: Range<usize>,
    /// Its sound values.
    pub values: toml::Table,
    /// Where its keys stand.
    pub keys: HashMap<String, Range<usize>>,
}

/// The rules file over the built-in values.
pub(super) struct Document<'s> {
    file: &'s SourceText,
    text: &'s str,
    /// The byte at which each line begins.
    lines: Vec<usize>,
    user: DeTable<'s>,
    values: toml::Table,
    /// Where each key given stands, by path, sound or not.
    keys: HashMap<String, Range<usize>>,
    /// Paths of keys with a problem.
    faulty: Vec<String>,
    /// The lists given, sound or not.
    lists: HashMap<&'static str, Vec<Item>>,
}

impl<'s> Document<'s> {
    /// Parses the file. None if it is not TOML.
    pub fn parse(
        file: &'s SourceText,
        text: &'s str,
        defaults: toml::Table,
        findings: &mut Findings,
    ) -> Option<Self> {
        let (user, errors) = DeTable::parse_recoverable(text);
        let document = Self {
            file,
            text,
            lines: line_starts(text),
            user: user.into_inner(),
            values: defaults,
            keys: HashMap::new(),
            faulty: Vec::new(),
            lists: HashMap::new(),
        };
        if errors.is_empty() {
            return Some(document);
        }
        // One error leads to others on its line, so only the first of a line is told.
        let mut told = 0;
        let mut spans: Vec<_> =
            errors.iter().map(|error| (error.span().unwrap_or_default(), error)).collect();
        spans.sort_by_key(|(span, _)| span.start);
        for (span, error) in spans {
            let wrong = format!("this is not valid TOML: {}", error.message());
            let instead = "compare with the output of `spanyard rules`".to_owned();
            if document.spot(&span).line > told {
                let problem = document.at(&span, Code::RulesMalformed, "", wrong, instead);
                told = problem.line;
                findings.problems.push(problem);
            }
        }
        None
    }

    /// Where a span stands.
    fn spot(&self, span: &Range<usize>) -> Spot {
        let line = self.lines.partition_point(|start| *start <= span.start);
        let start = self.lines.get(line.saturating_sub(1)).copied().unwrap_or_default();
        Spot::within(self.text, span.clone(), (line as u64, start))
    }

    /// A problem at a span of the file.
    pub fn at(
        &self,
        span: &Range<usize>,
        code: Code,
        name: &str,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) -> Problem {
        let problem = Problem::of_file(code, self.file.name.clone(), wrong, instead);
        Problem { name: name.to_owned(), ..problem.at(self.spot(span)) }
    }

    /// Takes every key of the file that is known and sound, and reports the others.
    pub fn take(&mut self, findings: &mut Findings) {
        let user = std::mem::take(&mut self.user);
        self.table("", &user, findings);
    }

    /// The sound values, the file's over the built-in ones.
    pub fn into_values(self) -> toml::Table {
        self.values
    }

    /// The tables of a list that the file gives; none if it does not.
    pub fn list(&self, name: &str) -> &[Item] {
        self.lists.get(name).map_or(&[], Vec::as_slice)
    }

    /// The names in a list, the file's or the built-in one.
    pub fn names(&self, list: &str) -> Vec<String> {
        let name = |table: &toml::Table| Some(table.get("name")?.as_str()?.to_owned());
        match self.lists.get(list) {
            Some(items) => items.iter().filter_map(|item| name(&item.values)).collect(),
            None => {
                let tables = self.values.get(list).and_then(Value::as_array);
                tables.into_iter().flatten().filter_map(|table| name(table.as_table()?)).collect()
            }
        }
    }

    /// The value of a key by path, unless it has a problem.
    pub fn value(&self, path: &str) -> Option<&Value> {
        if self.faulty.iter().any(|faulty| faulty == path) {
            return None;
        }
        let mut parts = path.split('.');
        let first = self.values.get(parts.next()?)?;
        parts.try_fold(first, |value, part| value.get(part))
    }

    /// Where a key stands in the file; none if the file does not give it.
    pub fn key(&self, path: &str) -> Option<&Range<usize>> {
        self.keys.get(path)
    }

    /// One table of the file: the whole of it has the path "".
    fn table(&mut self, path: &str, user: &DeTable<'s>, findings: &mut Findings) {
        let join = |name: &str| match path {
            "" => name.to_owned(),
            path => format!("{path}.{name}"),
        };
        let keys = tables().find(|table| table.path == path).map_or(&[][..], |table| table.keys);
        for (key, value) in user {
            let (name, span) = (present_spelling(key.get_ref()), key.span());
            let name = name.as_ref();
            let here = join(name);
            self.keys.insert(here.clone(), span.clone());
            let list = lists().find(|list| list.path == here);
            if let Some(key) = named(keys, name) {
                match self.sound(&here, key.kind, &span, value) {
                    Ok(value) => self.set(&here, value),
                    Err(problem) => {
                        findings.problems.push(*problem);
                        self.faulty.push(here);
                    }
                }
            } else if tables().any(|table| table.path == here) {
                match value.get_ref() {
                    DeValue::Table(table) => self.table(&here, table, findings),
                    _ => {
                        let instead = format!("write its keys under [{here}]");
                        let wrong = "is a table, not a value";
                        let problem = self.at(&span, Code::RulesMalformed, &here, wrong, instead);
                        findings.problems.push(problem);
                    }
                }
            } else if let Some(&List { path: list, keys, .. }) = list {
                match value.get_ref() {
                    DeValue::Array(tables) => {
                        if tables.is_empty() && list != "vehicle" {
                            let instead =
                                format!("write at least one [[{list}]], or remove the key");
                            let wrong = "is an empty list";
                            let problem = self.at(&span, Code::CellBlank, list, wrong, instead);
                            findings.problems.push(problem);
                        }
                        self.items(list, keys, tables, findings);
                    }
                    _ => {
                        let instead = format!("write each under [[{list}]]");
                        let wrong = "is a list of tables";
                        let problem = self.at(&span, Code::RulesMalformed, &here, wrong, instead);
                        findings.problems.push(problem);
                    }
                }
            } else {
                let paths = tables().map(|table| table.path);
                let paths = paths.chain(lists().map(|list| list.path));
                let below = paths.filter_map(|other| match path {
                    "" => (!other.contains('.')).then_some(other),
                    path => other.strip_prefix(path)?.strip_prefix('.'),
                });
                let known = keys.iter().map(|key| key.name).chain(below);
                findings.problems.push(self.unknown(&span, &here, name, known));
            }
        }
    }

    fn unknown(
        &self,
        span: &Range<usize>,
        path: &str,
        name: &str,
        known: impl Iterator<Item = &'static str>,
    ) -> Problem {
        let instead = match nearest(name, known) {
            Some(near) => format!("write {near} if that is meant, or remove the key"),
            None => "compare with the output of `spanyard rules`".to_owned(),
        };
        self.at(span, Code::RulesMalformed, &shown(path), "is not a key of the rules", instead)
    }

    /// A list of tables, which replaces the built-in one.
    fn items(
        &mut self,
        list: &'static str,
        keys: &'static [Key],
        tables: &DeArray<'s>,
        findings: &mut Findings,
    ) {
        let mut items = Vec::new();
        for table in tables.iter() {
            let span = table.span();
            let DeValue::Table(user) = table.get_ref() else {
                let instead = format!("write its keys under [[{list}]]");
                let wrong = "is a list of tables, and this is none";
                findings.problems.push(self.at(&span, Code::RulesMalformed, list, wrong, instead));
                continue;
            };
            let mut item = Item { span, values: toml::Table::new(), keys: HashMap::new() };
            for (key, value) in user {
                let (name, span) = (present_spelling(key.get_ref()), key.span());
                let name = name.as_ref();
                item.keys.insert(name.to_owned(), span.clone());
                let path = format!("{list}.{name}");
                match named(keys, name) {
                    None => {
                        let known = keys.iter().map(|key| key.name);
                        findings.problems.push(self.unknown(&span, &path, name, known));
                    }
                    Some(key) => match self.sound(&path, key.kind, &span, value) {
                        Ok(value) => {
                            item.values.insert(name.to_owned(), value);
                        }
                        Err(problem) => findings.problems.push(*problem),
                    },
                }
            }
            for key in keys.iter().filter(|key| !item.keys.contains_key(key.name)) {
                let path = format!("{list}.{}", key.name);
                let wrong = "is missing";
                let instead = format!("add the key to this [[{list}]]");
                let problem = self.at(&item.span, Code::CellBlank, &path, wrong, instead);
                findings.problems.push(problem);
            }
            items.push(item);
        }
        let values = items.iter().map(|item| Value::Table(item.values.clone())).collect();
        self.set(list, Value::Array(values));
        self.lists.insert(list, items);
    }

    /// Sets a value by path.
    fn set(&mut self, path: &str, value: Value) {
        let (tables, name) = path.rsplit_once('.').unwrap_or(("", path));
        let mut table = &mut self.values;
        for part in tables.split('.').filter(|part| !part.is_empty()) {
            let inner = table.entry(part).or_insert_with(|| Value::Table(toml::Table::new()));
            let Value::Table(inner) = inner else { return };
            table = inner;
        }
        table.insert(name.to_owned(), value);
    }

    /// The value of a key if it is of its kind, else what is wrong with it.
    fn sound(
        &self,
        path: &str,
        kind: Kind,
        span: &Range<usize>,
        value: &Spanned<DeValue<'s>>,
    ) -> Result<Value, Box<Problem>> {
        let text = self.text.get(value.span()).unwrap_or_default();
        check(kind, value.get_ref()).map_err(|(code, wrong, instead)| {
            let problem = self.at(span, code, path, wrong, instead);
            Box::new(Problem { text: shown(text), ..problem })
        })
    }
}
