//! Cells that are no data: the words before a sum, and drawn lines.

/// Whether a cell is the word before a sum: `Total`, `Subtotal 60 ft`, `Sum:`.
pub(super) fn is_total(text: &str) -> bool {
    // Most cells begin with no such letter.
    if !text.starts_with(['t', 'T', 's', 'S', 'g', 'G']) {
        return false;
    }
    let text = text.to_lowercase();
    ["total", "subtotal", "sub-total", "sub total", "grand total", "sum"].iter().any(|word| {
        let rest = text.strip_prefix(word);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', ':', '.']))
    })
}

/// Whether a cell is a drawn line.
pub(super) fn is_ruled(text: &str) -> bool {
    text.len() > 1
        && text.chars().all(|c| matches!(c, '-' | '=' | '_' | '*' | '+' | ':' | ' ' | '–' | '—'))
}
