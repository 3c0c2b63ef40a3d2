//! Dealers' words for our columns. A word is taken only where it can mean one thing; a word that is
//! merely like one of ours is a suggestion for a person.

use super::scheme::Scheme;
use super::squeezed::squeezed;
use crate::read::units::Unit;

/// A header taken apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Words {
    /// All of it, squeezed.
    pub whole: String,
    /// The part before its unit, squeezed; the whole if it states none.
    pub name: String,
    /// Its unit, as in `Length (ft)`, `Length, ft`, `Length [m]`.
    pub unit: Option<Unit>,
}

/// Takes a header apart.
pub(super) fn words(header: &str) -> Words {
    let header = header.trim();
    let whole = squeezed(header);
    let unit = |name: &str, unit: &str| {
        // `Car #` is no weight in pounds.
        let unit = Unit::from_word(unit.trim()).filter(|_| unit.trim() != "#");
        unit.map(|unit| (squeezed(name), unit))
    };
    let parted = match header.rfind(['(', '[']) {
        Some(open) if header.ends_with([')', ']']) => {
            unit(&header[..open], &header[open + 1..header.len() - 1])
        }
        _ => None,
    };
    let parted = parted.or_else(|| {
        let at = header.rfind([',', ' ', '_', '/'])?;
        let (name, word) = header.split_at(at);
        unit(name, &word[1..])
    });
    match parted {
        Some((name, unit)) if !name.is_empty() => Words { whole, name, unit: Some(unit) },
        _ => Words { name: whole.clone(), whole, unit: None },
    }
}

/// Our column of exactly this name, but for case and punctuation.
pub(super) fn ours(words: &Words, scheme: &Scheme) -> Option<usize> {
    scheme.own.iter().position(|own| *own == words.whole)
}

/// Our column that the trade's word means.
pub(super) fn alias(words: &Words, scheme: &Scheme) -> Option<usize> {
    let find = |word: &str| {
        let known = scheme.aliases.iter().find(|(_, aliases)| aliases.contains(&word));
        known.and_then(|(name, _)| scheme.position(name))
    };
    let own = |word: &str| scheme.own.iter().position(|own| own == word);
    find(&words.name).or_else(|| find(&words.whole)).or_else(|| own(&words.name))
}

/// What must be asked of a header that can mean two things; nothing of others.
pub(super) fn asked(words: &Words) -> Option<&'static str> {
    match words.name.as_str() {
        "weight" | "wt" | "lightweight" | "ltweight" | "ltwt" | "tare" | "tareweight"
        | "emptyweight" => Some(
            "ask whether it is with or without the wheel trucks; map it to weight_lb if it is without them, else to `note`",
        ),
        "length" | "decklength" => Some(
            "ask whether it is over the ends or of the deck; map it to length_ft if it is over the ends, else to `note`",
        ),
        "condition" | "cond" => Some("ask of which member; map it to that, or to `note`"),
        _ => None,
    }
}

/// Our column whose name or usual word is most like this header, for a suggestion.
pub(super) fn like(words: &Words, scheme: &Scheme) -> Option<&'static str> {
    let aliases = scheme.aliases.iter();
    let known = aliases.flat_map(|(name, aliases)| aliases.iter().map(move |word| (*name, *word)));
    let own = scheme.columns.iter().map(|column| (column.name, column.name));
    let length = words.name.chars().count();
    let far = length / 3;
    // A header longer than this by far is a remark.
    const LONGEST: usize = 60;
    if length > LONGEST {
        return None;
    }
    known
        .chain(own)
        .map(|(name, word)| {
            let squeezed = squeezed(word);
            (
                strsim::osa_distance(&words.name, &squeezed)
                    .min(strsim::osa_distance(&words.whole, &squeezed)),
                name,
            )
        })
        .filter(|(distance, _)| *distance <= far)
        .min()
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::super::scheme::INVENTORY;
    use super::*;

    #[test]
    fn headers_by_their_usual_words() {
        for (header, column, unit) in [
            ("Length (ft)", Some("length_ft"), Some(Unit::Feet)),
            ("LENGTH, m", Some("length_ft"), Some(Unit::Meters)),
            ("Len. [mm]", Some("length_ft"), Some(Unit::Millimeters)),
            ("Length", Some("length_ft"), None),
            ("length_ft", Some("length_ft"), Some(Unit::Feet)),
            ("Truck Centers", Some("truck_centers_ft"), None),
            ("Car #", Some("car"), None),
            ("CAR NO.", Some("car"), None),
            ("Price ($)", Some("price_usd"), Some(Unit::Dollars)),
            ("Lenght", None, None),
            ("Weight (lb)", None, Some(Unit::Pounds)),
            ("Condition", None, None),
            ("", None, None),
        ] {
            let words = words(header);
            let found = alias(&words, &INVENTORY).map(|at| INVENTORY.columns[at].name);
            assert_eq!((found, words.unit), (column, unit), "{header}");
        }
        assert_eq!(like(&words("Lenght"), &INVENTORY), Some("length_ft"));
        assert_eq!(like(&words("Track"), &INVENTORY), None);
    }
}
