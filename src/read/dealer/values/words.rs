//! Words of a dealer's cells: kinds, yes and no, conditions.

use std::borrow::Cow;

use super::{Asks, Meaning, Outcome, note};
use crate::check::Code;

/// Words of the trade that can mean one thing only.
const SAME: [(&str, &str, &str); 14] = [
    ("kind", "flatcar", "flat"),
    ("kind", "flat car", "flat"),
    ("kind", "box car", "boxcar"),
    ("kind", "bulkhead flatcar", "bulkhead flat"),
    ("kind", "autorack", "car hauler"),
    ("deck", "wood", "timber"),
    ("deck", "wooden", "timber"),
    ("deck", "planks", "timber"),
    ("deck", "steel", "steel plate"),
    ("deck", "no deck", "none"),
    ("deck_condition", "rotten", "failed"),
    ("coating", "gone", "failed"),
    ("lead", "lead free", "lead-free"),
    ("lead", "leaded", "lead"),
];

/// Left unknown, for a person to look at.
fn unsure<'t>(meaning: &Meaning<'_>) -> Outcome<'t> {
    let column = meaning.column();
    let instead = match meaning.scheme.mappable {
        true => {
            format!("look at the car, and add the word to [words.{}] of the mapping", column.name)
        }
        false => format!("write {}", column.content.allowed()),
    };
    if !meaning.scheme.blank_is_unknown(column) {
        return Err(note(Code::WordUnsure, "is not a word of ours", instead).asking(Asks::Word));
    }
    let note = note(Code::WordUnsure, "is not a word of ours and is left unknown", instead);
    Ok((Cow::Borrowed(""), Some(note.asking(Asks::Word))))
}

pub(super) fn word<'t>(lower: &str, words: &[&'static str], meaning: &Meaning<'_>) -> Outcome<'t> {
    let column = meaning.column();
    let one_line = lower.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some(word) = words.iter().find(|word| word.eq_ignore_ascii_case(&one_line)) {
        return Ok((Cow::Borrowed(word), None));
    }
    let same = SAME.iter().find(|(name, word, _)| *name == column.name && *word == one_line);
    match same {
        Some((.., ours)) => Ok((Cow::Borrowed(ours), None)),
        None => unsure(meaning),
    }
}

pub(super) fn yes_no<'t>(lower: &str, meaning: &Meaning<'_>) -> Outcome<'t> {
    match lower.trim_end_matches('.') {
        "yes" | "y" | "true" | "wrecked" => Ok((Cow::Borrowed("yes"), None)),
        "no" | "n" | "false" | "never" | "not wrecked" => Ok((Cow::Borrowed("no"), None)),
        _ => unsure(meaning),
    }
}

/// A condition. Good news is taken only in our own words; bad news also where it is plain in itself,
/// a bad word beside the name of a member: `bent x-member`.
pub(super) fn condition<'t>(text: &str, lower: &str, meaning: &Meaning<'_>) -> Outcome<'t> {
    let column = meaning.column();
    if matches!(lower, "sound" | "bent" | "cracked" | "missing")
        || lower.starts_with("corroded ") && lower.contains(|c: char| c.is_ascii_digit())
    {
        return Ok((Cow::Owned(text.to_lowercase()), None));
    }
    if lower == "corroded" {
        let wrong = "does not say how much is lost, and is left unknown";
        let instead = "measure it, and write the loss in per cent, like corroded 8";
        return Ok((Cow::Borrowed(""), Some(note(Code::WordUnsure, wrong, instead))));
    }
    const BAD: [(&str, &str); 8] = [
        ("bent", "bent"),
        ("buckled", "bent"),
        ("cracked", "cracked"),
        ("crack", "cracked"),
        ("broken", "cracked"),
        ("missing", "missing"),
        ("gone", "missing"),
        ("bowed", "bent"),
    ];
    const BESIDE: [&str; 30] = [
        "x",
        "cross",
        "member",
        "members",
        "girder",
        "girders",
        "main",
        "exterior",
        "side",
        "sill",
        "sills",
        "stringer",
        "stringers",
        "bolster",
        "bolsters",
        "flange",
        "web",
        "left",
        "right",
        "top",
        "bottom",
        "one",
        "two",
        "end",
        "ends",
        "at",
        "a",
        "the",
        "in",
        "l",
    ];
    let mut found = None;
    for token in lower.split(|c: char| !c.is_alphanumeric()).filter(|token| !token.is_empty()) {
        match BAD.iter().find(|(word, _)| *word == token) {
            Some((_, class)) if found.is_none_or(|found| found == *class) => found = Some(*class),
            None if BESIDE.contains(&token) => {}
            _ => return unsure(meaning),
        }
    }
    match found {
        Some(class) => {
            let wrong = format!("is taken as {class}");
            let instead = format!(
                "if it means something else, add it to [words.{}] of the mapping",
                column.name
            );
            Ok((Cow::Borrowed(class), Some(note(Code::WordUnsure, wrong, instead))))
        }
        None => unsure(meaning),
    }
}
