//! The nodes that are open: which comes next, what becomes of it, and how it is split.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use super::BranchAndPrice;
use crate::choose::bound::node::Node;
use crate::choose::bound::relaxed::Relaxed;
use crate::choose::problem::INFINITE;
use crate::choose::search::branching::{self, Decision};
use crate::choose::search::leaf::{self, Remains};

/// The nodes that are open.
pub(super) struct OpenNodes {
    /// The next one first.
    order: BinaryHeap<Reverse<QueueKey>>,
    nodes: BTreeMap<usize, (i64, Node)>,
    /// Nodes so far.
    count: usize,
    /// No plan in a node that was given up is below this.
    left: i64,
}

/// When a node's turn is: by its bound, then its depth, the deepest first, then its number.
type QueueKey = (i64, Reverse<usize>, usize);

impl OpenNodes {
    /// No plan in an open node is below this.
    pub(super) fn bound(&self) -> i64 {
        self.nodes.values().map(|(bound, _)| *bound).fold(self.left, i64::min)
    }
}

/// What became of a node.
pub(super) enum NodeEnd {
    /// No better plan in it.
    Closed,
    /// The time is up; no plan in it is below this.
    Paused(i64),
    Split(i64, Decision),
}

impl BranchAndPrice<'_> {
    /// The open nodes at the beginning: the root.
    fn begin(&mut self) -> OpenNodes {
        let floor = if self.serves() { 0 } else { self.known };
        let mut root = Node::root(self.problem);
        let floor = match self.warm.take() {
            _ if self.closes(floor) => floor,
            Some(duals) => floor.max(self.resume(duals, &mut root)),
            None if !self.serves() && self.complete => floor.max(self.ascend()),
            None => floor,
        };
        let mut open_nodes = OpenNodes {
            order: BinaryHeap::new(),
            nodes: BTreeMap::new(),
            count: 0,
            left: INFINITE,
        };
        self.open(&mut open_nodes, floor, 0, root);
        open_nodes
    }

    /// Puts a node with the open ones. In a service stage bounds are mostly alike, so that of those of
    /// one whole number the deepest comes first: a plan is found by going down.
    fn open(&self, open_nodes: &mut OpenNodes, bound: i64, depth: usize, node: Node) {
        let turn = match self.serves() {
            true => (self.stage.in_value(bound), Reverse(depth), open_nodes.count),
            false => (bound, Reverse(0), open_nodes.count),
        };
        open_nodes.order.push(Reverse(turn));
        open_nodes.nodes.insert(open_nodes.count, (bound, node));
        open_nodes.count += 1;
    }

    /// Searches until all is proven, which it says, or so much more work is done, or the clock is up.
    pub fn go_on(&mut self, work: u64) -> bool {
        let until = self.work.saturating_add(work);
        let mut open_nodes = match self.open_nodes.take() {
            Some(open_nodes) => open_nodes,
            None => self.begin(),
        };
        let done = self.advance(&mut open_nodes, until);
        self.open_nodes = Some(open_nodes);
        done
    }

    fn advance(&mut self, open_nodes: &mut OpenNodes, until: u64) -> bool {
        while let Some(Reverse(turn)) = open_nodes.order.pop() {
            let Some((bound, mut node)) = open_nodes.nodes.remove(&turn.2) else { continue };
            if self.closes(bound) {
                continue;
            }
            // In a service stage nobody is told of bounds.
            let others = open_nodes.order.peek().map_or(INFINITE, |Reverse(turn)| turn.0);
            self.rest = others.min(open_nodes.left);
            if self.nodes == Some(0) {
                open_nodes.left = open_nodes.left.min(bound);
                continue;
            }
            let end = if self.work >= until || self.clock.up() {
                NodeEnd::Paused(bound)
            } else {
                self.process(&mut node, bound, turn.2 == 0)
            };
            match end {
                NodeEnd::Closed => self.count_node(),
                NodeEnd::Paused(bound) => {
                    open_nodes.order.push(Reverse(turn));
                    open_nodes.nodes.insert(turn.2, (bound, node));
                    return false;
                }
                NodeEnd::Split(bound, decision) => {
                    self.count_node();
                    let [no, yes] = decision.children(self.problem, &node);
                    let depth = turn.1.0 + 1;
                    for child in if self.serves() { [yes, no] } else { [no, yes] } {
                        self.open(open_nodes, bound, depth, child);
                    }
                }
            }
        }
        true
    }

    /// Counts a node that was looked at.
    fn count_node(&mut self) {
        if let Some(left) = &mut self.nodes {
            *left = left.saturating_sub(1);
        }
    }

    /// Splits a node, or ends it: where nothing is left to ask, by what still tells two of its plans
    /// apart, or by its one plan.
    pub(super) fn split(&mut self, node: &Node, bound: i64, relaxed: Option<&Relaxed>) -> NodeEnd {
        let (problem, stage, master) = (self.problem, &self.stage, &self.master);
        let decision = relaxed
            .and_then(|relaxed| {
                branching::fractional(problem, stage, master, node, relaxed).or_else(|| {
                    let plan = self.favored_plan(relaxed);
                    branching::from_plan(problem, stage, node, &plan)
                })
            })
            .or_else(|| branching::from_plan(problem, stage, node, &self.plan));
        if let Some(decision) = decision {
            return NodeEnd::Split(bound, decision);
        }
        match leaf::remains(problem, stage, master, &mut self.pricer, node) {
            Remains::Several(decision) => NodeEnd::Split(bound, decision),
            Remains::One(plan) => {
                self.update_incumbent(plan, false);
                NodeEnd::Closed
            }
            Remains::Nothing => NodeEnd::Closed,
        }
    }
}
