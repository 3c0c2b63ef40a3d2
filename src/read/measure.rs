//! Numbers as people write them: feet and inches, fractions, thousands, units behind the number.

use crate::read::units::Unit;

/// Which character is the decimal sign; the other of comma and point groups thousands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Decimal {
    Point,
    Comma,
    /// Nobody said, and the file gives reason to ask: a number with a comma is a question.
    Unsaid,
}

/// What is wrong with a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wrong {
    /// No number, or more than a number.
    NotANumber,
    /// A comma that may be a decimal sign or group thousands.
    Comma,
    /// A number without a unit, where none is known.
    NoUnit,
    /// Tons without saying which.
    Tons,
    /// Two numbers of which not each has a unit.
    TwoNumbers,
    /// A number behind feet and inches.
    BehindInches,
    /// A unit that does not fit the column.
    UnitDoesNotFit,
    /// Inches beside feet that are twelve or more, or feet with decimals beside inches.
    FeetAndInches,
    /// As above, and the other way round they would be right.
    FeetAndInchesSwapped,
}

/// Unusual blanks, quotes, primes, dashes and fractions as the plain characters they stand for, in
/// lower case.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{200b}' | '\u{feff}' => {}
            c if c.is_whitespace() => out.push(' '),
            '‘' | '’' | '′' | '`' | '´' => out.push('\''),
            '“' | '”' | '″' => out.push('"'),
            '−' => out.push('-'),
            '½' => out.push_str(" 1/2"),
            '¼' => out.push_str(" 1/4"),
            '¾' => out.push_str(" 3/4"),
            '⅛' => out.push_str(" 1/8"),
            '⅜' => out.push_str(" 3/8"),
            '⅝' => out.push_str(" 5/8"),
            '⅞' => out.push_str(" 7/8"),
            c => out.extend(c.to_lowercase()),
        }
    }
    if out.contains('\'') { out.trim().replace("''", "\"") } else { out.trim().to_owned() }
}

/// The two ends of a range, if the plain text is one: `9'2–9'4`, `89 to 90 ft`, `1.5 - 2`.
pub(super) fn range(text: &str) -> Option<(&str, &str)> {
    let dash = ['–', '—', '~'].into_iter().find_map(|mark| text.split_once(mark));
    let word = |marks: &[&'static str]| marks.iter().find_map(|mark| text.split_once(mark));
    let ends = dash.or_else(|| if text.contains(' ') { word(&[" to ", " - "]) } else { None });
    let ends = ends.or_else(|| if text.contains('.') { word(&[".."]) } else { None });
    let ends = ends.or_else(|| {
        // A bare hyphen between two numbers; between feet and inches it is none, and neither is the
        // one of `1-1/2`.
        let (low, high) = text.split_once('-')?;
        let numeric = |end: &str| end.trim().starts_with(|c: char| c.is_ascii_digit());
        let whole_feet = low.trim_end().ends_with('\'') || low.trim_end().ends_with("ft");
        let mixed = || {
            let (above, below) = high.trim().split_once('/')?;
            let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
            Some(
                digits(above)
                    && digits(low.trim())
                    && below.starts_with(|c: char| c.is_ascii_digit()),
            )
        };
        let fraction = mixed() == Some(true);
        let feet_too = high.contains('\'') || high.contains("ft");
        ((!whole_feet || feet_too) && !fraction && numeric(low) && numeric(high))
            .then_some((low, high))
    });
    let (low, high) = ends?;
    let numeric = |end: &str| {
        let end = end.trim();
        !end.is_empty() && end.starts_with(|c: char| c.is_ascii_digit() || c == '.')
    };
    (numeric(low) && numeric(high)).then(|| (low.trim(), high.trim()))
}

/// A number in the unit `to`. Without a unit of its own it is in `of_column`.
pub(super) fn measure(
    text: &str,
    of_column: Option<Unit>,
    to: Unit,
    decimal: Decimal,
) -> Result<f64, Wrong> {
    let (negative, mut rest) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    };
    let mut parts: Vec<(f64, Option<Unit>)> = Vec::new();
    while !rest.is_empty() {
        if let [first, second] = parts.as_slice() {
            let feet_and_inches = (first.1, second.1) == (Some(Unit::Feet), Some(Unit::Inches));
            let number = rest.starts_with(|c: char| c.is_ascii_digit());
            return Err(if feet_and_inches && number {
                Wrong::BehindInches
            } else {
                Wrong::NotANumber
            });
        }
        let (value, after) = number(rest, decimal)?;
        let (unit, after) = unit(after.trim_start())?;
        parts.push((value, unit));
        rest = after.trim_start();
        if parts.len() == 1 && !rest.is_empty() {
            rest = rest.strip_prefix(['-', ',']).unwrap_or(rest).trim_start();
            if rest.is_empty() {
                return Err(Wrong::NotANumber);
            }
        }
    }
    let value = match *parts.as_slice() {
        [(value, unit)] => {
            let unit = unit.or(of_column).ok_or(Wrong::NoUnit)?;
            if !unit.fits(to) {
                return Err(Wrong::UnitDoesNotFit);
            }
            let unit = match (unit, of_column) {
                // Who says which tons the column has says it of these.
                (Unit::Tons, Some(which @ (Unit::ShortTons | Unit::Tonnes))) => which,
                (Unit::Tons, _) => return Err(Wrong::Tons),
                (unit, _) => unit,
            };
            unit.convert(value, to)
        }
        [(feet, Some(Unit::Feet)), (inches, Some(Unit::Inches) | None)] => {
            if inches >= 12.0 && feet < 12.0 && inches.fract() == 0.0 {
                return Err(Wrong::FeetAndInchesSwapped);
            }
            if inches >= 12.0 || feet.fract() != 0.0 {
                return Err(Wrong::FeetAndInches);
            }
            if !Unit::Feet.fits(to) {
                return Err(Wrong::UnitDoesNotFit);
            }
            Unit::Inches.convert(feet * 12.0 + inches, to)
        }
        [_, (_, None)] | [(_, None), _] => return Err(Wrong::TwoNumbers),
        _ => return Err(Wrong::NotANumber),
    };
    Ok(if negative { -value } else { value })
}

