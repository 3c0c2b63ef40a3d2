//! Rows that tie the decks of a crossing to the purchase of a lot or the trip to a yard.

use super::BranchAndPrice;
use crate::choose::bound::duals::LinkingRow;
use crate::choose::bound::relaxed::Relaxed;
use crate::choose::problem::group::Group;
use crate::choose::tuning::LINKING_ROW_BROKEN;
use std::collections::BTreeMap;

impl BranchAndPrice<'_> {
    /// Adds the linking rows that a solution breaks: per crossing and group, of each layout the span
    /// whose decks use the group most.
    pub(super) fn separate(&mut self, relaxed: &Relaxed) -> bool {
        let problem = self.problem;
        let mut by_group: BTreeMap<(usize, Group), Vec<(usize, f64)>> = BTreeMap::new();
        for &(index, value) in &relaxed.columns {
            let column = &self.master.columns[index];
            let crossing = problem.spans[column.span].crossing;
            for &group in &column.groups {
                let spans = by_group.entry((crossing, group)).or_default();
                match spans.iter_mut().find(|(span, _)| *span == column.span) {
                    Some((_, sum)) => *sum += value,
                    None => spans.push((column.span, value)),
                }
            }
        }
        let mut added = false;
        for ((crossing, group), spans) in by_group {
            let mut sum = 0.0;
            let mut row = LinkingRow { group, spans: Vec::new() };
            for layout in problem.crossings[crossing].layouts.clone() {
                let of_layout =
                    spans.iter().filter(|(span, _)| problem.spans[*span].layout == layout);
                let most = of_layout.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
                if let Some((span, value)) = most {
                    sum += value;
                    row.spans.push(*span);
                }
            }
            let bought = match group {
                Group::Lot(lot) => relaxed.lots[lot],
                Group::Yard(yard) => relaxed.yards[yard],
            };
            if sum > bought + LINKING_ROW_BROKEN && !self.master.linking_rows.contains(&row) {
                self.master.linking_rows.push(row);
                added = true;
            }
        }
        added
    }
}
