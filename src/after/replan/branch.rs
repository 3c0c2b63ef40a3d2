//! The search for the least change: prices of change at a node, and nodes told apart by whether a car
//! stays where it lay.

use super::LeastChange;
use super::priced::{Kept, Priced};
use crate::choose::{Choice, Effort, Market, totals};
use crate::deadline::Deadline;
use crate::quantity::Cents;

/// Prices of change tried at a node at most.
const PRICES: usize = 16;
/// Nodes looked at in the end.
const NODES: usize = 400;

/// The search, with the best plan so far.
pub(super) struct Search<'a> {
    market: &'a Market,
    cheapest: &'a Choice,
    priced: &'a Priced<'a>,
    effort: &'a Effort<'a>,
    end: Deadline<'a>,
    best: LeastChange,
    nodes: usize,
}

/// What is known of the plans of a node.
struct Node {
    /// None that serves as many within the tolerance has fewer changes.
    least: usize,
    /// A car that stays in one plan of it and not in another.
    apart: Option<usize>,
}

/// A plan at a price of change.
struct Found {
    net: Cents,
    changes: usize,
    stays: Vec<usize>,
}

impl<'a> Search<'a> {
    pub fn new(
        market: &'a Market,
        cheapest: &'a Choice,
        priced: &'a Priced<'a>,
        effort: &'a Effort<'a>,
        best: LeastChange,
    ) -> Self {
        Self { market, cheapest, priced, effort, end: effort.deadline(), best, nodes: NODES }
    }

    /// Searches until no plan has fewer changes, or the time is up.
    pub fn run(mut self) -> LeastChange {
        let least = self.look(&mut Kept::new());
        self.best.at_least = least.min(self.best.changes);
        self.best
    }

    fn late(&self) -> bool {
        self.end.has_passed() || self.effort.is_interrupted()
    }

    /// How many changes the plans of a node have at least, or as many as the best plan has.
    fn look(&mut self, kept: &mut Kept) -> usize {
        if self.late() || self.nodes == 0 {
            return 0;
        }
        self.nodes -= 1;
        let node = self.slide(kept);
        let Some(car) = node.apart.filter(|_| node.least < self.best.changes) else {
            return node.least;
        };
        let mut least = usize::MAX;
        for stays in [true, false] {
            kept.insert(car, stays);
            least = least.min(self.look(kept).max(node.least));
            kept.remove(&car);
        }
        least
    }

    /// Tries prices of change at a node.
    fn slide(&mut self, kept: &Kept) -> Node {
        let (cheapest, limit) = (self.best.cheapest, self.best.limit);
        let mut node = Node { least: 0, apart: None };
        // A plan that keeps the limit, and one that changes less and does not.
        let (mut within, mut beyond): (Option<Found>, Option<Found>) = (None, None);
        let mut price = self.priced.deciding_price(cheapest, limit);
        for _ in 0..PRICES {
            if node.least >= self.best.changes || price < 1 || self.late() {
                break;
            }
            let effort = Effort { time_limit: self.end.left(), ..*self.effort };
            let Some((mut choice, bound)) = self.priced.choose(price, kept, &effort) else {
                // No plan keeps these cars.
                node.least = usize::MAX;
                break;
            };
            if !self.serves_the_same(&choice) {
                // With cars held fast fewer can be served; a bound holds for as many alone.
                if choice.service && self.serves_less(&choice) {
                    node.least = usize::MAX;
                }
                break;
            }
            node.least = node.least.max(self.priced.least(price, bound, limit));
            let Some(net) = totals(self.market, &choice).map(|totals| totals.net) else { break };
            let changes = self.priced.changes(&choice);
            let stays = self.priced.stay(&choice);
            let found = Found { net, changes, stays };
            if net <= limit {
                if (changes, net) < (self.best.changes, self.best.choice.net) {
                    choice.net = net;
                    choice.bound = self.cheapest.bound;
                    choice.cheapest = self.cheapest.cheapest && net == self.cheapest.net;
                    choice.service = self.cheapest.service;
                    (self.best.choice, self.best.changes) = (choice, changes);
                }
                if within.as_ref().is_some_and(|old| (old.changes, old.net) <= (changes, net)) {
                    break;
                }
                within = Some(found);
            } else {
                if beyond.as_ref().is_some_and(|old| (old.net, old.changes) == (net, changes)) {
                    break;
                }
                beyond = Some(found);
            }
            let Some(dear) = &beyond else { break };
            let cheap = within
                .as_ref()
                .map_or((cheapest, self.best.cheapest_changes), |cheap| (cheap.net, cheap.changes));
            if dear.changes >= cheap.1 || dear.net <= cheap.0 {
                break;
            }
            price = self.priced.price_between(cheap, (dear.net, dear.changes));
        }
        let stays = |found: &Option<Found>| found.as_ref().map(|found| found.stays.clone());
        let dear = stays(&beyond).unwrap_or_default();
        let cheap = stays(&within).unwrap_or_else(|| self.priced.stay(&self.best.choice));
        let open = |car: &usize| !kept.contains_key(car) && self.priced.is_one(*car);
        node.apart = dear
            .iter()
            .copied()
            .find(|car| open(car) && !cheap.contains(car))
            .or_else(|| cheap.iter().copied().find(|car| open(car) && !dear.contains(car)));
        node
    }

    /// Points served by priority, of a choice and of the cheapest.
    fn served(&self, choice: &Choice) -> Vec<(u32, u32)> {
        let mut priorities: Vec<u8> =
            self.market.crossings.iter().map(|demand| demand.priority).collect();
        priorities.sort_unstable();
        priorities.dedup();
        let of = |choice: &Choice, priority: u8| {
            let pairs = self.market.crossings.iter().zip(&choice.crossings);
            let here = pairs.filter(|(d, chosen)| d.priority == priority && chosen.is_some());
            here.map(|(demand, _)| demand.points.max(1)).sum()
        };
        priorities.into_iter().map(|p| (of(choice, p), of(self.cheapest, p))).collect()
    }

    fn serves_the_same(&self, choice: &Choice) -> bool {
        self.served(choice).iter().all(|(here, there)| here == there)
    }

    /// Whether the first priority that differs has fewer.
    fn serves_less(&self, choice: &Choice) -> bool {
        let served = self.served(choice);
        served.iter().find(|(here, there)| here != there).is_some_and(|(here, there)| here < there)
    }
}
