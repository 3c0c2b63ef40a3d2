//! Writing a decision: appended to the decisions file, if the files can be read with it.

use std::path::{Path, PathBuf};
use std::time::Duration;

use super::change::{NotChanged, replace};
use super::files::{Files, Refusal};
use super::open::{Unread, open_text};
use crate::model::inputs::Inputs;
use crate::read::SourceText;
use crate::save::{Disk, Lock, NotLocked, Targets, Unsaved, Unusable};
use crate::words::nearest;

/// A decision as it was written.
#[derive(Clone, Debug)]
pub struct Decided {
    /// What it says.
    pub sentence: String,
    /// The file that it was written to.
    pub file: PathBuf,
    /// Its lines in there.
    pub entry: String,
}

/// Why a decision was not written. Nothing was, then.
#[derive(Debug, thiserror::Error)]
pub enum NotDecided {
    /// No file to write to is named.
    #[error("name the file to write to with --decisions FILE")]
    NoFile,
    /// The file cannot be written, or is another file of the purchase.
    #[error("the decisions file cannot be written")]
    Unusable(Vec<Unusable>),
    /// The files cannot be read as they stand.
    #[error("the files have problems")]
    Standing(Refusal),
    /// The files cannot be read with the decision.
    #[error("the decision cannot be obeyed; nothing was written to {}", .1.display())]
    Refused(Refusal, PathBuf),
    /// Another program is at the file.
    #[error(transparent)]
    NotLocked(#[from] NotLocked),
    /// There is no decision to take back.
    #[error("there is no decision to take back")]
    NothingToUndo,
    /// The file as it stands cannot be read.
    #[error(transparent)]
    Unread(#[from] Unread),
    /// The file was saved by somebody else while this was worked out.
    #[error("{} was changed meanwhile; nothing was written: run it again", .0.display())]
    Changed(PathBuf),
    /// The disk refused.
    #[error(transparent)]
    Unsaved(#[from] Unsaved),
    /// It stands as it was.
    #[error(transparent)]
    NotChanged(#[from] NotChanged),
    /// No dealer, or more than one, has the car or lot.
    #[error("{0}; write `dealer=` too")]
    WhoseCar(String),
}

/// How long somebody else who changes the same file is waited for; a decision takes less than a second.
const PATIENCE: Duration = Duration::from_secs(10);

/// Appends a decision, of a kind with its keys and values, if the files with it can be read. From the
/// first look at the decisions file to its last byte nobody else's decision is written: of two that
/// contradict each other the second is refused.
///
/// # Errors
/// [`NotDecided`].
pub fn decide(
    files: &Files,
    kind: &str,
    keys: &[(String, String)],
    disk: &dyn Disk,
) -> Result<Decided, NotDecided> {
    change(files, &Asked::Entry(kind, keys), Some(disk))
}

/// As [`decide`], and nothing is written.
///
/// # Errors
/// [`NotDecided`].
pub fn try_out(
    files: &Files,
    kind: &str,
    keys: &[(String, String)],
) -> Result<Decided, NotDecided> {
    change(files, &Asked::Entry(kind, keys), None)
}

/// Takes the last decision back, if the files can be read without it; without a disk nothing is written.
///
/// # Errors
/// [`NotDecided`].
pub fn undo(files: &Files, disk: Option<&dyn Disk>) -> Result<Decided, NotDecided> {
    change(files, &Asked::Undo, disk)
}

/// What is done to the decisions file.
enum Asked<'a> {
    /// A decision more, of a kind with its keys.
    Entry(&'a str, &'a [(String, String)]),
    /// The last one less.
    Undo,
}

fn change(
    files: &Files,
    asked: &Asked<'_>,
    disk: Option<&dyn Disk>,
) -> Result<Decided, NotDecided> {
    let name = files.decided_in.as_deref().ok_or(NotDecided::NoFile)?;
    let path = files.at(name);
    let others: Vec<PathBuf> =
        files.paths().filter(|other| *other != name).map(|other| files.at(other)).collect();
    let target = Targets::default().file("--decisions", Some(&path));
    target.check(&others).map_err(NotDecided::Unusable)?;
    let lock = Lock::take(&path, PATIENCE)?;
    let before = standing(&path)?;
    let so_far = before.as_deref().unwrap_or(HEADER);
    let source = |text: &str| SourceText::new(&name.display().to_string(), text.as_bytes());
    let inputs = match asked {
        // What stands may be what is to be undone.
        Asked::Undo => None,
        Asked::Entry(..) => {
            Some(files.read_with(source(so_far)).map_err(NotDecided::Standing)?.inputs)
        }
    };
    let (after, entry) = match (asked, &inputs) {
        (Asked::Entry(kind, keys), Some(inputs)) => {
            let entry = entry(kind, keys, inputs)?;
            (appended(so_far, &entry), entry)
        }
        _ => {
            let (kept, undone) = without_last(so_far).ok_or(NotDecided::NothingToUndo)?;
            (format!("{kept}\n"), undone.to_owned())
        }
    };
    let reading = files
        .read_with(source(&after))
        .map_err(|refusal| NotDecided::Refused(refusal, name.to_owned()))?;
    // An editor takes no lock. What somebody saved meanwhile is not written over.
    if standing(&path)? != before {
        return Err(NotDecided::Changed(name.to_owned()));
    }
    if let Some(disk) = disk {
        lock.save(disk, after.as_bytes())?;
    }
    let last = reading.inputs.decided.list.last();
    let sentence = match asked {
        Asked::Undo => "the last decision is taken back".to_owned(),
        Asked::Entry(..) => last.map(|decision| decision.sentence()).unwrap_or_default(),
    };
    Ok(Decided { sentence, file: name.to_owned(), entry })
}

/// The text of the decisions file as it stands, if it exists.
fn standing(path: &Path) -> Result<Option<String>, Unread> {
    if path.symlink_metadata().is_err() { Ok(None) } else { open_text(path).map(Some) }
}

/// The first lines of a new file.
const HEADER: &str =
    "# What was decided since the plan, newest last. docs/formats.md tells the kinds and keys.\n";

/// A file's text with one entry more behind it.
fn appended(before: &str, entry: &str) -> String {
    let separated = if before.ends_with('\n') || before.is_empty() { "" } else { "\n" };
    format!("{before}{separated}\n{entry}")
}

/// A file's text without its last entry, and that entry; nothing where there is none.
fn without_last(text: &str) -> Option<(&str, &str)> {
    let begins = |at: &usize| text[*at..].starts_with("[[");
    let mut lines = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1));
    let at = lines.rfind(begins)?;
    Some((text[..at].trim_end(), &text[at..]))
}

/// Keys whose values are always texts, also where they look like numbers.
const TEXTS: &[&str] = &[
    "dealer",
    "car",
    "cars",
    "lot",
    "as",
    "note",
    "crossing",
    "section",
    "road",
    "vehicles",
    "deck",
    "fund",
    "pier_layouts_ft",
    "other_for",
];

/// The entry as it will stand in the file.
fn entry(kind: &str, keys: &[(String, String)], inputs: &Inputs) -> Result<String, NotDecided> {
    let mut pairs = keys.to_vec();
    if !pairs.iter().any(|(name, _)| name == "dealer")
        && let Some(dealer) = dealer_of(&pairs, inputs)?
    {
        pairs.insert(0, ("dealer".to_owned(), dealer));
    }
    let lines = pairs.iter().map(|(name, value)| format!("{name} = {}\n", written(name, value)));
    Ok(format!("[[{kind}]]\n{}", lines.collect::<String>()))
}

/// The one dealer who has the car or lot; none where neither is named.
fn dealer_of(pairs: &[(String, String)], inputs: &Inputs) -> Result<Option<String>, NotDecided> {
    let get = |key: &str| pairs.iter().find(|(name, _)| name == key).map(|(_, value)| value);
    let mut dealers: Vec<&str> = match (get("car"), get("lot")) {
        (Some(id), _) => {
            let cars = inputs.cars.iter().filter(|car| car.id == *id);
            cars.map(|car| car.dealer.as_str()).collect()
        }
        (_, Some(name)) => {
            let lots = inputs.lots.iter().filter(|lot| lot.name == *name);
            lots.map(|lot| lot.dealer.as_str()).collect()
        }
        _ => return Ok(None),
    };
    dealers.dedup();
    match dealers[..] {
        [only] => Ok(Some(only.to_owned())),
        [] => {
            let name = get("car").or(get("lot")).map_or("", String::as_str);
            let cars = inputs.cars.iter().map(|car| car.id.as_str());
            let known = cars.chain(inputs.lots.iter().map(|lot| lot.name.as_str()));
            let near = match nearest(name, known) {
                Some(near) => format!("; write {near} if that is meant"),
                None => String::new(),
            };
            Err(NotDecided::WhoseCar(format!("no dealer has {name}{near}")))
        }
        _ => Err(NotDecided::WhoseCar(format!("{} have it", dealers.join(" and ")))),
    }
}

/// A value as TOML: numbers and days bare, everything else in quotes.
fn written(name: &str, value: &str) -> String {
    let bare = value.parse::<f64>().is_ok_and(f64::is_finite)
        && value.chars().all(|c| c.is_ascii_digit() || ".-".contains(c))
        && value.parse::<toml::Value>().is_ok();
    let day = value.len() == 10 && value.parse::<jiff::civil::Date>().is_ok();
    if (bare || day) && !TEXTS.contains(&name) {
        value.to_owned()
    } else {
        toml::Value::String(value.to_owned()).to_string()
    }
}

/// Takes a decision back: its lines are cut out of the file, and what stood there is kept among the
/// earlier states. The number counts the decisions from 0, `was` names the state in which it was seen.
///
/// # Errors
/// [`NotDecided`].
pub fn take_back(
    files: &Files,
    number: usize,
    was: &str,
    disk: &dyn Disk,
) -> Result<String, NotDecided> {
    let name = files.decided_in.as_deref().ok_or(NotDecided::NoFile)?;
    let text = open_text(&files.at(name))?;
    let source = |text: &str| SourceText::new(&name.display().to_string(), text.as_bytes());
    let reading = files.read_with(source(&text)).map_err(NotDecided::Standing)?;
    let list = &reading.inputs.decided.list;
    let none = || NotDecided::Changed(name.to_owned());
    let decision = list.get(number).ok_or_else(none)?;
    let after = without(&text, decision.place.line).ok_or_else(none)?;
    let reading = files
        .read_with(source(&after))
        .map_err(|refusal| NotDecided::Refused(refusal, name.to_owned()))?;
    // What was cut out is one decision and nothing else, however the file is written.
    if reading.inputs.decided.list.len() + 1 != list.len() {
        return Err(none());
    }
    let sentence = decision.sentence();
    replace(disk, &files.root, name, after.as_bytes(), was)?;
    Ok(sentence)
}

/// A decisions file without the entry that begins in a line.
fn without(text: &str, line: u64) -> Option<String> {
    let lines: Vec<&str> = text.lines().collect();
    let first = usize::try_from(line).ok()?.checked_sub(1)?;
    let begins = |line: &&str| line.trim_start().starts_with("[[");
    lines.get(first).filter(|line| begins(line))?;
    let length = lines[first + 1..].iter().position(begins).map_or(lines.len() - first, |n| n + 1);
    let kept = lines[..first].iter().chain(&lines[first + length..]);
    let mut kept: String = kept.map(|line| format!("{line}\n")).collect();
    while kept.ends_with("\n\n") {
        kept.pop();
    }
    Some(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_is_cut_out_whole() {
        let text = "# head\n\n[[sold]]\ncar = \"A\"\n\n[[dropped]]\ncrossing = \"B\"\n";
        assert_eq!(without(text, 3).unwrap(), "# head\n\n[[dropped]]\ncrossing = \"B\"\n");
        assert_eq!(without(text, 6).unwrap(), "# head\n\n[[sold]]\ncar = \"A\"\n");
        assert_eq!(without(text, 4), None);
        assert_eq!(without(text, 0), None);
        assert_eq!(without(text, 99), None);
    }

    #[test]
    fn the_last_entry_is_taken_from_the_end() {
        let text = "# head\n\n[[sold]]\ncar = \"A\"\n\n[[dropped]]\ncrossing = \"B [[x\"\n";
        let (kept, last) = without_last(text).unwrap();
        assert_eq!(kept, "# head\n\n[[sold]]\ncar = \"A\"");
        assert_eq!(last, "[[dropped]]\ncrossing = \"B [[x\"\n");
        assert_eq!(without_last("# head\n"), None);
    }

    #[test]
    fn values_as_toml() {
        for (name, value, text) in [
            ("price_usd", "9400", "9400"),
            ("camber_in", "-0.25", "-0.25"),
            ("until", "2026-06-30", "2026-06-30"),
            ("car", "12", "\"12\""),
            ("count", "007", "\"007\""),
            ("main_girder", "corroded 8", "\"corroded 8\""),
        ] {
            assert_eq!(written(name, value), text);
        }
        let note = written("note", "he said \"no\"\\");
        let table: toml::Table = format!("note = {note}").parse().unwrap();
        assert_eq!(table["note"].as_str(), Some("he said \"no\"\\"));
    }
}
