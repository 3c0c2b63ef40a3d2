//! Speed of the reader: an inventory of 100,000 rows in our columns, one with a problem in each row,
//! and a dealer's own list. The target is half a second for each.

#![allow(missing_docs, dead_code, clippy::expect_used, clippy::panic)]

#[path = "../tests/read/county.rs"]
mod county;
#[path = "../tests/read/long.rs"]
mod long;

use std::hint::black_box;
use std::time::Duration;

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use spanyard::read::{Checked, Sources, examine};

const ROWS: usize = 100_000;

/// The answer to the files, and how many rows became cars or problems.
fn read(files: &Sources) -> Checked {
    let checked = examine(black_box(files), county::TODAY);
    let cars = checked.inputs.as_ref().map_or(0, |inputs| inputs.cars.len());
    assert_eq!(cars + checked.problems.len(), ROWS);
    checked
}

fn reading(c: &mut Criterion) {
    let mut group = c.benchmark_group("reading");
    group.sample_size(10).warm_up_time(Duration::from_secs(1));
    group.throughput(Throughput::Elements(ROWS as u64));
    for (name, files) in [
        ("tidy", long::tidy(ROWS, "")),
        ("spoilt", long::tidy(ROWS, "x")),
        ("dealers", long::dealers(ROWS)),
    ] {
        // Giving the memory back is none of the reader's work.
        group.bench_function(name, |b| {
            b.iter_batched(|| (), |()| read(&files), BatchSize::PerIteration)
        });
    }
    group.finish();
}

criterion_group!(benches, reading);
criterion_main!(benches);
