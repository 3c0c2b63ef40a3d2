//! `spanyard decide`: appends a decision to the decisions file, if it can be obeyed.

use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::bail;
use spanyard::model::inputs::Inputs;
use spanyard::read::SourceText;
use spanyard::save::{Disk, Lock, Targets};

use super::Answer;
use super::files::{FileArgs, open_text, refusal};
use super::outputs::unusable;

/// Arguments of `decide`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard decide bought car=UD-08 price_usd=10400 note=\"by telephone\"\n  spanyard decide measured car=UD-17 camber_in=2.75\n  spanyard decide dropped crossing=B-19"
)]
pub struct Args {
    /// What was decided: bought, reserved, sold, refused, quoted, measured, answered, fixed, dropped, added
    #[arg(value_name = "KIND")]
    kind: String,

    /// Its keys, as in the file: car=UD-08 price_usd=9400 note="by telephone"; without `dealer` it is
    /// the one dealer who has the car or lot
    #[arg(value_name = "KEY=VALUE", required = true)]
    keys: Vec<String>,

    #[command(flatten)]
    files: FileArgs,
}

/// How long somebody else's `decide` on the same file is waited for; one takes less than a second.
const PATIENCE: Duration = Duration::from_secs(10);

/// Appends, if the files with this decision can be read. From the first look at the decisions file to
/// its last byte nobody else's `decide` is at it: of two that contradict each other the second is
/// refused.
pub fn run(args: &Args, width: usize, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let Some(path) = args.files.decisions() else {
        bail!("name the file to write to with --decisions FILE");
    };
    let path = path.as_path();
    let read = args.files.paths();
    let others: Vec<PathBuf> = read.into_iter().filter(|other| other != path).collect();
    if let Err(wrong) = Targets::default().file("--decisions", Some(path)).check(&others) {
        return Ok(unusable(&wrong));
    }
    let lock = Lock::take(path, PATIENCE)?;
    let before = before(path)?;
    let source = |text: &str| SourceText::new(&path.display().to_string(), text.as_bytes());
    let standing = match args.files.read_with(source(before.as_deref().unwrap_or(HEADER))) {
        Ok(reading) => reading.inputs,
        Err(problems) => return Ok(Answer::refused(refusal(&problems, width))),
    };
    let entry = entry(&args.kind, &args.keys, &standing)?;
    let after = appended(before.as_deref().unwrap_or(HEADER), &entry);
    match args.files.read_with(source(&after)) {
        Err(problems) => Ok(Answer::refused(format!(
            "{}nothing was written to {}\n",
            refusal(&problems, width),
            path.display()
        ))),
        Ok(reading) => {
            // An editor takes no lock. What somebody saved meanwhile is not written over.
            if self::before(path)? != before {
                bail!(
                    "{} was changed meanwhile; nothing was written: run it again",
                    path.display()
                );
            }
            lock.save(disk, after.as_bytes())?;
            let last = reading.inputs.decided.list.last();
            let said = last.map(|decision| decision.sentence()).unwrap_or_default();
            Ok(Answer::done(format!("{said}.\nWritten to {}:\n\n{entry}", path.display())))
        }
    }
}

/// The text of the decisions file as it stands, if it exists.
fn before(path: &Path) -> anyhow::Result<Option<String>> {
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

/// Keys whose values are always texts, also where they look like numbers.
const TEXTS: &[&str] = &["dealer", "car", "lot", "as", "note", "crossing", "section", "road"];

/// The entry as it will stand in the file.
fn entry(kind: &str, keys: &[String], inputs: &Inputs) -> anyhow::Result<String> {
    let mut pairs: Vec<(String, String)> = Vec::new();
    for key in keys {
        let Some((name, value)) = key.split_once('=') else {
            bail!("`{key}` is no KEY=VALUE, such as car=UD-08");
        };
        pairs.push((name.trim().to_owned(), value.trim().to_owned()));
    }
    if !pairs.iter().any(|(name, _)| name == "dealer")
        && let Some(dealer) = dealer_of(&pairs, inputs)?
    {
        pairs.insert(0, ("dealer".to_owned(), dealer));
    }
    let lines = pairs.iter().map(|(name, value)| format!("{name} = {}\n", written(name, value)));
    Ok(format!("[[{kind}]]\n{}", lines.collect::<String>()))
}

/// The one dealer who has the car or lot; none where neither is named.
fn dealer_of(pairs: &[(String, String)], inputs: &Inputs) -> anyhow::Result<Option<String>> {
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
        [] => bail!("no dealer has it; write `dealer=` too"),
        _ => bail!("{} have it; write `dealer=` too", dealers.join(" and ")),
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

#[cfg(test)]
mod tests {
    use super::*;

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
