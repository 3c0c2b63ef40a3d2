//! Two hundred wordings of bad news, none of which is laid: made from stems, abbreviations, words with one
//! letter wrong, and denials that deny nothing.

use spanyard::check::{Code, Outcome};

use crate::testkit::fixture::asked_all;
use crate::testkit::rng::Rng;

/// Bad news as lists say it, common practice, no source.
const NEWS: [&str; 34] = [
    "cracked",
    "crack at pocket",
    "crkd",
    "fractured",
    "broken flange",
    "bent",
    "bowed",
    "buckled web",
    "kinked",
    "twisted",
    "sagging",
    "derailed",
    "derailment",
    "wreck",
    "wrecked",
    "accident",
    "collision",
    "fire damage",
    "burnt",
    "rusted through",
    "rotten",
    "scrap",
    "condemned",
    "bad order",
    "B/O",
    "torched",
    "holes",
    "missing",
    "patched",
    "welded repair",
    "spliced",
    "straightened",
    "rebuilt",
    "repaired",
];

/// Where they stand.
const FRAMES: [&str; 8] = [
    "{}",
    "{} at A end",
    "car no. 7, {}, priced to move",
    "center sill {}",
    "{} 1994",
    "(was {})",
    "good car but {}",
    "NOTE: {}!",
];

/// Denials that do not deny it.
const NOT_DENIED: [&str; 5] =
    ["no doubt {}", "not without {}", "no longer {}", "only {}", "not only {}"];

/// A letter of a word of six or more left out, doubled or swapped with the next, but the first.
fn misspelled(word: &str, rng: &mut Rng) -> String {
    let letters: Vec<char> = word.chars().collect();
    let long = letters.iter().position(|c| !c.is_alphabetic()).unwrap_or(letters.len());
    if long < 7 {
        return word.to_owned();
    }
    let at = rng.int(1, 4) as usize;
    let mut wrong = letters.clone();
    match rng.int(0, 2) {
        0 => drop(wrong.remove(at)),
        1 => wrong.insert(at, letters[at]),
        _ => wrong.swap(at, at + 1),
    }
    wrong.into_iter().collect()
}

#[test]
fn no_wording_of_bad_news_is_laid() {
    let mut rng = Rng::new(200);
    let mut missed = Vec::new();
    let mut tried = 0;
    while tried < 200 {
        let mut news = rng.pick(&NEWS).to_owned();
        if rng.chance(0.3) {
            news = misspelled(&news, &mut rng);
        }
        if rng.chance(0.3) {
            news = news.to_uppercase();
        }
        let frame = if rng.chance(0.2) { rng.pick(&NOT_DENIED) } else { rng.pick(&FRAMES) };
        let text = frame.replace("{}", &news);
        tried += 1;
        let checks = asked_all(Code::BadNews, |inputs| inputs.cars[0].notes = Some(text.clone()));
        if !checks.iter().any(|check| check.outcome == Outcome::Unknown) {
            missed.push(text);
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}
