//! The mapping file: what the columns of one dealer's lists mean.

use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::headers::squeezed;
use super::measure::Decimal;
use crate::check::Code;
use crate::read::columns::{Columns, Content};
use crate::read::inventory::Inventory;
use crate::read::problem::{Findings, Problem, nearest, one_of, shown};
use crate::read::spot::Spot;
use crate::read::text::SourceText;
use crate::read::units::Unit;

/// What a header of the dealer means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::read) enum Target {
    /// One of our columns, by its place in the table, and the unit of bare numbers.
    Column(usize, Option<Unit>),
    /// Not wanted: neither read nor carried.
    Ignored,
    /// Carried with the notes.
    Note,
}

/// Order of month and day in dates written with slashes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::read) enum DateOrder {
    MonthFirst,
    DayFirst,
}

/// A mapping file, understood.
#[derive(Clone, Debug, Default)]
pub(in crate::read) struct Mapping {
    /// Names of the inventories it is for; `*` stands for any characters.
    pub inventories: Vec<String>,
    pub sheet: Option<String>,
    pub delimiter: Option<u8>,
    pub encoding: Option<&'static encoding_rs::Encoding>,
    pub decimal: Option<Decimal>,
    pub dates: Option<DateOrder>,
    /// Line or sheet row of the header.
    pub header_row: Option<u64>,
    /// By squeezed header.
    pub columns: HashMap<String, Entry>,
    /// Values of our columns that the file does not state.
    pub constants: BTreeMap<usize, String>,
    /// For our columns, what a dealer's words mean, by squeezed word.
    pub words: HashMap<usize, HashMap<String, String>>,
}

/// What a mapping says of one header.
#[derive(Clone, Debug)]
pub(in crate::read) struct Entry {
    pub target: Target,
    /// The header as written.
    pub header: String,
    /// Where it stands.
    pub spot: Spot,
}

/// A mapping file being read.
struct Reader<'s> {
    source: &'s SourceText,
    text: &'s str,
    findings: &'s mut Findings,
}

/// The place of a column of ours in its table.
fn column(name: &str) -> Option<usize> {
    Inventory::ALL.iter().position(|column| column.name.eq_ignore_ascii_case(name))
}

/// Whether a file name fits a pattern in which `*` stands for any characters.
pub(super) fn fits(pattern: &str, name: &str) -> bool {
    let mut parts = pattern.split('*');
    let Some(mut rest) = parts.next().and_then(|first| name.strip_prefix(first)) else {
        return false;
    };
    let Some(last) = pattern.contains('*').then(|| pattern.rsplit('*').next().unwrap_or_default())
    else {
        return rest.is_empty();
    };
    for part in parts {
        match rest.find(part) {
            Some(at) => rest = &rest[at + part.len()..],
            None => return false,
        }
    }
    rest.is_empty() || name.ends_with(last)
}

/// The last part of a path, whatever the system it comes from.
pub(super) fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

impl Mapping {
    /// Whether the mapping is for this inventory: named in `inventory`, else by its own name,
    /// `NAME.mapping.toml` being for `NAME.csv`, `NAME.xlsx` and the like.
    pub fn is_for(&self, own: &str, inventory: &str) -> bool {
        let inventory = file_name(inventory);
        if self.inventories.is_empty() {
            let own = file_name(own);
            let stem = own.strip_suffix(".mapping.toml").or_else(|| own.strip_suffix(".toml"));
            let of_inventory = inventory.rsplit_once('.').map_or(inventory, |(stem, _)| stem);
            return stem.is_some_and(|stem| stem == of_inventory);
        }
        self.inventories.iter().any(|pattern| fits(pattern, inventory))
    }

    /// Reads a mapping file. None if it has a problem.
    pub fn read(source: &SourceText, findings: &mut Findings) -> Option<Self> {
        let before = findings.problems.len();
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
            let instead = "compare with the output of `spanyard check FILE --draft-mapping`";
            reader.problem(&error.span().unwrap_or_default(), "", wrong, instead);
            return None;
        }
        let mut mapping = Self::default();
        for (key, value) in table.get_ref() {
            reader.key(&mut mapping, key, value);
        }
        (findings.problems.len() == before).then_some(mapping)
    }
}

