//! Why a girder or a span cannot be rated.

use serde::Serialize;

/// Why there is no rating: every reason, in words that can follow "cannot be rated:".
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[error("cannot be rated: {}", reasons.join("; "))]
pub struct Unrateable {
    /// The reasons.
    pub reasons: Vec<String>,
}

impl From<String> for Unrateable {
    fn from(reason: String) -> Self {
        Self { reasons: vec![reason] }
    }
}
