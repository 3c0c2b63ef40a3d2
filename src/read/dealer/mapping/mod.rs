//! The mapping file: what the columns of one dealer's lists mean.

mod meanings;
mod reader;

use std::collections::{BTreeMap, HashMap};

use toml::de::DeTable;

use super::scheme::Scheme;
use crate::read::measure::Decimal;
use crate::read::problem::Findings;
use crate::read::problem::MOST_COLUMNS;
use crate::read::spot::Spot;
use crate::read::text::SourceText;
use crate::read::units::Unit;
use reader::Reader;

/// The table of words that holds for all members.
pub(in crate::read::dealer) const MEMBERS: &str = "members";

/// What a mapping says of the unit of a column whose cells state it themselves, each its own.
pub(in crate::read::dealer) const IN_CELLS: &str = "in the cells";

/// What a header of the dealer means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::read) enum Target {
    /// One of our columns, by its place in the table, and the unit of bare numbers.
    Column(usize, Option<Unit>),
    /// One of our columns, by its place; each of its cells says its unit.
    InCells(usize),
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

impl DateOrder {
    /// As a mapping says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::MonthFirst => "month/day/year",
            Self::DayFirst => "day/month/year",
        }
    }
}

/// What a heading above rows means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::read) enum Headed {
    /// The rows below are on offer.
    ForSale,
    /// They are not.
    NotForSale,
    /// It is the name of their section.
    Section,
    /// It says nothing of them.
    Ignored,
}

/// A mapping file, understood.
#[derive(Clone, Debug, Default)]
pub(in crate::read) struct Mapping {
    /// The kind of table that it explains.
    pub scheme: &'static Scheme,
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
    pub constants: BTreeMap<usize, Stated>,
    /// For our columns, what a dealer's words mean, by squeezed word.
    pub words: HashMap<usize, HashMap<String, Stated>>,
    /// What headings above rows mean, by squeezed heading.
    pub headings: HashMap<String, Headed>,
    /// Single cells that it corrects, by row and column.
    pub cells: BTreeMap<(u64, usize), Correction>,
    /// Rows that are left out, by their number.
    pub rows: BTreeMap<u64, LeftOut>,
    /// Whether rows that the workbook hides are read.
    pub hidden_rows: bool,
    /// Whether rows that are struck through are read.
    pub struck_rows: bool,
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

/// What a mapping states in place of the file: a constant, or the meaning of a word.
#[derive(Clone, Debug)]
pub(in crate::read) struct Stated {
    pub text: String,
    /// Where it stands.
    pub spot: Spot,
}

/// What a mapping says in place of a cell.
#[derive(Clone, Debug)]
pub(in crate::read) struct Correction {
    /// What the list has there.
    pub was: String,
    /// What holds.
    pub is: String,
    /// Where the mapping says it.
    pub spot: Spot,
}

/// A row that the agency leaves out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::read) struct LeftOut {
    /// The ID that the list has in it.
    pub car: String,
    /// Why.
    pub why: String,
    /// Where the mapping says it.
    pub spot: Spot,
}

/// Row and column of a cell like `C7`, the column from 0.
pub(in crate::read::dealer) fn cell_place(name: &str) -> Option<(u64, usize)> {
    let digits = name.find(|c: char| c.is_ascii_digit())?;
    let (letters, row) = name.split_at(digits);
    let column = letters.bytes().try_fold(0_usize, |column, letter| {
        let letter = letter.to_ascii_uppercase();
        let value = letter.is_ascii_uppercase().then(|| usize::from(letter - b'A') + 1)?;
        column.checked_mul(26)?.checked_add(value)
    })?;
    let row = row.parse::<u64>().ok().filter(|row| *row > 0)?;
    Some((row, column.checked_sub(1).filter(|column| *column < MOST_COLUMNS)?))
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
