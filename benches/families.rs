//! Families of seeded markets: how many crossings are served, and how soon it is proven that no more
//! can be, and that none costs less.
//!
//! `cargo bench --bench families -- plain piers lots` with `SIZES=20x150,40x400`, `SEEDS=10` and
//! `LIMIT=10` (seconds a market) prints one line for each market with `EACH=1`, and one for each family.

#![allow(clippy::print_stdout, clippy::unwrap_used)]

#[path = "../tests/testkit/mod.rs"]
mod testkit;

use std::cell::Cell;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use spanyard::choose::{Choice, Effort, Market, Progress, choose};
use testkit::county::{self, SHAPES, Shape};

fn main() {
    let text = |name: &str, default: &str| std::env::var(name).unwrap_or_else(|_| default.into());
    let names: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let limit = Duration::from_secs_f64(text("LIMIT", "10").parse().unwrap());
    let seeds: u64 = text("SEEDS", "10").parse().unwrap();
    let each = std::env::var("EACH").is_ok();
    println!(
        "| family | served | service proven | by seconds | cost proven | by seconds | worst gap % |"
    );
    println!("|{}", " --- |".repeat(7));
    for size in text("SIZES", "20x150,40x400").split(',') {
        let (crossings, cars) = size.split_once('x').unwrap();
        let (crossings, cars) = (crossings.parse().unwrap(), cars.parse().unwrap());
        let asked = |shape: &&Shape| names.is_empty() || names.iter().any(|n| n == shape.name);
        for shape in SHAPES.iter().filter(asked) {
            let mut runs = Vec::new();
            for seed in 1..=seeds {
                let market = county::shaped(crossings, cars, seed, shape);
                let run = run(&market, limit);
                if each {
                    println!("| {size} {} {seed} {}", shape.name, row(std::slice::from_ref(&run)));
                }
                runs.push(run);
            }
            println!("| **{size} {}** {}", shape.name, row(&runs));
        }
    }
}

/// One market chosen from.
struct Run {
    choice: Choice,
    /// When the first bound on cost was told, which is when service was proven or given up, and the end.
    service: f64,
    end: f64,
}

fn run(market: &Market, limit: Duration) -> Run {
    let bounded = Cell::new(None);
    let watch = |progress: &Progress| {
        if bounded.get().is_none() && progress.bound.is_some() {
            bounded.set(Some(progress.elapsed.as_secs_f64()));
        }
        ControlFlow::Continue(())
    };
    let start = Instant::now();
    let effort = Effort { time_limit: Some(limit), watch: Some(&watch), ..Effort::default() };
    let choice = choose(market, &effort);
    let end = start.elapsed().as_secs_f64();
    Run { choice, service: bounded.get().unwrap_or(end), end }
}

/// Served, service proven and by when, cost proven and by when, the widest gap.
fn row(runs: &[Run]) -> String {
    let count = |proven: fn(&Choice) -> bool| runs.iter().filter(|r| proven(&r.choice)).count();
    let served: usize = runs.iter().map(|r| r.choice.crossings.iter().flatten().count()).sum();
    let most = |times: &mut dyn Iterator<Item = f64>| times.fold(0.0, f64::max);
    let by_service = most(&mut runs.iter().filter(|r| r.choice.service).map(|r| r.service));
    let whole = |r: &&Run| r.choice.service && r.choice.cheapest;
    let by_end = most(&mut runs.iter().filter(whole).map(|r| r.end));
    let gap = |r: &Run| {
        100.0 * (r.choice.net.0 - r.choice.bound.0) as f64 / r.choice.bound.0.max(1) as f64
    };
    let gap = most(&mut runs.iter().map(gap));
    format!(
        "| {served} | {} | {by_service:.2} | {} | {by_end:.2} | {gap:.3} |",
        count(|choice| choice.service),
        count(|choice| choice.service && choice.cheapest),
    )
}
