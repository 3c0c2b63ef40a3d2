//! One car against one span of a crossing, without strength: every rule asked, not only the first
//! that fails.

use crate::check::Check;
use crate::model::inputs::{CarIx, Inputs, Site};

/// Every screening check of this car on this span, in the order of the registry.
#[must_use]
pub fn screen(inputs: &Inputs, car: CarIx, site: Site) -> Vec<Check> {
    let _ = (inputs, car, site);
    Vec::new()
}
