//! Numbers and text as they may stand in a drawing, and how wide text is drawn.

/// A coordinate with at most two decimals: a hundredth of a pixel is far below what a printer shows.
#[must_use]
pub fn num(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text as it may stand in XML and HTML, in attributes too. Characters that XML does not allow
/// become spaces.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// About how wide a text is drawn; on the wide side, so that what is said to fit fits.
#[must_use]
pub fn breadth(text: &str, size: f64) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'l' | 'j' | 't' | 'f' | 'r' | '.' | ',' | ':' | ';' | '\'' | '"' | '|' | ' '
            | '(' | ')' | '/' | '-' | 'I' => 0.36,
            'm' | 'w' | 'M' | 'W' | '@' => 0.92,
            'A'..='Z' => 0.74,
            c if c.is_ascii() => 0.58,
            _ => 1.0,
        })
        .sum();
    ems * size
}

/// The text, cut short with an ellipsis where it would be wider than this.
#[must_use]
pub fn fitted(text: &str, size: f64, width: f64) -> String {
    if breadth(text, size) <= width {
        return text.to_owned();
    }
    let mut cut = String::new();
    for c in text.chars() {
        if breadth(&cut, size) + breadth(&c.to_string(), size) + size > width {
            break;
        }
        cut.push(c);
    }
    format!("{}\u{2026}", cut.trim_end())
}

/// The text in lines that are no wider than this, broken at its spaces.
#[must_use]
pub fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if breadth(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        for (value, text) in
            [(0.0, "0"), (-0.0001, "0"), (1.5, "1.5"), (2.0, "2"), (1.0 / 3.0, "0.33")]
        {
            assert_eq!(num(value), text);
        }
    }

    #[test]
    fn nothing_from_a_file_becomes_markup() {
        assert_eq!(
            escape("<script>alert(\"1\" & '2')</script>\u{7}"),
            "&lt;script&gt;alert(&quot;1&quot; &amp; &#39;2&#39;)&lt;/script&gt; "
        );
    }

    #[test]
    fn a_long_text_is_cut_and_a_short_one_is_not() {
        assert_eq!(fitted("UD-01", 15.0, 100.0), "UD-01");
        let cut = fitted("A-VERY-LONG-IDENTIFIER", 15.0, 100.0);
        assert!(cut.ends_with('\u{2026}') && breadth(&cut, 15.0) <= 102.0, "{cut}");
    }

    #[test]
    fn a_note_breaks_into_lines_that_fit() {
        let text = "Rail and deck are signs. The rest is to scale.";
        let lines = wrapped(text, 10.0, 150.0);
        assert!(lines.len() > 1 && lines.iter().all(|line| breadth(line, 10.0) <= 150.0));
        assert_eq!(lines.join(" "), text);
        assert!(wrapped("", 10.0, 150.0).is_empty());
    }
}
