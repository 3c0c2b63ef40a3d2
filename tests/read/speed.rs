//! How long a long file takes. Run in release mode on an idle machine: `cargo test --release --test read -- --ignored`.

use std::time::{Duration, Instant};

use spanyard::read::read;

use crate::county::{TODAY, good};
use crate::long;

/// The time that a piece of work takes; it says little where other work keeps the processors busy.
fn time<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let made = work();
    (made, start.elapsed())
}

#[test]
#[ignore = "a measurement, in release mode only"]
fn a_hundred_thousand_rows_take_half_a_second_at_most() {
    let files = long::tidy(100_000, "");
    let (reading, sound) = time(|| good(&files));
    assert_eq!(reading.inputs.cars.len(), 100_000);
    let files = long::tidy(100_000, "x");
    let (problems, spoilt) = time(|| read(&files, TODAY).unwrap_err());
    assert_eq!(problems.len(), 100_000);
    let bytes = files.inventories[0].bytes.len();
    eprintln!("100,000 rows, {bytes} bytes: sound {sound:?}, each with a problem {spoilt:?}");
    assert!(sound.as_secs_f64() < 0.5, "{sound:?}");
}

#[test]
#[ignore = "a measurement, in release mode only"]
fn a_hundred_thousand_rows_of_a_dealer_take_half_a_second_at_most() {
    let files = long::dealers(100_000);
    let (reading, taken) = time(|| good(&files));
    assert_eq!(reading.inputs.cars.len(), 100_000);
    eprintln!("100,000 rows of a dealer's list: {taken:?}");
    assert!(taken.as_secs_f64() < 0.5, "{taken:?}");
}
