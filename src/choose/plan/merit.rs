//! What makes one choice better than another.

use crate::choose::market::{Choice, Market};
use crate::quantity::Cents;

/// How good a choice is; less is better.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Merit {
    /// Points of the crossings left out, per priority, the most urgent first; a crossing counts one
    /// where the rules serve the most urgent first.
    pub unserved: Vec<usize>,
    /// Net cost.
    pub net: Cents,
}

/// The merit of a choice at this net cost.
#[must_use]
pub fn merit(market: &Market, choice: &Choice, net: Cents) -> Merit {
    let mut ranks: Vec<u8> = market.crossings.iter().map(|demand| demand.priority).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let mut unserved = vec![0; ranks.len()];
    for (demand, _) in market.crossings.iter().zip(&choice.crossings).filter(|(_, c)| c.is_none()) {
        let rank = ranks.partition_point(|rank| *rank < demand.priority);
        unserved[rank] += demand.points.max(1) as usize;
    }
    Merit { unserved, net }
}
