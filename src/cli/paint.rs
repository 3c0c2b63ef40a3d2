//! Color for terminals: a help for the eye that no meaning hangs on. Files, pipes and terminals
//! with `NO_COLOR` get the same text without it.

use anstream::stream::RawStream;
use anstream::{AutoStream, ColorChoice};
use anstyle::{AnsiColor, Style};
use spanyard::report::terminal::marks;

/// The text as this stream should show it.
pub fn for_stream(text: &str, stream: &impl RawStream) -> String {
    match AutoStream::choice(stream) {
        ColorChoice::Never => text.to_owned(),
        _ => painted(text),
    }
}

/// The text with its headings in bold, and its refusals and warnings in color.
fn painted(text: &str) -> String {
    let mut lines = text.split_inclusive('\n').peekable();
    let mut painted = String::with_capacity(text.len());
    while let Some(line) = lines.next() {
        let words = line.trim_end_matches('\n');
        let is_heading = lines.peek().is_some_and(|next| is_rule(next));
        let style = style(words, is_heading);
        if words.is_empty() || style == Style::new() {
            painted.push_str(line);
        } else {
            let end = &line[words.len()..];
            painted.push_str(&format!("{style}{words}{style:#}{end}"));
        }
    }
    painted
}

/// Whether the line underlines a heading.
fn is_rule(line: &str) -> bool {
    let line = line.trim_end();
    line.len() >= 3 && line.chars().all(|c| c == '-')
}

fn style(words: &str, is_heading: bool) -> Style {
    let bold = Style::new().bold();
    if words.starts_with(marks::GO_WITHOUT) || words.ends_with(marks::NOT_SERVED) {
        AnsiColor::Red.on_default()
    } else if words.starts_with(marks::ERROR) {
        AnsiColor::Red.on_default().bold()
    } else if words.starts_with(marks::WARNING) {
        AnsiColor::Yellow.on_default()
    } else if is_heading || words.starts_with(marks::TITLE) {
        bold
    } else if is_rule(words) {
        Style::new().dimmed()
    } else {
        Style::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_refusals_and_warnings_are_painted() {
        let text = "PLAN: serves 1 of 2 crossings.\nNot served: B-2.\n\n1. What to buy\n---\n\
                    plain\nwarning: look\nerror: no";
        assert_eq!(
            painted(text),
            "\u{1b}[1mPLAN: serves 1 of 2 crossings.\u{1b}[0m\n\
             \u{1b}[31mNot served: B-2.\u{1b}[0m\n\n\
             \u{1b}[1m1. What to buy\u{1b}[0m\n\u{1b}[2m---\u{1b}[0m\n\
             plain\n\u{1b}[33mwarning: look\u{1b}[0m\n\u{1b}[1m\u{1b}[31merror: no\u{1b}[0m"
        );
    }

    #[test]
    fn without_the_colors_it_is_the_same_text() {
        let text = include_str!("../../tests/cli/plan/headline.txt");
        let painted = painted(text);
        assert_ne!(painted, text);
        assert_eq!(anstream::adapter::strip_str(&painted).to_string(), text);
    }
}
