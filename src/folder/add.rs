//! Adding a dealer's list to a purchase folder: copied under dealer and date, with a mapping drafted and
//! what it must be asked, and compared with the dealer's list before.

use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::asking::Asking;
use super::files::{Files, Refusal, stem_of, within};
use super::open::open_in;
use super::since::since;
use crate::read::{
    CarBack, FileKind, NotAnswered, Problem, Question, ReadBack, SourceText, State, as_csv,
    draft_mapping, is_dealers_list, kind_of, mapping_of, unreadable, with_open,
};
use crate::save::{Disk, Unsaved, make_folder, save_new};

/// A list to add.
#[derive(Clone, Debug)]
pub struct Add<'a> {
    /// The file as it came.
    pub source: &'a SourceText,
    /// The dealer's name, where it is said.
    pub dealer: Option<&'a str>,
    /// The yard's name, where it is said.
    pub yard: Option<&'a str>,
    /// The day of the list.
    pub day: Date,
}

/// What became of a list.
#[derive(Clone, Debug)]
pub struct Added {
    /// The list in the folder.
    pub list: PathBuf,
    /// Its mapping, if one was written.
    pub mapping: Option<PathBuf>,
    /// What is still to be answered in the mapping.
    pub open: Vec<Question>,
    /// Dealers' yards of the list that the yards file does not have yet.
    pub yards: Vec<String>,
    /// What the decisions have against the new list that they had not against the one before.
    pub decisions: Vec<Problem>,
    /// What changed since the dealer's list before, a line each; none where there is none.
    pub since: Option<(PathBuf, Vec<String>)>,
    /// The read-back, or why there is none yet.
    pub back: Result<ReadBack, Refusal>,
}

