//! How a node is split in two.

use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::relaxed::Relaxed;
use crate::choose::plan::Plan;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::tuning::WHOLE_WITHIN;
use std::collections::BTreeMap;

/// A question that splits a node: no in one child, yes in the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decision {
    /// Is the yard used?
    Yard(usize),
    /// Is the lot bought?
    Lot(usize),
    /// Is the crossing served?
    Serve(usize),
    /// Does the crossing get this layout?
    Layout(usize),
    /// Is at least this price level of the yard reached?
    Level { yard: usize, level: usize },
    /// Does the span hold at least so many cars of the candidate?
    Cars { span: usize, cand: u32, least: u32 },
}

impl Decision {
    /// The two children of a node.
    pub fn children(self, problem: &Problem, node: &Node) -> [Node; 2] {
        let (mut no, mut yes) = (node.clone(), node.clone());
        match self {
            Self::Yard(yard) => {
                no.set_yard(problem, yard, false);
                yes.set_yard(problem, yard, true);
            }
            Self::Lot(lot) => {
                no.set_lot(problem, lot, false);
                yes.set_lot(problem, lot, true);
            }
            Self::Serve(crossing) => {
                no.served[crossing] = Some(false);
                yes.served[crossing] = Some(true);
            }
            Self::Layout(layout) => {
                no.set_layout(problem, layout, false);
                yes.set_layout(problem, layout, true);
            }
            Self::Level { yard, level } => {
                no.levels[yard].1 = level - 1;
                yes.levels[yard].0 = level;
            }
            Self::Cars { span, cand, least } => {
                no.set_most(span, cand, least - 1);
                yes.set_least(problem, span, cand, least);
            }
        }
        [no, yes]
    }
}

/// Keeps the value nearest to a half; the first of equals.
#[derive(Default)]
struct Nearest {
    best: Option<(f64, Decision)>,
}

impl Nearest {
    fn see(&mut self, value: f64, decision: Decision) {
        let distance = (value - 0.5).abs();
        if distance < 0.5 - WHOLE_WITHIN && self.best.is_none_or(|(least, _)| distance < least) {
            self.best = Some((distance, decision));
        }
    }
}

/// The question that a fractional solution asks: of yards first, then lots, then which crossings
/// are served, then layouts, then cars.
pub fn fractional(
    problem: &Problem,
    stage: &Stage,
    master: &Master,
    node: &Node,
    relaxed: &Relaxed,
) -> Option<Decision> {
    let mut nearest = Nearest::default();
    for (yard, value) in relaxed.yards.iter().enumerate() {
        if node.yards[yard].is_none() {
            nearest.see(*value, Decision::Yard(yard));
        }
    }
    if nearest.best.is_none()
        && let Some(level) = level(problem, node, relaxed)
    {
        return Some(level);
    }
    let mut lots = Nearest::default();
    for (lot, value) in relaxed.lots.iter().enumerate() {
        if node.lots[lot].is_none() {
            lots.see(*value, Decision::Lot(lot));
        }
    }
    let mut serve = Nearest::default();
    for (crossing, value) in relaxed.unserved.iter().enumerate() {
        let role = stage.role(problem, crossing);
        if node.served[crossing].is_none() && matches!(role, Role::Counted | Role::Shared) {
            serve.see(*value, Decision::Serve(crossing));
        }
    }
    let mut layouts = Nearest::default();
    for (layout, value) in relaxed.layouts.iter().enumerate() {
        if node.layouts[layout].is_none() {
            layouts.see(*value, Decision::Layout(layout));
        }
    }
    let found = nearest.best.or(lots.best).or(serve.best).or(layouts.best);
    found.map(|(_, decision)| decision).or_else(|| cars(master, node, relaxed))
}

/// The price level of a yard that a solution takes without the cars for it.
fn level(problem: &Problem, node: &Node, relaxed: &Relaxed) -> Option<Decision> {
    let open = node.levels.iter().enumerate().filter(|(_, (lowest, highest))| lowest < highest);
    open.map(|(yard, (_, highest))| (yard, *highest)).find_map(|(yard, level)| {
        let needed = f64::from(problem.levels[yard].at_least[level]) * relaxed.yards[yard];
        let taken =
            relaxed.yards[yard] > WHOLE_WITHIN && relaxed.bought[yard] < needed - WHOLE_WITHIN;
        taken.then_some(Decision::Level { yard, level })
    })
}

/// The most open question of how many cars of a candidate a span holds.
fn cars(master: &Master, node: &Node, relaxed: &Relaxed) -> Option<Decision> {
    let mut share: BTreeMap<(usize, u32, u32), f64> = BTreeMap::new();
    for &(index, value) in &relaxed.columns {
        let column = &master.columns[index];
        for run in column.cands.chunk_by(|a, b| a == b) {
            for least in 1..=run.len() as u32 {
                *share.entry((column.span, run[0], least)).or_default() += value;
            }
        }
    }
    let mut nearest = Nearest::default();
    for ((span, cand, least), value) in share {
        if node.limit(span, cand).least >= least {
            continue;
        }
        nearest.see(value, Decision::Cars { span, cand, least });
    }
    nearest.best.map(|(_, decision)| decision)
}

/// A question that the best plan answers with yes and the node leaves open.
pub fn from_plan(problem: &Problem, stage: &Stage, node: &Node, plan: &Plan) -> Option<Decision> {
    for (crossing, served) in plan.crossings.iter().enumerate() {
        if stage.role(problem, crossing) == Role::Absent || node.served[crossing] == Some(false) {
            continue;
        }
        let Some(served) = served else {
            if node.served[crossing].is_none() {
                return Some(Decision::Serve(crossing));
            }
            continue;
        };
        if node.layouts[served.layout].is_none() {
            return Some(Decision::Layout(served.layout));
        }
        if node.layouts[served.layout] == Some(false) {
            continue;
        }
        for column in &served.decks {
            for run in column.cands.chunk_by(|a, b| a == b) {
                let limit = node.limit(column.span, run[0]);
                let wanted = run.len() as u32;
                if limit.least < wanted && limit.most >= wanted {
                    return Some(Decision::Cars { span: column.span, cand: run[0], least: wanted });
                }
            }
        }
    }
    let open = node.levels.iter().position(|(lowest, highest)| lowest < highest);
    open.map(|yard| Decision::Level { yard, level: node.levels[yard].1 })
}
