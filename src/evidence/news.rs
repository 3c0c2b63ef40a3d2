//! Bad news in the words of a list. A word alone never decides it: it is a question, and only a plain
//! denial is told from news.

use crate::model::rules::EvidenceRules;

/// Words that deny what follows.
const DENIALS: &[&str] = &["no", "not", "never", "without", "nor"];

/// Words that may stand between a denial and what it denies.
const BETWEEN: &[&str] = &["known", "visible", "apparent", "any", "been", "obvious"];

/// Words of a list that are like bad news by a letter, and are none.
const HARMLESS: &[&str] =
    &["scraped", "scrape", "broker", "brokers", "brakes", "braked", "braking", "bucket", "buckets"];

/// One piece of bad news.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct News {
    /// The words as the list has them.
    pub words: String,
    /// Whether the list plainly denies it: `no cracks`, `never wrecked`, `crack-free`.
    pub denied: bool,
}

/// The bad news in a text, in its order.
#[must_use]
pub fn news(text: &str, rules: &EvidenceRules) -> Vec<News> {
    let lower = text.to_lowercase();
    let words: Vec<&str> = tokens(&lower).collect();
    let mut found: Vec<(usize, News)> = Vec::new();
    for (phrases, may_be_denied) in [(&rules.not_for_sale, false), (&rules.harm, true)] {
        for phrase in phrases {
            let wanted: Vec<&str> = phrase
                .split(|c: char| !(c.is_alphanumeric() || c == '*'))
                .filter(|w| !w.is_empty())
                .collect();
            if wanted.is_empty() {
                continue;
            }
            for (at, here) in words.windows(wanted.len()).enumerate() {
                if here.iter().zip(&wanted).all(|(word, wanted)| is(word, wanted)) {
                    let denied = may_be_denied && is_denied(&words, at, wanted.len());
                    found.push((at, News { words: here.join(" "), denied }));
                }
            }
        }
    }
    found.sort_by_key(|(at, _)| *at);
    found.dedup_by(|a, b| a.0 == b.0);
    found.into_iter().map(|(_, news)| news).collect()
}

fn tokens(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty())
}

/// Whether a word is the one of the list, or begins like it where that ends with a star; of six
/// letters or more one may be wrong, but not the first.
fn is(word: &str, wanted: &str) -> bool {
    const LONG: usize = 6;
    let (stem, whole) = match wanted.strip_suffix('*') {
        Some(stem) => (stem, false),
        None => (wanted, true),
    };
    if HARMLESS.contains(&word) {
        return false;
    }
    if word == stem || (!whole && word.starts_with(stem)) {
        return true;
    }
    let length = stem.chars().count();
    let like = |part: &str| strsim::osa_distance(part, stem) <= 1;
    let beginning = |count: usize| word.chars().take(count).collect::<String>();
    // "torch*" is short, and "torched" is a long word all the same.
    let long = length >= LONG || !whole && length + 1 >= LONG && word.chars().count() >= LONG;
    long && word.chars().next() == stem.chars().next()
        && if whole { like(word) } else { (length - 1..=length + 1).any(|n| like(&beginning(n))) }
}

/// Whether a denial stands right before these words, itself not denied, or `free` right behind them.
fn is_denied(words: &[&str], at: usize, length: usize) -> bool {
    if words.get(at + length) == Some(&"free") {
        return true;
    }
    let before = |back: usize| at.checked_sub(back).and_then(|place| words.get(place).copied());
    let denies = |back: usize| {
        before(back).is_some_and(|word| DENIALS.contains(&word))
            && !before(back + 1).is_some_and(|word| DENIALS.contains(&word))
    };
    denies(1) || (before(1).is_some_and(|word| BETWEEN.contains(&word)) && denies(2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::rules::{DEFAULT_RULES, Rules};

    fn found(text: &str) -> Vec<(String, bool)> {
        let rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
        news(text, &rules.evidence).into_iter().map(|news| (news.words, news.denied)).collect()
    }

    #[test]
    fn bad_news_is_found_in_the_words_of_lists() {
        for text in [
            "SOLD 5/20",
            "P11 (sold)",
            "on hold for a customer",
            "deposit taken",
            "spoken for",
            "do not sell",
            "center sill cracked at bolster; was in derailment 1994",
            "crkd at the pocket",
            "side sill bent",
            "B/O",
            "bad order since March",
            "derialed twice",
            "rusted through",
            "weld-repaired",
            "straightened",
            "burnt on one side",
            "in a wreck",
            "was on hold, released 5/12",
            "repaired and certified",
            "not without cracks",
            "no doubt cracked",
            "not for the faint: bent",
            "not sold yet",
        ] {
            let found = found(text);
            assert!(found.iter().any(|(_, denied)| !denied), "{text}: {found:?}");
        }
    }

    #[test]
    fn a_plain_denial_is_told_apart() {
        for text in [
            "no cracks",
            "No cracks seen.",
            "never wrecked",
            "not bent",
            "crack-free",
            "no visible cracks",
            "without repairs",
        ] {
            let found = found(text);
            assert!(
                !found.is_empty() && found.iter().all(|(_, denied)| *denied),
                "{text}: {found:?}"
            );
        }
        for text in [
            "planks good",
            "same order as UD-08",
            "paint tested and holding",
            "",
            "scraped along one side",
            "one corner plank split by a fork truck, since replaced",
        ] {
            assert_eq!(found(text), [], "{text}");
        }
    }
}
