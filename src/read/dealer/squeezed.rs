//! Headers and words without what people write in many ways.

use crate::words::present_spelling;

/// A header without case, blanks and punctuation. What marks a difference in meaning stays.
pub(super) fn squeezed(header: &str) -> String {
    present_spelling(header)
        .chars()
        .filter(|c| c.is_alphanumeric() || matches!(c, '#' | '%' | '$'))
        .flat_map(char::to_lowercase)
        .collect()
}