/// Why a list was not added. Nothing was written, then.
#[derive(Debug, thiserror::Error)]
pub enum NotAdded {
    /// It is no list that can be read.
    #[error("{0} is {1}")]
    Unreadable(String, &'static str),
    /// It is another table.
    #[error("{0} looks like a table of {1} and not of cars; name it in spanyard.toml")]
    OtherTable(String, &'static str),
    /// There is no folder of lists.
    #[error("this is no purchase folder with a folder of lists; `spanyard new DIR` makes one")]
    NoLists,
    /// A list of this name is there already.
    #[error("{} is there already; give another day with --date", .0.display())]
    Standing(PathBuf),
    /// The list has no table.
    #[error("{0}")]
    NoTable(Box<Problem>),
    /// What was said of it cannot be put into its mapping.
    #[error(transparent)]
    NotAnswered(NotAnswered),
    /// The disk refused.
    #[error(transparent)]
    Unsaved(#[from] Unsaved),
}

/// Reads a list that is to be added, and drafts its mapping, so that it can be asked about. Nothing is
/// written.
///
/// # Errors
/// [`NotAdded`].
pub fn draft(files: &Files, add: &Add<'_>) -> Result<Draft, NotAdded> {
    let name = add.source.name.to_string();
    if let Some(what) = unreadable(add.source) {
        return Err(NotAdded::Unreadable(name, what));
    }
    let lists = files.lists_in.as_deref().ok_or(NotAdded::NoLists)?;
    let converted = as_csv(add.source).map(|text| SourceText::new(&add.source.name, text));
    let source = converted.as_ref().unwrap_or(add.source);
    match kind_of(source) {
        FileKind::Crossings => return Err(NotAdded::OtherTable(name, "crossings")),
        FileKind::Yards => return Err(NotAdded::OtherTable(name, "yards")),
        FileKind::Lots => return Err(NotAdded::OtherTable(name, "lots")),
        FileKind::Hauls => return Err(NotAdded::OtherTable(name, "hauls")),
        _ => {}
    }
    let file = name.rsplit(['/', '\\']).next().unwrap_or(&name);
    let (stem, ending) = file.rsplit_once('.').unwrap_or((file, "csv"));
    let ending = if converted.is_some() { "csv".to_owned() } else { ending.to_lowercase() };
    let stem = slug(add.dealer.unwrap_or(stem));
    let list = within(lists, format!("{stem}-{}.{ending}", add.day));
    if files.at(&list).symlink_metadata().is_ok() {
        return Err(NotAdded::Standing(list));
    }
    let before = files.inventories.iter().find(|other| stem_of(other).0 == stem).cloned();
    let named = SourceText { name: list.display().to_string().as_str().into(), ..source.clone() };
    let mapping = mapping(files, add, &named, before.as_deref())?;
    Ok(Draft { asking: Asking { list, source: named, mapping }, before, day: add.day })
}

/// What a list would be in the folder; nothing is written.
#[must_use]
pub fn look(files: &Files, draft: &Draft) -> Added {
    let Draft { asking, before, day } = draft;
    let (list, open) = (asking.list.clone(), asking.questions());
    // Whether the yards file has the list's yards is one thing to say, and not one of each row.
    let mut with = Files {
        inventories: vec![list.clone()],
        mappings: Vec::new(),
        yards: None,
        ..files.clone()
    };
    with.instead.push((list.clone(), asking.source.bytes.clone()));
    if let Some(text) = &asking.mapping {
        with.mappings = vec![asking.mapping_file()];
        with.instead.push((asking.mapping_file(), text.clone().into_bytes()));
    }
    let name = list.display().to_string();
    let back = with.read_back(&name);
    let since = match (&back, before) {
        (Ok(back), Some(before)) => {
            let of_before = Files { yards: None, ..files.clone() };
            let old = of_before.read_back(&before.display().to_string()).ok();
            old.map(|old| (before.clone(), since(&old, back, *day)))
        }
        _ => None,
    };
    let yards = match &back {
        Ok(back) => Files { yards: files.yards.clone(), ..with.clone() }.yards_missing(back),
        Err(_) => Vec::new(),
    };
    let decisions = match before {
        Some(before) => with.decisions_without(files, before),
        None => Vec::new(),
    };
    let mapping = asking.mapping.is_some().then(|| asking.mapping_file());
    Added { list, mapping, open, yards, decisions, since, back }
}

/// Writes a list and its mapping to the folder, with what is still to be answered at the mapping's end.
///
/// # Errors
/// [`NotAdded`].
pub fn keep(files: &Files, draft: &Draft, disk: &dyn Disk) -> Result<Added, NotAdded> {
    let asking = &draft.asking;
    let lists = files.lists_in.as_deref().ok_or(NotAdded::NoLists)?;
    let added = look(files, draft);
    let list = files.at(&asking.list);
    if list.symlink_metadata().is_ok() {
        return Err(NotAdded::Standing(asking.list.clone()));
    }
    make_folder(disk, &files.at(lists))?;
    save_new(disk, &list, &asking.source.bytes)?;
    if let Some(text) = &asking.mapping {
        let path = files.at(&asking.mapping_file());
        if let Err(error) = save_new(disk, &path, with_open(text, &added.open).as_bytes()) {
            // A list without what explains it would only be in the way of adding it again.
            let _ = disk.remove(&list);
            return Err(error.into());
        }
    }
    Ok(added)
}

/// A list on its way into the folder.
#[derive(Clone, Debug)]
pub struct Draft {
    /// The list with its mapping, to be asked about.
    pub asking: Asking,
    /// The dealer's list before.
    before: Option<PathBuf>,
    day: Date,
}

impl Files {
    /// What is wrong with the decisions with this one list in the place of another, and was not before.
    fn decisions_without(&self, all: &Self, before: &Path) -> Vec<Problem> {
        let Some(file) = all.decisions.as_ref().map(|file| file.display().to_string()) else {
            return Vec::new();
        };
        let told = |files: &Self| {
            let checked = files.check(true);
            let told = checked.problems.0.into_iter().chain(checked.warnings);
            told.filter(|problem| *problem.file == *file).collect::<Vec<Problem>>()
        };
        let others = all.inventories.iter().filter(|other| *other != before).cloned().collect();
        let mut new = Self { mappings: Vec::new(), ..all.clone() }.with_lists(others);
        new.inventories.extend(self.inventories.clone());
        new.mappings.extend(self.mappings.clone());
        new.instead.extend(self.instead.clone());
        let then = told(all);
        let is_new = |problem: &Problem| {
            let same = |old: &Problem| (old.line, &old.wrong) == (problem.line, &problem.wrong);
            !then.iter().any(same)
        };
        told(&new).into_iter().filter(is_new).collect()
    }

    /// The yards of a list that the yards file does not have, each with its dealer.
    fn yards_missing(&self, back: &ReadBack) -> Vec<String> {
        let Ok(told) = self.read_back(&back.list) else { return Vec::new() };
        let get = |car: &CarBack, column: &str| {
            let fact = car.facts.iter().find(|fact| fact.column == column);
            fact.map(|fact| fact.understood.clone()).unwrap_or_default()
        };
        let mut missing = Vec::new();
        for (car, told) in back.cars.iter().zip(&told.cars) {
            let mut facts =
                told.facts.iter().filter(|fact| ["dealer", "yard"].contains(&fact.column));
            if facts.any(|fact| fact.state == State::Refused) {
                let yard = format!("{} of {}", get(car, "yard"), get(car, "dealer"));
                if !missing.contains(&yard) {
                    missing.push(yard);
                }
            }
        }
        missing
    }
}

/// A name of letters, digits and hyphens.
fn slug(name: &str) -> String {
    let letters = name.to_lowercase();
    let words = letters.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let slug = words.collect::<Vec<_>>().join("-");
    if slug.is_empty() { "list".to_owned() } else { slug }
}

/// The mapping for a list: that of the dealer's list before, else a first draft; none where the list has
/// our own columns.
fn mapping(
    files: &Files,
    add: &Add<'_>,
    list: &SourceText,
    before: Option<&Path>,
) -> Result<Option<String>, NotAdded> {
    let old = before.map(|before| PathBuf::from(mapping_of(&before.display().to_string())));
    let old = old.and_then(|path| open_in(&files.root, &path).ok());
    if let Some(old) = old.and_then(|source| String::from_utf8(source.bytes).ok()) {
        return Ok(Some(carried_on(&old)));
    }
    if !is_dealers_list(list) {
        return Ok(None);
    }
    let draft = draft_mapping(list).map_err(NotAdded::NoTable)?;
    let mut asking = Asking { list: PathBuf::new(), source: list.clone(), mapping: Some(draft) };
    for (column, value) in [("dealer", add.dealer), ("yard", add.yard)] {
        let id = format!("constants.{column}");
        let question = asking.questions().into_iter().find(|question| question.id == id);
        if let (Some(question), Some(value)) = (question, value) {
            asking.answer(&question, value).map_err(NotAdded::NotAnswered)?;
        }
    }
    Ok(asking.mapping)
}

/// A mapping for the dealer's next list: it is for that by its name, and corrections of single cells were
/// for the list before.
fn carried_on(old: &str) -> String {
    let mut kept = String::from("# As for the dealer's list before.\n");
    let mut in_cells = false;
    for line in old.lines() {
        if line.starts_with('[') {
            in_cells = ["[cells]", "[rows]"].contains(&line.trim_end());
        }
        if !in_cells && !line.starts_with("inventory") {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_lists() {
        assert_eq!(slug("Drumfell Reclaim, Inc."), "drumfell-reclaim-inc");
        assert_eq!(slug("?"), "list");
        let day = jiff::civil::date(2026, 5, 31);
        assert_eq!(stem_of(Path::new("lists/spur-2026-05-31.csv")), ("spur".to_owned(), Some(day)));
        assert_eq!(stem_of(Path::new("lists/spur.csv")), ("spur".to_owned(), None));
        assert_eq!(stem_of(Path::new("é.csv")), ("é".to_owned(), None));
    }

    #[test]
    fn a_mapping_goes_on_without_single_cells() {
        let old = "inventory = \"a.csv\"\n[constants]\nyard = \"Y\"\n[cells]\nB2 = { was = \"x\", is = \"1\" }\n[rows]\n3 = { car = \"B9\", out = \"sold\" }\n[headings]\nA = \"ignore\"\n";
        let kept = carried_on(old);
        assert!(kept.contains("yard = \"Y\"") && kept.contains("[headings]"), "{kept}");
        assert!(
            !kept.contains("B2") && !kept.contains("B9") && !kept.contains("inventory"),
            "{kept}"
        );
    }
}
