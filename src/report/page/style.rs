//! The style sheet, with the paper's size and the footer that stands on every printed page.

use std::fmt::Write as _;

use crate::report::provenance::PageContext;

/// Type, colors and tables on screen, for every page of the program.
const SCREEN: &str = include_str!("../../../templates/style.css");

/// The papers in print.
const PRINT: &str = include_str!("../../../templates/print.css");

/// The style of a page with this origin; the footer ends with a note on what the paper is not.
pub fn style(context: &PageContext, note: &str) -> String {
    let agency = context.agency.as_ref().map(|name| format!("{name} \u{00b7} "));
    let left = format!(
        "{}plan {} \u{00b7} {} \u{00b7} {note}",
        agency.unwrap_or_default(),
        context.plan_id,
        context.order_date
    );
    format!(
        "@page {{ size: {size}; margin: 0.5in 0.6in 0.65in;\n  @bottom-left {{ content: {left}; white-space: pre; width: 82%; text-align: left; font: 7.5pt/1.4 Arial, sans-serif; color: #57534a; }}\n  @bottom-right {{ content: \"page \" counter(page) \" of \" counter(pages); font: 7.5pt/1.4 Arial, sans-serif; color: #57534a; }}\n}}\n{SCREEN}{PRINT}",
        size = context.paper.css(),
        left = css_string(&left)
    )
}

/// A text as a CSS string inside HTML: everything but plain letters, figures and a few signs is
/// escaped (the space ends the escape), so that no quote ends the string and no `</style>` the style sheet.
fn css_string(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        if c.is_ascii_alphanumeric() || " .,:;-_/=".contains(c) {
            out.push(c);
        } else if c == '\n' || !c.is_control() {
            let _ = write!(out, "\\{:x} ", u32::from(c));
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_ends_the_string_or_the_style_sheet() {
        assert_eq!(css_string("a\"b</style>\\\n\u{7}"), "\"a\\22 b\\3c /style\\3e \\5c \\a \"");
    }
}