/// A length with its own unit or units as one number in the unit with this name, to four decimals.
pub(super) fn in_one_number(text: &str, unit: &str) -> Option<f64> {
    let value = measure(&plain(text), None, Unit::from_word(unit)?, Decimal::Point).ok()?;
    Some((value * 1e4).round() / 1e4)
}

/// Whether a plain text has feet, and a number of inches behind them.
pub(super) fn has_inches_beside_feet(text: &str) -> bool {
    let behind = text.split_once('\'').or_else(|| text.split_once("ft"));
    behind.is_some_and(|(_, inches)| inches.contains(|c: char| c.is_ascii_digit()))
}

/// A number at the beginning of a text, with its fraction, and what follows it.
fn number(text: &str, decimal: Decimal) -> Result<(f64, &str), Wrong> {
    let (written, after) = split(text, |byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    // `8 ft, 6 in`: a comma or full stop at the end is none of the number's.
    let written = written.strip_suffix([',', '.']).unwrap_or(written);
    let after = if after.is_empty() { &text[written.len()..] } else { after };
    // `3/4`: the digits were the numerator.
    if let Some(below) = after.strip_prefix('/') {
        return fraction(written, below);
    }
    let whole = value(written, decimal)?;
    let gap = after.strip_prefix([' ', '-']).unwrap_or(after).trim_start();
    let (above, below) = split(gap, |byte| byte.is_ascii_digit());
    match below.strip_prefix('/') {
        Some(below) if !above.is_empty() && gap.len() < after.len() => {
            if whole.fract() != 0.0 {
                return Err(Wrong::NotANumber);
            }
            let (part, after) = fraction(above, below)?;
            Ok((whole + part, after))
        }
        _ => Ok((whole, after)),
    }
}

/// The number at the beginning of a text, whatever follows it.
pub(super) fn leading(text: &str) -> Option<f64> {
    number(text, Decimal::Point).ok().map(|(value, _)| value)
}

/// The longest beginning of bytes that are so, and the rest. The bytes must be ASCII.
fn split(text: &str, is: impl Fn(u8) -> bool) -> (&str, &str) {
    let end = text.bytes().take_while(|&byte| byte.is_ascii() && is(byte)).count();
    text.split_at(end)
}

/// A fraction below one.
fn fraction<'t>(above: &str, below: &'t str) -> Result<(f64, &'t str), Wrong> {
    let (below, after) = split(below, |byte| byte.is_ascii_digit());
    let whole = |digits: &str| digits.parse::<u32>().map(f64::from).map_err(|_| Wrong::NotANumber);
    let (above, below) = (whole(above)?, whole(below)?);
    if above >= below { Err(Wrong::NotANumber) } else { Ok((above / below, after)) }
}

/// The value of digits with their signs.
fn value(written: &str, decimal: Decimal) -> Result<f64, Wrong> {
    let parse = |text: &str| -> Result<f64, Wrong> {
        if text.bytes().filter(|byte| *byte == b'.').count() > 1
            || !text.bytes().any(|byte| byte.is_ascii_digit())
        {
            return Err(Wrong::NotANumber);
        }
        text.parse().map_err(|_| Wrong::NotANumber)
    };
    let (point, group) = match decimal {
        Decimal::Point | Decimal::Unsaid => ('.', ','),
        Decimal::Comma => (',', '.'),
    };
    if !written.contains(group) {
        return parse(&written.replace(point, "."));
    }
    if decimal == Decimal::Unsaid {
        // With both in one number the last is the decimal sign: no other reading is possible.
        return match written.rfind('.').map(|point| written.rfind(',') < Some(point)) {
            Some(true) => value(written, Decimal::Point),
            Some(false) => value(written, Decimal::Comma),
            None => Err(Wrong::Comma),
        };
    }
    let (whole, decimals) = written.split_once(point).unwrap_or((written, ""));
    let mut groups = whole.split(group);
    let first = groups.next().unwrap_or_default();
    let sound = (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3);
    if !sound || decimals.contains([',', '.']) {
        return Err(Wrong::Comma);
    }
    parse(&format!("{}.{decimals}", whole.replace(group, "")))
}

/// A unit at the beginning of a text, if there is one, and what follows it.
fn unit(text: &str) -> Result<(Option<Unit>, &str), Wrong> {
    if let Some(mark @ ('\'' | '"' | '%' | '#' | '$')) = text.chars().next() {
        return Ok((Unit::from_word(&text[..mark.len_utf8()]), &text[mark.len_utf8()..]));
    }
    let end = text
        .char_indices()
        .find(|(at, c)| {
            // Of `in3` the 3 is the exponent; of `66 ft 3 in` it is a number.
            let exponent = matches!(c, '3' | '^')
                && matches!(
                    Unit::from_word(text[..*at].trim_end_matches('^')),
                    Some(Unit::Inches | Unit::Centimeters)
                )
                && !text[..*at].ends_with(' ');
            !(c.is_alphabetic() || exponent || matches!(c, '.' | '³' | ' '))
        })
        .map_or(text.len(), |(at, _)| at);
    let word = text[..end].trim_end();
    if word.is_empty() {
        return Ok((None, text));
    }
    let unit = Unit::from_word(word).ok_or(Wrong::NotANumber)?;
    Ok((Some(unit), &text[end..]))
}

#[cfg(test)]
mod tests;
