//! A solution of the linear program.

use crate::choose::bound::duals::Duals;

/// A solution of the linear program.
#[derive(Clone, Debug, Default)]
pub struct Relaxed {
    /// Columns above zero.
    pub columns: Vec<(usize, f64)>,
    pub lots: Vec<f64>,
    pub yards: Vec<f64>,
    /// Cars bought, per yard with price levels.
    pub bought: Vec<f64>,
    pub layouts: Vec<f64>,
    pub unserved: Vec<f64>,
    /// How far it pays fees: crossings left out that must be served, numbers, budget and funds
    /// passed, least orders missed, lots bought for nothing.
    pub evaded: f64,
    pub duals: Duals,
}
