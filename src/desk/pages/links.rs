//! Where things of the plan are shown.

use crate::desk::exchange::encoded;

/// Where a crossing of the plan is shown.
pub fn crossing_href(id: &str) -> String {
    format!("/plan/crossing?id={}", encoded(id))
}
