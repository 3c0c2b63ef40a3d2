//! How long a long file takes. The target holds for an idle machine with two processors: where other
//! work keeps them busy, DEVELOPERS.md says how to measure all the same.

use std::time::{Duration, Instant};

use spanyard::read::{Sources, examine};

use crate::read::county::TODAY;
use crate::read::long;

const ROWS: usize = 100_000;

/// The shortest time in which the files were read, of a few: whatever else the machine does can only
/// add to it.
fn shortest(files: &Sources, is_answer: impl Fn(usize, usize) -> bool) -> Duration {
    let time = |_| {
        let start = Instant::now();
        let checked = examine(files, TODAY);
        let taken = start.elapsed();
        let cars = checked.inputs.as_ref().map_or(0, |inputs| inputs.cars.len());
        assert!(is_answer(cars, checked.problems.len()), "{cars} cars");
        taken
    };
    (0..5).map(time).min().unwrap_or_default()
}

#[test]
#[ignore = "a measurement: in release mode, on an idle machine"]
fn a_hundred_thousand_rows_take_half_a_second_at_most() {
    let sound = |cars, problems| (cars, problems) == (ROWS, 0);
    let spoilt = |cars, problems| (cars, problems) == (0, ROWS);
    let times = [
        ("in our columns", shortest(&long::tidy(ROWS, ""), sound)),
        ("of a dealer", shortest(&long::dealers(ROWS), sound)),
        ("with a problem each", shortest(&long::tidy(ROWS, "x"), spoilt)),
    ];
    eprintln!("{ROWS} rows: {times:.0?}");
    assert!(times.iter().all(|(_, time)| time.as_secs_f64() < 0.5), "{times:.0?}");
}
