//! Plain decimal numbers, and the words that people write where they have none.

/// Words that people write for "unknown", where a blank cell is meant.
const UNKNOWN_WORDS: &[&str] = &[
    "n/a",
    "n.a.",
    "na",
    "nan",
    "none",
    "null",
    "nil",
    "tbd",
    "tba",
    "unk",
    "unknown",
    "not known",
    "?",
    "??",
    "???",
    "-",
    "--",
    "---",
    "–",
    "—",
    ".",
    "misc",
    "mixed",
    "same",
    "various",
    "ditto",
    "\"",
];

/// Whether the text stands for "unknown" (or for "not one and the same").
pub(super) fn is_unknown_word(text: &str) -> bool {
    const LONGEST: usize = 9;
    text.len() <= LONGEST && UNKNOWN_WORDS.iter().any(|word| word.eq_ignore_ascii_case(text))
}

/// Whether the text is a plain decimal number: a sign perhaps, digits, and one point perhaps.
pub(super) fn is_plain_number(text: &str) -> bool {
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    let mut points = 0;
    let all = digits.bytes().all(|byte| {
        points += usize::from(byte == b'.');
        byte.is_ascii_digit() || byte == b'.'
    });
    all && points <= 1 && digits.bytes().any(|byte| byte.is_ascii_digit())
}

/// The value of a plain decimal number, as [`f64::from_str`](std::str::FromStr) gives it.
pub(super) fn plain_number(text: &str) -> Option<f64> {
    // Whole numbers of so many digits, and these powers of ten, have no rounding, and one division
    // rounds once.
    const EXACT: usize = 15;
    const TENS: [f64; EXACT + 1] =
        [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let (mut digits, mut decimals, mut point, mut whole) = (0, 0, false, 0_u64);
    for byte in unsigned.bytes() {
        match byte {
            b'0'..=b'9' => {
                whole = whole.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
                digits += 1;
                decimals += usize::from(point);
            }
            b'.' if !point => point = true,
            _ => return None,
        }
    }
    match digits {
        0 => None,
        1..=EXACT => {
            let value = whole as f64 / TENS[decimals];
            Some(if text.starts_with('-') { -value } else { value })
        }
        _ => text.parse().ok(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        /// What is a plain number is decided by the letters, and its value is that of the standard library.
        #[test]
        fn plain_numbers_have_the_values_of_the_standard_library(
            text in "[-+]?[0-9]{0,12}\\.?[0-9]{0,12}", strange in "[-+.0-9e ]{0,6}",
        ) {
            for text in [&text, &strange] {
                let expected = is_plain_number(text).then(|| text.parse::<f64>().unwrap());
                let bits = |value: Option<f64>| value.map(f64::to_bits);
                proptest::prop_assert_eq!(bits(plain_number(text)), bits(expected), "{}", text);
            }
        }
    }
}
