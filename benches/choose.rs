//! Times and gaps of the choice on seeded markets: `cargo bench --bench choose -- 10x60 40x400`.

#![allow(clippy::print_stdout)]

#[path = "../tests/common/market.rs"]
mod market;

use std::time::{Duration, Instant};

use spanyard::choose::{Effort, choose};

fn main() {
    let sizes: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let limit: u64 = std::env::var("LIMIT").ok().and_then(|l| l.parse().ok()).unwrap_or(60);
    let sizes = if sizes.is_empty() { vec!["10x60".into(), "12x90".into()] } else { sizes };
    println!("| crossings × cars | seed | time s | net $ | bound $ | gap % | served | proven |");
    println!("| --- | --- | --- | --- | --- | --- | --- | --- |");
    for size in sizes {
        let Some((crossings, cars)) = size.split_once('x') else { continue };
        let (crossings, cars) = (crossings.parse().unwrap_or(1), cars.parse().unwrap_or(1));
        for seed in 1..=3 {
            let market = market::county(crossings, cars, seed);
            let start = Instant::now();
            let effort =
                Effort { time_limit: Some(Duration::from_secs(limit)), ..Effort::default() };
            let choice = choose(&market, &effort);
            let time = start.elapsed().as_secs_f64();
            let served = choice.crossings.iter().flatten().count();
            let gap = 100.0 * (choice.net.0 - choice.bound.0) as f64 / choice.net.0.max(1) as f64;
            println!(
                "| {size} | {seed} | {time:.3} | {:.0} | {:.0} | {gap:.3} | {served} | {} |",
                choice.net.as_dollars(),
                choice.bound.as_dollars(),
                choice.cheapest && choice.service,
            );
        }
    }
}
