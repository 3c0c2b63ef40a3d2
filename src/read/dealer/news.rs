//! Words of harm or of a sale in a dealer's cells and headings.

use std::sync::LazyLock;

use crate::evidence::news::news;
use crate::model::rules::{DEFAULT_RULES, EvidenceRules, Rules};

/// The built-in words of harm and of a sale.
fn words() -> Option<&'static EvidenceRules> {
    static BUILT_IN: LazyLock<Option<Rules>> =
        LazyLock::new(|| toml::from_str(&DEFAULT_RULES).ok());
    BUILT_IN.as_ref().map(|rules| &rules.evidence)
}

/// Whether a text has words of harm or of a sale.
pub(super) fn is_news(text: &str) -> bool {
    words().is_none_or(|rules| news(text, rules).iter().any(|news| !news.denied))
}

/// Whether a text has words by which a car is not for sale.
pub(super) fn is_withdrawn(text: &str) -> bool {
    let Some(rules) = words() else { return true };
    let sale = EvidenceRules { harm: Vec::new(), ..rules.clone() };
    !news(text, &sale).is_empty()
}
