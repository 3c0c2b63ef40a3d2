//! Speed of the rating: every car against every span for every vehicle, load effects shared per
//! span, on one core. The target is 5,000 cars, 300 crossings and 12 vehicles in under half a
//! second (`pairs/5000x300x12`); the smaller sizes show how it grows.

#![allow(missing_docs, clippy::unwrap_used)]

#[path = "../tests/rating/support.rs"]
mod support;

#[path = "../tests/testkit/mod.rs"]
mod testkit;

use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use spanyard::model::rules::Rules;
use spanyard::quantity::{Feet, Inches, Kips};
use spanyard::rate::{Girder, Governing, SpanLoads};
use spanyard::read::{SourceText, Sources, read};
use spanyard::survey::Survey;
use testkit::program;

const VEHICLES: [&str; 12] = [
    "H15", "H20", "HS15", "HS20", "HL-93", "Type 3", "Type 3S2", "Type 3-3", "SU4", "SU7", "EV2",
    "EV3",
];

/// Cars of many sizes; `tapering` in ten of them taper.
fn girders(count: usize, tapering: usize, rules: &Rules) -> Vec<Girder> {
    (0..count)
        .map(|i| {
            let mut car = support::car();
            let length = 50.0 + (i % 40) as f64;
            car.length = Some(Feet(length));
            car.truck_centers = Some(Feet(length - 14.0));
            car.weight = Some(Kips(0.7 * length));
            car.width = Some(Feet(8.5 + (i % 5) as f64 * 0.3));
            if let Some(plates) = &mut car.girder.plates {
                plates.top_flange.thickness_in = Inches(0.75 + (i % 17) as f64 * 0.05);
                plates.bottom_flange.thickness_in = plates.top_flange.thickness_in;
                if i % 10 < tapering {
                    plates.web_depth_at_trucks_in = Some(Inches(18.0));
                }
            }
            Girder::of(&car, rules).unwrap()
        })
        .collect()
}

/// Spans all different, so that nothing is shared between crossings.
fn spans(count: usize, vehicles: usize, rules: &Rules) -> Vec<Governing<'_>> {
    (0..count)
        .map(|i| {
            let span = 25.0 + i as f64 * 41.0 / count as f64;
            let crossing = support::crossing(span, &VEHICLES[..vehicles]);
            Governing::of(SpanLoads::of(&crossing, Feet(span), rules).unwrap(), rules)
        })
        .collect()
}

fn passing(girders: &[Girder], spans: &[Governing]) -> usize {
    spans
        .iter()
        .map(|span| girders.iter().filter(|girder| span.barred(girder).is_empty()).count())
        .sum()
}

fn pairs(c: &mut Criterion) {
    let rules = support::rules();
    let mut group = c.benchmark_group("pairs");
    group.sample_size(10).measurement_time(Duration::from_secs(5));
    for (cars, crossings, vehicles) in
        [(50, 30, 12), (500, 30, 12), (500, 300, 12), (5000, 300, 3), (5000, 300, 12)]
    {
        let girders = girders(cars, 3, &rules);
        let spans = spans(crossings, vehicles, &rules);
        group.throughput(Throughput::Elements((cars * crossings * vehicles) as u64));
        let name = BenchmarkId::from_parameter(format!("{cars}x{crossings}x{vehicles}"));
        group.bench_function(name, |b| {
            b.iter(|| passing(black_box(&girders), black_box(&spans)));
        });
    }
    group.finish();
}

/// The same number of pairs with no, some and only tapering girders.
fn taper(c: &mut Criterion) {
    let rules = support::rules();
    let mut group = c.benchmark_group("tapering tenths");
    group.sample_size(10);
    let spans = spans(30, 12, &rules);
    for tenths in [0, 3, 10] {
        let girders = girders(500, tenths, &rules);
        group.bench_function(BenchmarkId::from_parameter(tenths), |b| {
            b.iter(|| passing(black_box(&girders), black_box(&spans)));
        });
    }
    group.finish();
}

/// What is worked out once: load effects of a span, girder of a car.
fn once(c: &mut Criterion) {
    let rules = support::rules();
    let crossing = support::crossing(66.0, &VEHICLES);
    c.bench_function("loads of one span, 12 vehicles", |b| {
        b.iter(|| SpanLoads::of(black_box(&crossing), Feet(66.0), &rules).unwrap());
    });
    let car = support::car();
    c.bench_function("girder of one car", |b| {
        b.iter(|| Girder::of(black_box(&car), &rules).unwrap());
    });
}

/// The whole survey of a large program as `plan` makes it: every screening and rating check of every
/// car on every span, on as many threads as there are processors.
fn survey(c: &mut Criterion) {
    let mut group = c.benchmark_group("survey");
    group.sample_size(10);
    for (crossings, cars) in [(10, 60), (100, 1500), (300, 5000)] {
        let files = program::program(crossings, cars, 1);
        let text = |name: &str, text: String| SourceText::new(name, text.into_bytes());
        let sources = Sources {
            inventories: vec![text("cars.csv", files.inventory)],
            yards: Some(text("yards.csv", files.yards)),
            lots: Some(text("lots.csv", files.lots)),
            crossings: Some(text("crossings.csv", files.crossings)),
            ..Sources::default()
        };
        let inputs = read(&sources, jiff::civil::date(2026, 1, 1)).unwrap().inputs;
        group.bench_function(BenchmarkId::from_parameter(format!("{crossings}x{cars}")), |b| {
            b.iter(|| Survey::new(black_box(&inputs)));
        });
    }
    group.finish();
}

criterion_group!(benches, pairs, taper, once, survey);
criterion_main!(benches);
