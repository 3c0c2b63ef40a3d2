//! Dealers' words for our columns. A word is taken only where it can mean one thing; a word that is
//! merely like one of ours is a suggestion for a person.

use std::sync::LazyLock;

use crate::read::columns::Columns;
use crate::read::inventory::Inventory;
use crate::read::units::Unit;
use crate::words::present_spelling;

/// A header without case, blanks and punctuation. What marks a difference in meaning stays.
pub(super) fn squeezed(header: &str) -> String {
    present_spelling(header)
        .chars()
        .filter(|c| c.is_alphanumeric() || matches!(c, '#' | '%' | '$'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// The trade's words by our columns, squeezed. Left out on purpose, because they mean different
/// things with different dealers: "weight" and "light weight" (with or without the wheel trucks),
/// "deck length", "location", "class", "condition".
const ALIASES: &[(&str, &[&str])] = &[
    ("car", &["car#", "carno", "carnumber", "carid", "stockno", "stock#", "stocknumber"]),
    ("dealer", &["seller", "vendor"]),
    ("yard", &["yardname"]),
    ("lot", &["lot#", "lotno", "lotnumber", "lotid"]),
    ("quantity", &["qty", "count", "noofcars", "numberofcars"]),
    ("kind", &["cartype", "kindofcar", "typeofcar"]),
    ("section", &["series", "carseries", "sectiontype"]),
    ("length_ft", &["length", "len", "overalllength", "lengthoverends", "lengthoverall"]),
    ("truck_centers_ft", &["truckcenters", "truckctrs", "trkctrs", "tctc"]),
    ("width_ft", &["width", "overallwidth", "widthoversides", "widthoverall"]),
    ("camber_in", &["camber", "camberatmidlength", "camberatcenter"]),
    ("year_built", &["yearbuilt", "yrbuilt", "built", "blt", "builtyear", "yearofbuilding"]),
    ("yield_ksi", &["yield", "yieldstrength", "fy"]),
    ("modulus_in3", &["sectionmodulus", "maingirdermodulus", "maingirdersectionmodulus"]),
    ("modulus_source", &["modulusfrom", "sourceofmodulus"]),
    ("exterior_depth_in", &["sidesilldepth", "exteriorgirderdepth"]),
    ("weight_lb", &["weightwithouttrucks", "weightlesstrucks", "weightwotrucks", "wtlesstrucks"]),
    ("deck", &["decking", "decktype", "deckmaterial"]),
    ("deck_condition", &["deckcond", "deckingcondition"]),
    ("coating", &["paint", "paintcondition"]),
    ("lead", &["leadtest", "leadpaint", "leadinpaint"]),
    ("main_girder", &["centersill", "maingirder"]),
    ("exterior_girders", &["sidesills", "exteriorgirders"]),
    ("bolsters", &["bodybolsters"]),
    ("cross_members", &["crossmembers", "xmembers"]),
    ("wrecked", &["wreck", "everwrecked", "wreckhistory"]),
    (
        "price_usd",
        &["price", "priceeach", "priceea", "unitprice", "askingprice", "asking", "pricepercar"],
    ),
    ("quote_expires", &["quoteexpires", "quotevaliduntil", "validuntil", "validto", "goodthrough"]),
    ("available", &["availability", "avail", "availablefrom"]),
    ("notes", &["note", "remarks", "remark", "comments", "comment"]),
];

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

/// The names of our columns, squeezed.
static OWN: LazyLock<Vec<String>> =
    LazyLock::new(|| Inventory::ALL.iter().map(|column| squeezed(column.name)).collect());

/// Our column of exactly this name, but for case and punctuation.
pub(super) fn ours(words: &Words) -> Option<usize> {
    OWN.iter().position(|own| *own == words.whole)
}

/// Our column that the trade's word means.
pub(super) fn alias(words: &Words) -> Option<usize> {
    let find = |word: &str| {
        let known = ALIASES.iter().find(|(_, aliases)| aliases.contains(&word));
        known.and_then(|(name, _)| Inventory::ALL.iter().position(|column| column.name == *name))
    };
    let own = |word: &str| OWN.iter().position(|own| own == word);
    find(&words.name).or_else(|| find(&words.whole)).or_else(|| own(&words.name))
}

/// Our column whose name or usual word is most like this header, for a suggestion.
pub(super) fn like(words: &Words) -> Option<&'static str> {
    let known =
        ALIASES.iter().flat_map(|(name, aliases)| aliases.iter().map(move |word| (*name, *word)));
    let own = Inventory::ALL.iter().map(|column| (column.name, column.name));
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
    use super::*;

    #[test]
    fn aliases_are_squeezed_and_mean_one_column_each() {
        let mut seen = std::collections::HashSet::new();
        for (name, aliases) in ALIASES {
            assert!(Inventory::ALL.iter().any(|column| column.name == *name), "{name}");
            for word in *aliases {
                assert_eq!(&squeezed(word), word);
                assert!(seen.insert(word), "{word} twice");
            }
        }
    }

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
            let found = alias(&words).map(|at| Inventory::ALL[at].name);
            assert_eq!((found, words.unit), (column, unit), "{header}");
        }
        assert_eq!(like(&words("Lenght")), Some("length_ft"));
        assert_eq!(like(&words("Track")), None);
    }
}
