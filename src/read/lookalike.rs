//! Names that look like one another and are not the same: what was copied by hand or made to deceive.
//! People who read a list would take two such cars for one, or one for another.

use std::collections::BTreeMap;

use unicode_security::confusable_detection::skeleton;

use super::problem::{Problem, shown};
use super::spot::Spot;
use crate::check::Code;
use crate::model::place::RowPlace;
use crate::words::is_hidden;

/// So many are told one by one; more are a list that was made like that.
const TOLD_MOST: usize = 20;

/// A name as it is written, whose it is, and where.
pub(super) struct Name<'n> {
    /// What has names: a name is told from others of the same owner alone.
    pub owner: &'n str,
    pub name: &'n str,
    pub place: &'n RowPlace,
}

/// Warnings of names of a column with characters that do not show, and of such that look alike, by the
/// skeletons of Unicode Technical Standard 39, section 4.
pub(super) fn warnings<'n>(column: &str, names: impl Iterator<Item = Name<'n>>) -> Vec<Problem> {
    let mut seen: BTreeMap<(String, String), Name<'n>> = BTreeMap::new();
    let mut warnings = Vec::new();
    for name in names {
        let warn = |wrong: String, instead: &str| Problem {
            name: column.to_owned(),
            text: shown(name.name),
            ..Problem::of_file(Code::ValueDoubtful, name.place.file.clone(), wrong, instead)
                .at(Spot::of_line(name.place.line))
        };
        if let Some(hidden) = name.name.chars().find(|c| is_hidden(*c)) {
            let wrong = format!("has a character that does not show, U+{:04X}", u32::from(hidden));
            warnings.push(warn(wrong, "write the name anew"));
        }
        let alike = (skeleton_of(name.owner), skeleton_of(name.name));
        match seen.get(&alike) {
            Some(first) if first.name != name.name || first.owner != name.owner => {
                let (other, place) = (shown(first.name), first.place);
                let of = match first.owner == name.owner {
                    true => String::new(),
                    false => format!(" of {}", shown(first.owner)),
                };
                let wrong = format!("looks like `{other}`{of} at {place} and is another name");
                warnings.push(warn(
                    wrong,
                    "compare both with the cars or papers, and correct the wrong one",
                ));
            }
            Some(_) => {}
            None => {
                seen.insert(alike, name);
            }
        }
        if warnings.len() >= TOLD_MOST {
            break;
        }
    }
    warnings
}

/// What is left of a name when characters that look alike become one, and those that do not show none.
fn skeleton_of(name: &str) -> String {
    let visible: String = name.chars().filter(|c| !is_hidden(*c)).collect();
    skeleton(&visible).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(names: &[(&str, &str)]) -> Vec<String> {
        let place = RowPlace { file: "cars.csv".into(), line: 2 };
        let names = names.iter().map(|(owner, name)| Name { owner, name, place: &place });
        warnings("car", names).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn names_that_look_alike_are_told_and_others_are_not() {
        assert_eq!(told(&[("A", "UD-1"), ("A", "UD-2"), ("A", "UD-10"), ("B", "UD-1")]), [""; 0]);
        for other in [
            "UD-l",         // a small L
            "UD\u{2010}1",  // a hyphen that is none on a keyboard
            "\u{ff35}D-1",  // a wide U
            "UD-1\u{200b}", // a space without width
            "UD\u{ad}-1",   // a soft hyphen
        ] {
            let told = told(&[("A", "UD-1"), ("A", other)]);
            let found = told.iter().any(|line| line.contains("looks like `UD-1` at cars.csv:2"));
            assert!(found, "{other:?}: {told:?}");
        }
        let told = told(&[("A", "UD\u{2060}-1")]);
        assert_eq!(
            told,
            [
                "cars.csv:2:1: D20 car: `UD\\u{2060}-1` has a character that does not show, U+2060; write the name anew"
            ]
        );
    }
}
