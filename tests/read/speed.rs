//! How long a long file takes. Run in release mode: `cargo test --release --test read -- --ignored`.

use std::time::{Duration, Instant};

use spanyard::read::read;

use crate::county::{TODAY, good};
use crate::long;

/// The time that a piece of work keeps a processor busy, so that other work on the machine does not
/// count; where the system does not tell, the time it takes.
fn time<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let busy = || {
        let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        text.split(' ').next()?.parse().ok().map(Duration::from_nanos)
    };
    let (start, before) = (Instant::now(), busy());
    let made = work();
    let taken = start.elapsed();
    (made, busy().zip(before).map_or(taken, |(after, before)| after - before))
}

#[test]
#[ignore = "a measurement, in release mode only"]
fn a_hundred_thousand_rows_take_well_under_a_second() {
    let files = long::tidy(100_000, "");
    let (reading, sound) = time(|| good(&files));
    assert_eq!(reading.inputs.cars.len(), 100_000);
    let files = long::tidy(100_000, "x");
    let (problems, spoilt) = time(|| read(&files, TODAY).unwrap_err());
    assert_eq!(problems.len(), 100_000);
    let bytes = files.inventories[0].bytes.len();
    eprintln!("100,000 rows, {bytes} bytes: sound {sound:?}, each with a problem {spoilt:?}");
    assert!(sound.as_secs_f64() < 1.0, "{sound:?}");
}

#[test]
#[ignore = "a measurement, in release mode only"]
fn a_hundred_thousand_rows_of_a_dealer_take_two_seconds_at_most() {
    let files = long::dealers(100_000);
    let (reading, taken) = time(|| good(&files));
    assert_eq!(reading.inputs.cars.len(), 100_000);
    eprintln!("100,000 rows of a dealer's list: {taken:?}");
    assert!(taken.as_secs_f64() < 2.0, "{taken:?}");
}