impl Reader<'_> {
    fn problem(
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

    fn key(
        &mut self,
        mapping: &mut Mapping,
        key: &Spanned<std::borrow::Cow<'_, str>>,
        value: &Spanned<DeValue<'_>>,
    ) {
        let name = key.get_ref().as_ref();
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
            _ => {
                const KEYS: [&str; 10] = [
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
                ];
                let instead = match nearest(name, KEYS) {
                    Some(near) => format!("write `{near}` if that is meant"),
                    None => format!("write {}", one_of(&KEYS)),
                };
                self.problem(&key.span(), name, "is not a key of a mapping", instead);
            }
        }
    }

    fn table<'v, 'd>(
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

    fn string(&mut self, name: &str, value: &Spanned<DeValue<'_>>) -> Option<String> {
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
    fn our(&mut self, span: &Range<usize>, name: &str) -> Option<usize> {
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
            let value = self.string(name.get_ref(), value);
            if let (Some(at), Some(value)) = (found, value) {
                if Inventory::ALL[at].name == "car" {
                    self.problem(
                        &name.span(),
                        "car",
                        "cannot be the same for all cars",
                        "map a column to it",
                    );
                }
                mapping.constants.insert(at, value);
            }
        }
    }

    fn words(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let Some(tables) = self.table("words", value) else { return };
        for (name, words) in tables {
            let Some(at) = self.our(&name.span(), name.get_ref()) else { continue };
            let Some(words) = self.table(name.get_ref(), words) else { continue };
            let has_words = matches!(
                Inventory::ALL[at].content,
                Content::Words(_) | Content::YesNo | Content::Condition | Content::Availability
            );
            if !has_words {
                self.problem(
                    &name.span(),
                    name.get_ref(),
                    "is not a column of words",
                    "leave it out",
                );
                continue;
            }
            for (word, meaning) in words {
                // An empty text says that the word means nothing known.
                let meaning = match meaning.get_ref() {
                    DeValue::String(text) => text.to_string(),
                    _ => match self.string(word.get_ref(), meaning) {
                        Some(meaning) => meaning,
                        None => continue,
                    },
                };
                mapping.words.entry(at).or_default().insert(squeezed(word.get_ref()), meaning);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Option<Mapping>, Vec<String>) {
        let mut findings = Findings::default();
        let mapping = Mapping::read(&SourceText::new("spur.mapping.toml", text), &mut findings);
        findings.sort();
        (mapping, findings.problems.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn every_unit_of_a_column_is_known() {
        for column in Inventory::ALL {
            if matches!(column.content, Content::Number { .. } | Content::Money { .. }) {
                assert!(Unit::of_column(&column.content).is_some(), "{}", column.name);
            }
        }
    }

    #[test]
    fn a_mapping_is_for_the_file_it_names_or_is_named_after() {
        let (mapping, problems) = read("sheet = \"Cars\"\n");
        assert_eq!(problems, [""; 0]);
        let mapping = mapping.unwrap();
        for (own, inventory, expected) in [
            ("spur.mapping.toml", "spur.csv", true),
            ("a/spur.mapping.toml", "b/spur.xlsx", true),
            ("spur.toml", "spur.csv", true),
            ("spur.mapping.toml", "spur-june.csv", false),
        ] {
            assert_eq!(mapping.is_for(own, inventory), expected, "{own} {inventory}");
        }
        let mapping = read("inventory = [\"spur-*.csv\", \"x.ods\"]\n").0.unwrap();
        for (inventory, expected) in [
            ("in/spur-june.csv", true),
            ("x.ods", true),
            ("spur.csv", false),
            ("spur-june.xlsx", false),
        ] {
            assert_eq!(mapping.is_for("any.toml", inventory), expected, "{inventory}");
        }
    }

    #[test]
    fn all_faults_are_told_with_their_places() {
        let (mapping, problems) = read(
            "delimitr = \";\"\ndecimal = \"dot\"\nheader_row = 0\n[columns]\n\"Len\" = \"lenght_ft\"\n\
             Wt = { column = \"weight_lb\", unit = \"ton\" }\nW = { column = \"width_ft\", unit = \"lb\" }\n\
             [constants]\ncar = \"x\"\n[words.price_usd]\na = \"b\"\n",
        );
        assert!(mapping.is_none());
        for (found, expected) in problems.iter().zip([
            "spur.mapping.toml:1:1: D14 delimitr: is not a key of a mapping; write `delimiter` if that is meant",
            "spur.mapping.toml:2:11: D14 decimal: cannot be dot; write point or comma",
            "spur.mapping.toml:3:14: D14 header_row: is not a line number; write the line of the header, from 1",
            "spur.mapping.toml:5:9: D14 lenght_ft: is not a column of an inventory; write `length_ft` if that is meant",
            "spur.mapping.toml:6:37: D14 weight_lb: cannot be in ton; write \"short ton\" or \"tonne\"",
            "spur.mapping.toml:7:35: D14 width_ft: cannot be in lb; write feet, or a unit that can be turned into it",
            "spur.mapping.toml:9:1: D14 car: cannot be the same for all cars; map a column to it",
            "spur.mapping.toml:10:8: D14 price_usd: is not a column of words; leave it out",
        ]) {
            assert_eq!(found, expected);
        }
        assert_eq!(problems.len(), 8);
    }

    #[test]
    fn patterns() {
        for (pattern, name, expected) in [
            ("a.csv", "a.csv", true),
            ("a.csv", "a.csvx", false),
            ("*", "", true),
            ("a*c", "abc", true),
            ("a*c", "abcd", false),
            ("a*b*c", "a-b-b-c", true),
            ("*.csv", "x.csv.csv", true),
        ] {
            assert_eq!(fits(pattern, name), expected, "{pattern} {name}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_bytes_are_too_strange(bytes in proptest::collection::vec(0_u8..=255, 0..120), typed in "[\\[\\]a-z_=\"\n{},.1]{0,80}") {
            let mut findings = Findings::default();
            let _ = Mapping::read(&SourceText::new("m.toml", bytes), &mut findings);
            let _ = read(&format!("[columns]\n{typed}"));
            let _ = read(&typed);
        }
    }
}
