//! How much of a printed page things take, estimated on the safe side: what must have a page of its
//! own, so that the contents can name pages, is broken where the estimate says so.

/// Height of a printed page between its margins, in points: of US Letter, which is the shorter.
pub const PAGE: f64 = 704.0;

/// Lines that a text takes where so many characters fit on one; at least one.
pub fn lines(text: &str, per_line: usize) -> usize {
    text.chars().count().div_ceil(per_line.max(1)).max(1)
}

/// Rows in runs that each fit a page: the first has `first` points left, each other one `later`.
/// Every run but the first has a row at least.
pub fn runs<T>(rows: Vec<T>, height: impl Fn(&T) -> f64, first: f64, later: f64) -> Vec<Vec<T>> {
    let mut runs = vec![Vec::new()];
    let mut left = first;
    for row in rows {
        let high = height(&row);
        if high > left {
            runs.push(Vec::new());
            left = later;
        }
        left -= high;
        if let Some(run) = runs.last_mut() {
            run.push(row);
        }
    }
    runs
}

/// On how many pages blocks come to stand that are not divided, and before which a page begins.
pub fn breaks(blocks: &[f64]) -> (usize, Vec<bool>) {
    let mut pages = 1;
    let mut left = PAGE;
    let mut begin = Vec::new();
    for (number, &high) in blocks.iter().enumerate() {
        let new = number > 0 && high > left;
        if new {
            pages += 1;
            left = PAGE;
        }
        // A block longer than a page goes on by itself.
        let mut rest = high;
        while rest > PAGE {
            pages += 1;
            rest -= PAGE;
            left = PAGE;
        }
        left -= rest;
        begin.push(new);
    }
    (pages, begin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_go_on_to_the_next_page_where_one_is_full() {
        let rows = vec![4.0, 4.0, 4.0, 9.0, 1.0];
        let found = runs(rows, |row| *row, 8.0, 10.0);
        assert_eq!(found, [vec![4.0, 4.0], vec![4.0], vec![9.0, 1.0]]);
        assert_eq!(runs(Vec::<f64>::new(), |row| *row, 8.0, 10.0), [Vec::<f64>::new()]);
        assert_eq!(runs(vec![9.0], |row| *row, 8.0, 10.0), [vec![], vec![9.0]]);
    }

    #[test]
    fn blocks_are_not_divided_unless_longer_than_a_page() {
        assert_eq!(breaks(&[300.0, 300.0]), (1, vec![false, false]));
        assert_eq!(breaks(&[300.0, 300.0, 200.0]), (2, vec![false, false, true]));
        assert_eq!(breaks(&[800.0]), (2, vec![false]));
    }

    #[test]
    fn lines_are_counted_up() {
        assert_eq!([lines("", 5), lines("12345", 5), lines("123456", 5)], [1, 1, 2]);
    }
}
