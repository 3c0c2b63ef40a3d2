//! How long the choice takes, and how near it comes, on seeded markets of the job's shape.
//!
//! `cargo bench --bench choose -- 10x60 40x400 100x1500 300x5000` prints a table; the sizes are
//! crossings x cars, three seeds each. `LIMIT=20` is the time limit in seconds (60 unless told),
//! `SEED=2` runs one seed alone, `DIRECT=1` also solves the same market car by car with a general
//! solver, where that is small enough to end; `TRAILERS=1` lets most cars share trailers, at up to $1,500
//! a haul beside the other costs. Times of the processor count all threads, so that a
//! busy machine can be told from a slow search; peak memory and processor time need Linux.

#![allow(clippy::print_stdout, clippy::unwrap_used)]

#[path = "../tests/testkit/mod.rs"]
mod testkit;

use std::cell::Cell;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use spanyard::choose::{Effort, Market, Progress, choose};
use testkit::used::{forget_peak, peak, processor};
use testkit::{county, market, model as direct};

/// Seconds for each solve of the direct model.
const DIRECT_LIMIT: f64 = 60.0;

/// Gaps in per cent whose times are told.
const NEAR: [f64; 2] = [0.5, 0.25];

fn main() {
    let number = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    let sizes: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let sizes = if sizes.is_empty() { vec!["10x60".into(), "12x90".into()] } else { sizes };
    let limit = Duration::from_secs(number("LIMIT").unwrap_or(60));
    println!(
        "| crossings x cars | seed | time s | processor s | net $ | bound $ | gap % | \
         0.5 % after s (processor s) | 0.25 % after s (processor s) | served | proven | peak MB | direct model |"
    );
    println!("|{}", " --- |".repeat(13));
    for size in sizes {
        let Some((crossings, cars)) = size.split_once('x') else { continue };
        let (Ok(crossings), Ok(cars)) = (crossings.parse(), cars.parse()) else { continue };
        for seed in number("SEED").map_or(1..=3, |seed| seed..=seed) {
            let mut market = county::county(crossings, cars, seed);
            if number("TRAILERS").is_some() {
                market::share_trailers(&mut market, 150_000, &mut market::Rng::new(seed));
            }
            let direct = if number("DIRECT").is_some() { direct_time(&market) } else { "-".into() };
            println!("| {size} | {seed} | {} | {direct} |", row(&market, limit));
        }
    }
}

/// One run: time, processor time, cost, bound, gap, when it came near, served, proven, memory.
fn row(market: &Market, limit: Duration) -> String {
    forget_peak();
    let (start, before) = (Instant::now(), processor());
    let near: Cell<[Option<(f64, f64)>; 2]> = Cell::default();
    let watch = |progress: &Progress| {
        let mut times = near.get();
        for (time, gap) in times.iter_mut().zip(NEAR) {
            if time.is_none() && progress.gap().is_some_and(|reached| reached.0 <= gap) {
                *time = Some((progress.elapsed.as_secs_f64(), processor() - before));
            }
        }
        near.set(times);
        ControlFlow::Continue(())
    };
    let effort = Effort { time_limit: Some(limit), watch: Some(&watch), ..Effort::default() };
    let choice = choose(market, &effort);
    let (time, used) = (start.elapsed().as_secs_f64(), processor() - before);
    let gap = 100.0 * (choice.net.0 - choice.bound.0) as f64 / choice.bound.0.max(1) as f64;
    let proven = choice.cheapest && choice.service;
    let near = near.get().map(|time| match time {
        _ if proven && time.is_none() => {
            format!("{time:.2} ({used:.2})", time = start.elapsed().as_secs_f64())
        }
        Some((time, used)) => format!("{time:.2} ({used:.2})"),
        None => "not".to_owned(),
    });
    format!(
        "{time:.2} | {used:.2} | {:.0} | {:.0} | {gap:.3} | {} | {} | {} | {proven} | {:.0}",
        choice.net.as_dollars(),
        choice.bound.as_dollars(),
        near[0],
        near[1],
        choice.crossings.iter().flatten().count(),
        peak(),
    )
}

fn direct_time(market: &Market) -> String {
    let start = Instant::now();
    match direct::best(market, Some(DIRECT_LIMIT)) {
        Ok(None) => format!("not in {DIRECT_LIMIT} s a solve"),
        Ok(Some((_, net))) => {
            format!("{:.1} s, ${:.0}", start.elapsed().as_secs_f64(), net as f64 / 100.0)
        }
        Err(error) => format!("{error}"),
    }
}
