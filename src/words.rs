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

/// Whether a character shows nothing, or changes the direction of the text around it, so that what is
/// read is not what stands there.
#[must_use]
pub fn is_hidden(character: char) -> bool {
    matches!(
        character,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}'
    )
}

/// Text for people as a terminal may have it: what would move its cursor, change its colors or turn
/// its letters round is shown as a sign for it. Line ends and tabs stay.
///
/// ```
/// assert_eq!(spanyard::words::for_terminal("a\u{1b}[2J\u{202e}b\n"), "a␛[2J\u{fffd}b\n");
/// ```
#[must_use]
pub fn for_terminal(text: &str) -> Cow<'_, str> {
    if !text.contains(is_trick) {
        return Cow::Borrowed(text);
    }
    let sign = |c: char| match c {
        '\u{0}'..='\u{1f}' if is_trick(c) => {
            char::from_u32(0x2400 + u32::from(c)).unwrap_or('\u{fffd}')
        }
        '\u{7f}' => '\u{2421}',
        c if is_trick(c) => '\u{fffd}',
        c => c,
    };
    Cow::Owned(text.chars().map(sign).collect())
}

/// A page or drawing in which no value turns the letters around it round, or hides some of its own: each
/// such character is shown as a sign.
///
/// ```
/// assert_eq!(spanyard::words::for_page("<p>a\u{202e}b</p>".to_owned()), "<p>a\u{fffd}b</p>");
/// ```
#[must_use]
pub fn for_page(html: String) -> String {
    if !html.contains(is_hidden) {
        return html;
    }
    html.chars().map(|c| if is_hidden(c) { '\u{fffd}' } else { c }).collect()
}

/// JSON with the same characters escaped, which is the same JSON.
///
/// ```
/// assert_eq!(spanyard::words::for_json("{\"a\": \"\u{9b}5m\"}"), "{\"a\": \"\\u009b5m\"}");
/// ```
#[must_use]
pub fn for_json(text: &str) -> Cow<'_, str> {
    if !text.contains(is_trick) {
        return Cow::Borrowed(text);
    }
    let mut escaped = String::with_capacity(text.len() + 64);
    for c in text.chars() {
        if is_trick(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                escaped.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            escaped.push(c);
        }
    }
    Cow::Owned(escaped)
}

/// Whether a character would play a trick on a terminal.
fn is_trick(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t')) || is_hidden(c)
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
