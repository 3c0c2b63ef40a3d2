//! The purchase folder: `spanyard.toml`, which names the parts of one agency's purchase.

use std::ops::Range;

use serde::Deserialize;

use super::problem::Problem;
use super::spot::Spot;
use super::text::SourceText;
use crate::check::Code;

/// The file that makes a folder a purchase folder.
pub const FOLDER_FILE: &str = "spanyard.toml";

/// The parts of a purchase, as paths from the folder. A part that is not named is not there.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Folder {
    /// Dealers' lists: a folder of them, or files.
    pub lists: Option<Lists>,
    /// Crossings.
    pub crossings: Option<String>,
    /// Yards and their terms.
    pub yards: Option<String>,
    /// Lots and their prices.
    pub lots: Option<String>,
    /// What haulers quoted.
    pub hauls: Option<String>,
    /// The agency's rules.
    pub rules: Option<String>,
    /// What was decided since the plan; `decide` makes the file.
    pub decisions: Option<String>,
    /// Where papers go.
    pub papers: Option<String>,
}

/// Where dealers' lists are.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(untagged)]
pub enum Lists {
    /// All lists of a folder.
    Folder(String),
    /// These files.
    Files(Vec<String>),
}

/// Endings of the files that are taken for dealers' lists.
const LISTS: [&str; 7] = ["csv", "tsv", "txt", "xlsx", "xlsm", "xls", "ods"];

/// Whether a file of the folder of lists is a dealer's list, by its name. What a spreadsheet or an
/// editor leaves beside an open file is none.
#[must_use]
pub fn is_list(name: &str) -> bool {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    let left_behind = name.starts_with(['.', '~']);
    !left_behind && ending.is_some_and(|ending| LISTS.contains(&ending.as_str()))
}

/// The name of the mapping that belongs to a list: `NAME.mapping.toml` beside `NAME.csv`.
#[must_use]
pub fn mapping_of(list: &str) -> String {
    let start = list.rfind(['/', '\\']).map_or(0, |slash| slash + 1);
    let dot = list[start..].rfind('.').map_or(list.len(), |dot| start + dot);
    format!("{}.mapping.toml", &list[..dot])
}

impl Folder {
    /// Reads `spanyard.toml`.
    ///
    /// # Errors
    /// The first thing that is wrong with it, at its place.
    pub fn read(source: &SourceText) -> Result<Self, Box<Problem>> {
        let text = source.text()?;
        toml::from_str(text).map_err(|error| {
            let all = Range { start: 0, end: text.len().min(1) };
            let spot = Spot::of(text, error.span().unwrap_or(all));
            let wrong = error.message().replace('\n', ", ");
            let instead = "write lists, crossings, yards, lots, hauls, rules, decisions or papers, each \
                           with the name of a file or folder in quotes";
            let name = source.name.clone();
            Box::new(Problem::of_file(Code::RulesMalformed, name, wrong, instead).at(spot))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_named_or_not_there() {
        let read = |text: &str| Folder::read(&SourceText::new("spanyard.toml", text));
        let folder = read("lists = \"lists\"\ncrossings = 'c.xlsx'\n").unwrap();
        assert_eq!(folder.lists, Some(Lists::Folder("lists".to_owned())));
        assert_eq!((folder.crossings.as_deref(), folder.rules), (Some("c.xlsx"), None));
        let folder = read("lists = [\"a.csv\", \"b.ods\"]\n").unwrap();
        assert_eq!(folder.lists, Some(Lists::Files(vec!["a.csv".into(), "b.ods".into()])));
        for (text, place) in [
            ("crosings = \"c.csv\"\n", "spanyard.toml:1:1: D13"),
            ("lists = \"lists\"\ncrossings = 3\n", "spanyard.toml:2:13: D13"),
            ("lists = \"lists\n", "spanyard.toml:1:"),
        ] {
            let problem = read(text).unwrap_err().to_string();
            assert!(problem.starts_with(place), "{problem}");
        }
    }

    #[test]
    fn lists_and_their_mappings_by_name() {
        for (name, list) in [
            ("spur.csv", true),
            ("Spur June.XLSX", true),
            ("spur.mapping.toml", false),
            ("readme.md", false),
            ("~$spur.xlsx", false),
            (".spur.csv", false),
            ("spur", false),
        ] {
            assert_eq!(is_list(name), list, "{name}");
        }
        for (list, mapping) in [
            ("lists/spur.csv", "lists/spur.mapping.toml"),
            ("a.b/spur", "a.b/spur.mapping.toml"),
            ("spur.june.xlsx", "spur.june.mapping.toml"),
        ] {
            assert_eq!(mapping_of(list), mapping);
        }
    }
}
