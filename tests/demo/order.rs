//! The order of rows and files never changes a result.

use super::county::County;

/// A small linear congruential generator (constants of Knuth's MMIX), so that the shuffle is the
/// same on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % n
    }

    fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}

#[test]
fn shuffled_rows_give_the_identical_plan() {
    let county = County::new();
    let mut dice = Dice(20_260_601);
    let mut shuffled = county.clone();
    for file in
        ["drumfell.csv", "sallowby.csv", "orlhaven.csv", "yards.csv", "lots.csv", "crossings.csv"]
    {
        let (header, mut rows) = county.rows(file);
        dice.shuffle(&mut rows);
        shuffled = shuffled.with_rows(file, &header, &rows);
        assert_ne!(county.rows(file).1, rows, "{file} was not shuffled");
    }
    assert_eq!(shuffled.plan().plan, county.plan().plan);
}
