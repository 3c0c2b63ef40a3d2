//! The columns found so far and the rows beyond the plain ones: the restricted master program.

use std::collections::HashSet;

use crate::choose::bound::duals::LinkingRow;
use crate::choose::decks::column::Column;
use crate::choose::problem::Problem;

use crate::choose::decks::cuts::Cut;

/// The columns found so far, and the rows beyond the plain ones.
#[derive(Clone, Debug, Default)]
pub struct Master {
    pub columns: Vec<Column>,
    pub by_span: Vec<Vec<usize>>,
    pub linking_rows: Vec<LinkingRow>,
    pub cuts: Vec<Cut>,
    /// Per span all decks that a better plan can use, where they have been listed.
    pub listed: Option<Vec<Vec<Column>>>,
    known: HashSet<(usize, Vec<u32>)>,
}

impl Master {
    pub fn new(problem: &Problem) -> Self {
        Self { by_span: vec![Vec::new(); problem.spans.len()], ..Self::default() }
    }

    /// Takes a column in, unless it is known.
    pub fn add(&mut self, column: Column) -> bool {
        let new = self.known.insert((column.span, column.cands.clone()));
        if new {
            self.by_span[column.span].push(self.columns.len());
            self.columns.push(column);
        }
        new
    }

    /// Keeps of each span so many columns, the lightest by the weights given, and those of the decks
    /// given.
    pub fn keep_lightest(&mut self, weights: &[i64], most: usize, also: &[Column]) {
        let mut kept = Vec::new();
        for of_span in &self.by_span {
            let mut order: Vec<(i64, usize)> =
                of_span.iter().map(|index| (weights[*index], *index)).collect();
            order.sort_unstable();
            kept.extend(order.into_iter().take(most).map(|(_, index)| index));
        }
        self.keep(kept);
        for column in also {
            self.add(column.clone());
        }
    }

    /// Lists the decks that a better plan can use, and keeps only columns that are listed.
    pub fn list(&mut self, listed: Vec<Vec<Column>>) {
        let mut kept = Vec::new();
        for (decks, of_span) in listed.iter().zip(&self.by_span) {
            let known: HashSet<&Vec<u32>> = decks.iter().map(|deck| &deck.cands).collect();
            let here = |index: &&usize| known.contains(&self.columns[**index].cands);
            kept.extend(of_span.iter().filter(here));
        }
        self.keep(kept);
        self.listed = Some(listed);
    }

    /// The same with a car of an item dearer by so much.
    pub fn dearer(&mut self, problem: &Problem, item: usize, by: i64) {
        for column in &mut self.columns {
            let cars = column.items(problem).filter(|(other, _)| *other == item);
            let more = by * i64::from(cars.map(|(_, count)| count).sum::<u32>());
            column.net += more;
            column.outlay += more;
        }
    }

    /// Keeps only columns without a car of an item.
    pub fn without(&mut self, problem: &Problem, item: usize) {
        let has = |column: &Column| column.items(problem).any(|(other, _)| other == item);
        let kept = (0..self.columns.len()).filter(|index| !has(&self.columns[*index]));
        self.keep(kept.collect());
    }

    /// Keeps only these columns.
    fn keep(&mut self, kept: Vec<usize>) {
        let mut columns: Vec<Option<Column>> =
            std::mem::take(&mut self.columns).into_iter().map(Some).collect();
        for of_span in &mut self.by_span {
            of_span.clear();
        }
        self.known.clear();
        for index in kept {
            if let Some(column) = columns[index].take() {
                self.add(column);
            }
        }
    }
}
