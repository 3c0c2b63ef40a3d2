//! One value for each row that the ascent moves.

/// One value for each row that the ascent moves: multipliers, a direction, how far rows are broken.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Multipliers<T> {
    /// Per item: its quantity.
    pub item: Vec<T>,
    /// Per rank with a number unserved.
    pub rank: Vec<T>,
    /// Per linking row.
    pub linking: Vec<T>,
    /// Per cut; those that are missing are zero.
    pub cut: Vec<T>,
}

impl<T: Copy> Multipliers<T> {
    fn each(&self) -> [&Vec<T>; 4] {
        [&self.item, &self.rank, &self.linking, &self.cut]
    }

    fn each_mut(&mut self) -> [&mut Vec<T>; 4] {
        [&mut self.item, &mut self.rank, &mut self.linking, &mut self.cut]
    }

    /// All values.
    pub fn values(&self) -> impl Iterator<Item = T> + '_ {
        self.each().into_iter().flatten().copied()
    }

    /// What becomes of each value.
    pub fn map<U>(&self, change: impl Fn(T) -> U) -> Multipliers<U> {
        let changed = |values: &[T]| values.iter().map(|value| change(*value)).collect();
        Multipliers {
            item: changed(&self.item),
            rank: changed(&self.rank),
            linking: changed(&self.linking),
            cut: changed(&self.cut),
        }
    }

    /// The values beside those of others, as far as both have them.
    pub fn beside<'a, U: Copy>(
        &'a self,
        others: &'a Multipliers<U>,
    ) -> impl Iterator<Item = (T, U)> + 'a {
        let pairs = self.each().into_iter().zip(others.each());
        pairs.flat_map(|(own, others)| own.iter().copied().zip(others.iter().copied()))
    }

    /// Changes each value by those of others, as far as both have them.
    pub fn change<U: Copy>(&mut self, others: &Multipliers<U>, change: impl Fn(&mut T, U)) {
        for (own, others) in self.each_mut().into_iter().zip(others.each()) {
            own.iter_mut().zip(others).for_each(|(own, other)| change(own, *other));
        }
    }
}

impl<T: Copy + Default> Multipliers<T> {
    /// Rows that have come since have nothing yet.
    pub fn lengthen(&mut self, linking: usize, cuts: usize) {
        self.linking.resize(linking, T::default());
        self.cut.resize(cuts, T::default());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows<T: Copy>(item: &[T], rank: &[T], linking: &[T], cut: &[T]) -> Multipliers<T> {
        let [item, rank, linking, cut] = [item, rank, linking, cut].map(<[T]>::to_vec);
        Multipliers { item, rank, linking, cut }
    }

    #[test]
    fn rows_stay_beside_their_own_kind() {
        let one = rows(&[1, 2], &[3], &[4], &[]);
        let other = rows(&[10], &[30, 31], &[40], &[50]);
        assert_eq!(one.values().collect::<Vec<_>>(), [1, 2, 3, 4]);
        assert_eq!(one.beside(&other).collect::<Vec<_>>(), [(1, 10), (3, 30), (4, 40)]);
        let mut sum = one.clone();
        sum.change(&other, |own, other| *own += other);
        assert_eq!(sum, rows(&[11, 2], &[33], &[44], &[]));
        assert_eq!(one.map(|value| 2 * value), rows(&[2, 4], &[6], &[8], &[]));
        sum.lengthen(2, 1);
        assert_eq!(sum, rows(&[11, 2], &[33], &[44, 0], &[0]));
    }
}
