//! What a search hands on to others on problems much like its own, and how they go on from it.

use super::BranchAndPrice;
use crate::choose::bound::duals::{Duals, LinkingRow};
use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::clock::Clock;
use crate::choose::decks::cuts::Cut;
use crate::choose::plan::Plan;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::Stage;

/// The best multipliers of a root, with the rows that they belong to.
pub struct RootDuals {
    duals: Duals,
    bound: i64,
    linking_rows: Vec<LinkingRow>,
    cuts: Vec<Cut>,
}

impl<'a> BranchAndPrice<'a> {
    /// Goes on from the multipliers, rows and columns of a problem much like this one, with the same items,
    /// spans and layouts, in place of an ascent. Rows must hold here too.
    pub fn resumed(
        problem: &'a Problem,
        stage: &Stage,
        (master, duals): (Master, Duals),
        clock: &'a Clock<'a>,
        plan: Plan,
        value: i64,
    ) -> Self {
        let cuts = master.cuts.clone();
        let mut tree = Self::new(problem, stage, master, clock, plan, value);
        tree.master.cuts = cuts;
        Self { warm: Some(duals), resumed: true, ..tree }
    }

    /// The same search, of which it is known that no plan has a value below this.
    pub fn known_from(self, value: i64) -> Self {
        Self { known: value.saturating_mul(self.stage.scale), ..self }
    }

    /// A first bound, and columns near it, from multipliers that were good elsewhere. Where that leaves few
    /// decks, they are listed at once, and the root decides what the list does.
    pub(super) fn resume(&mut self, duals: Duals, root: &mut Node) -> i64 {
        let found = self.evaluate(&duals, root);
        if self.closes(found.bound) {
            return found.bound;
        }
        self.take_columns(found.fresh);
        self.add_near_columns(&duals, found.bound);
        self.list(root, &duals);
        self.center = Some((duals, found.bound));
        found.bound
    }

    /// The best multipliers that ascent, linear programs and cuts at the root come to, and a master with
    /// their rows and the columns. They hold for all plans, not only for better ones: no deck is left
    /// out.
    pub fn root_duals(mut self) -> (Duals, Master) {
        let bound = self.ascend();
        if let Some((duals, bound)) = self.center.clone() {
            self.best_duals = Some(self.with_rows(duals, bound));
        }
        self.lists = false;
        self.process(&mut Node::root(self.problem), bound, true);
        let mut master = self.master;
        let Some(best) = self.best_duals else {
            master.cuts.clear();
            return (Duals::zero(self.problem, master.linking_rows.len(), 0), master);
        };
        (master.linking_rows, master.cuts) = (best.linking_rows, best.cuts);
        (best.duals, master)
    }

    fn with_rows(&self, duals: Duals, bound: i64) -> RootDuals {
        let Master { linking_rows, cuts, .. } = &self.master;
        RootDuals { duals, bound, linking_rows: linking_rows.clone(), cuts: cuts.clone() }
    }

    /// Keeps multipliers that give the best bound so far, where somebody wants them.
    pub(super) fn keep_duals(&mut self, duals: &Duals, bound: i64) {
        if self.best_duals.as_ref().is_some_and(|best| bound > best.bound) {
            self.best_duals = Some(self.with_rows(duals.clone(), bound));
        }
    }
}
