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

/// The text without the line numbers behind the files' names.
fn without_lines(text: &str) -> String {
    let mut parts = text.split(".csv:");
    let mut told = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        told.push_str(".csv:");
        told.push_str(part.trim_start_matches(|c: char| c.is_ascii_digit()));
    }
    told
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
    // Only the lines differ on which the facts stand.
    let told = |county: &County| without_lines(&format!("{:?}", county.plan().plan));
    assert_eq!(told(&shuffled), told(&county));
}
