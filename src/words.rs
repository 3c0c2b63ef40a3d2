//! Words that files and people write: the known name nearest to a misspelled one, and the former
//! spelling of names that have changed.

use std::borrow::Cow;

/// Parts of names as files of earlier versions spell them, and as they are spelled now.
const FORMER: &[(&str, &str)] = &[("centre", "center"), ("mobilis", "mobiliz"), ("metre", "meter")];

/// The name most like a misspelled one, if one is like it: at most a third of the letters differ.
pub fn nearest<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let length = word.chars().count();
    let far = length / 3;
    names
        .into_iter()
        // At least as many letters differ as one name is longer, which is quicker to see.
        .filter(|name| length.abs_diff(name.chars().count()) <= far)
        .map(|name| (strsim::osa_distance(&word, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= far)
        .min()
        .map(|(_, name)| name)
}

/// A name in today's spelling: `truck_centres_ft` is `truck_centers_ft`. Files written for earlier
/// versions stay readable that way.
pub fn present_spelling(name: &str) -> Cow<'_, str> {
    let mut now = Cow::Borrowed(name);
    for (former, present) in FORMER {
        let lower = now.to_ascii_lowercase();
        if lower.contains(former) {
            now = Cow::Owned(lower.replace(former, present));
        }
    }
    now
}

/// `a, b or c`.
pub fn one_of<S: AsRef<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<_> = first.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", first.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_are_offered_and_far_ones_are_not() {
        for (word, expected) in [
            ("lenght_ft", Some("length_ft")),
            ("Length_FT", Some("length_ft")),
            ("widht_ft", Some("width_ft")),
            ("color", None),
            ("", None),
        ] {
            assert_eq!(nearest(word, ["length_ft", "width_ft"]), expected, "{word}");
        }
    }

    #[test]
    fn former_spellings_are_the_present_names() {
        for (former, present) in [
            ("truck_centres_ft", "truck_centers_ft"),
            ("Truck_Centres_FT", "truck_centers_ft"),
            ("mobilisation_usd", "mobilization_usd"),
            ("Length_FT", "Length_FT"),
            ("", ""),
        ] {
            assert_eq!(present_spelling(former), present);
        }
    }
}
