//! How far it pays to add rows at a node.

use crate::choose::tuning::{
    CUT_ROUNDS_AT_ROOT, CUT_ROUNDS_BELOW, IDLE_CUT_ROUNDS_AT_ROOT, IDLE_CUT_ROUNDS_BELOW,
    WORTHWHILE_RISE,
};

/// How far it pays to add rows at a node.
pub struct Rounds {
    pub done: usize,
    most: usize,
    in_vain: usize,
    most_in_vain: usize,
    /// The bound that the next one must rise above.
    mark: i64,
}

impl Rounds {
    pub fn new(root: bool) -> Self {
        let (most, most_in_vain) = if root {
            (CUT_ROUNDS_AT_ROOT, IDLE_CUT_ROUNDS_AT_ROOT)
        } else {
            (CUT_ROUNDS_BELOW, IDLE_CUT_ROUNDS_BELOW)
        };
        Self { done: 0, most, in_vain: 0, most_in_vain, mark: i64::MIN }
    }

    /// Whether one more round pays at this bound and gap.
    pub fn more(&mut self, bound: i64, gap: i64) -> bool {
        self.in_vain = if bound > self.mark { 0 } else { self.in_vain + 1 };
        self.done += 1;
        self.mark = bound + (gap as f64 * WORTHWHILE_RISE) as i64;
        self.done <= self.most && self.in_vain < self.most_in_vain
    }
}
