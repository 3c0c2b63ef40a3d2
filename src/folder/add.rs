//! Adding a dealer's list to a purchase folder: copied under dealer and date, with a mapping drafted and
//! what it must be asked, and compared with the dealer's list before.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::files::{Files, Refusal, stem_of, within};
use super::open::open_in;
use crate::check::Code;
use crate::read::{
    CarBack, FileKind, Problem, ReadBack, SourceText, State, as_csv, draft_mapping,
    is_dealers_list, kind_of, mapping_of, unreadable,
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
    /// What must be said in the mapping, a line each.
    pub questions: Vec<String>,
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
    /// The disk refused.
    #[error(transparent)]
    Unsaved(#[from] Unsaved),
}

/// Adds a list.
///
/// # Errors
/// [`NotAdded`].
pub fn add(files: &Files, add: &Add<'_>, disk: &dyn Disk) -> Result<Added, NotAdded> {
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
    make_folder(disk, &files.at(lists))?;
    save_new(disk, &files.at(&list), &source.bytes)?;
    let mut with = Files { inventories: vec![list.clone()], mappings: Vec::new(), ..files.clone() };
    let mut questions = Vec::new();
    let mut mapping_file = None;
    if let Some(text) = mapping {
        let path = PathBuf::from(mapping_of(&list.display().to_string()));
        // What must be asked is found by reading the list with what is known so far.
        let (draft, asked) = questioned(text, add.source, &named, files);
        questions = asked;
        save_new(disk, &files.at(&path), draft.as_bytes())?;
        with.mappings = vec![path.clone()];
        mapping_file = Some(path);
    }
    let back = with.read_back(&list.display().to_string());
    let since = match (&back, before) {
        (Ok(back), Some(before)) => files
            .read_back(&before.display().to_string())
            .ok()
            .map(|old| (before, since(&old, back, add.day))),
        _ => None,
    };
    Ok(Added { list, mapping: mapping_file, questions, since, back })
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
    let mut draft = draft_mapping(list).map_err(NotAdded::NoTable)?;
    for (key, value) in [("dealer", add.dealer), ("yard", add.yard)] {
        if let Some(value) = value {
            let value = toml::Value::String(value.to_owned()).to_string();
            draft = draft.replace(&format!("# {key} = \"...\"\n"), &format!("{key} = {value}\n"));
        }
    }
    Ok(Some(draft))
}

/// A mapping for the dealer's next list: it is for that by its name, and corrections of single cells were
/// for the list before.
fn carried_on(old: &str) -> String {
    let mut kept = String::from("# As for the dealer's list before.\n");
    let mut in_cells = false;
    for line in old.lines() {
        if line.starts_with('[') {
            in_cells = line.trim_end() == "[cells]";
        }
        if !in_cells && !line.starts_with("inventory") {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    kept
}

/// The draft with a question for each word that is not known, and the questions.
fn questioned(
    mut draft: String,
    _original: &SourceText,
    list: &SourceText,
    files: &Files,
) -> (String, Vec<String>) {
    let own = SourceText::new(&mapping_of(&list.name), draft.as_bytes());
    let Ok(back) = files.read_back_of(list.clone(), own) else { return (draft, Vec::new()) };
    let mut words: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let facts = back.cars.iter().flat_map(|car| &car.facts);
    for fact in facts.filter(|fact| fact.state == State::Unknown && !fact.written.is_empty()) {
        if fact.remarks.iter().any(|remark| remark.starts_with(Code::WordUnsure.id())) {
            *words.entry((fact.column, &fact.written)).or_default() += 1;
        }
    }
    if words.is_empty() {
        return (draft, Vec::new());
    }
    draft.push_str("\n# Questions, one for each word. Look at the cars or ask the dealer; then remove the # before\n# what holds. What nobody answers stays unknown, and an unknown member bars its car.\n");
    let (mut questions, mut last) = (Vec::new(), "");
    for ((column, word), cells) in words {
        if column != last {
            draft.push_str(&format!("# [words.{column}]\n"));
            last = column;
        }
        let text = toml::Value::String(word.to_owned());
        let noun = if cells == 1 { "cell" } else { "cells" };
        draft.push_str(&format!("# {text} = \"...\"    # {cells} {noun}\n"));
        questions.push(format!("{column}: what does {text} mean? It stands in {cells} {noun}"));
    }
    (draft, questions)
}

/// What changed from a dealer's list to the next one.
fn since(old: &ReadBack, new: &ReadBack, day: Date) -> Vec<String> {
    let by_id = |back: &ReadBack| -> BTreeMap<String, CarBack> {
        back.cars.iter().map(|car| (car.car.clone(), car.clone())).collect()
    };
    let (old, new) = (by_id(old), by_id(new));
    let mut lines = Vec::new();
    let listed = |what: &str, ids: Vec<&String>, lines: &mut Vec<String>| {
        if !ids.is_empty() {
            let ids: Vec<&str> = ids.into_iter().map(String::as_str).collect();
            lines.push(format!("{what}: {}", ids.join(", ")));
        }
    };
    listed("new", new.keys().filter(|id| !old.contains_key(*id)).collect(), &mut lines);
    listed("gone", old.keys().filter(|id| !new.contains_key(*id)).collect(), &mut lines);
    let get = |car: &CarBack, column: &str| {
        let fact = car.facts.iter().find(|fact| fact.column == column);
        fact.map(|fact| fact.understood.clone()).unwrap_or_default()
    };
    let dollars = |text: &str| {
        let digits: String = text.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
        digits.parse::<f64>().ok()
    };
    for (id, car) in &new {
        let Some(before) = old.get(id) else { continue };
        let (was, is) = (get(before, "price_usd"), get(car, "price_usd"));
        if let (Some(before), Some(now)) = (dollars(&was), dollars(&is))
            && before != now
        {
            let word = if now < before { "cheaper" } else { "dearer" };
            lines.push(format!("{word}: {id}, {is} and before {was}"));
        }
        let mut columns: Vec<&str> = car.facts.iter().map(|fact| fact.column).collect();
        columns.extend(before.facts.iter().map(|fact| fact.column));
        columns.sort_unstable();
        columns.dedup();
        let apart = ["price_usd", "quote_expires", "notes", "car", "dealer"];
        for column in columns.into_iter().filter(|column| !apart.contains(column)) {
            let (was, is) = (get(before, column), get(car, column));
            if was != is {
                let said = |text: &str| if text.is_empty() { "unknown" } else { text }.to_owned();
                lines.push(format!(
                    "changed: {id} {column}, {} and before {}",
                    said(&is),
                    said(&was)
                ));
            }
        }
    }
    let ended = new.iter().filter(|(_, car)| {
        get(car, "quote_expires").parse::<Date>().is_ok_and(|until| until < day)
    });
    listed("expired", ended.map(|(id, _)| id).collect(), &mut lines);
    if lines.is_empty() {
        lines.push("nothing changed".to_owned());
    }
    lines
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
        let old = "inventory = \"a.csv\"\n[constants]\nyard = \"Y\"\n[cells]\nB2 = { was = \"x\", is = \"1\" }\n[headings]\nA = \"ignore\"\n";
        let kept = carried_on(old);
        assert!(kept.contains("yard = \"Y\"") && kept.contains("[headings]"), "{kept}");
        assert!(!kept.contains("B2") && !kept.contains("inventory"), "{kept}");
    }
}
