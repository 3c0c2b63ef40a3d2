//! Lots and yards, as what is paid for once however many of their cars are placed.

use std::ops::{Index, IndexMut};

/// What is paid for as a whole when the first car of it is placed: a lot its price, a yard its trip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// By its place in the lots of the problem.
    Lot(usize),
    /// By its place in the yards of the problem.
    Yard(usize),
}

/// One value for each lot and each yard.
#[derive(Clone, Debug, Default)]
pub struct ByGroup<T> {
    pub lots: Vec<T>,
    pub yards: Vec<T>,
}

impl<T> ByGroup<T> {
    /// All values, lots first.
    pub fn values(&self) -> impl Iterator<Item = &T> {
        self.lots.iter().chain(&self.yards)
    }
}

impl<T> Index<Group> for ByGroup<T> {
    type Output = T;

    fn index(&self, group: Group) -> &T {
        match group {
            Group::Lot(lot) => &self.lots[lot],
            Group::Yard(yard) => &self.yards[yard],
        }
    }
}

impl<T> IndexMut<Group> for ByGroup<T> {
    fn index_mut(&mut self, group: Group) -> &mut T {
        match group {
            Group::Lot(lot) => &mut self.lots[lot],
            Group::Yard(yard) => &mut self.yards[yard],
        }
    }
}
