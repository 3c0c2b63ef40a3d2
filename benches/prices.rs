//! How long the prices to beat of a whole market take, and how many are found to the cent.
//!
//! `cargo bench --bench prices -- 10x60 40x400` prints a table; the sizes are crossings x cars, on the
//! seeded markets of the bench `choose`. `PLAN=20` is the time for the plan, `WITHIN=60` the time for
//! all prices together, in seconds; `SEED=2` runs one seed alone.

#![allow(clippy::print_stdout, clippy::unwrap_used)]

#[path = "../tests/testkit/mod.rs"]
mod testkit;

use std::time::{Duration, Instant};

use spanyard::after::prices::{Beat, Question, Subject, Worth, prices_for};
use spanyard::choose::{Effort, choose};
use spanyard::model::inputs::{CarIx, LotIx};
use spanyard::quantity::Percent;
use testkit::county;

fn main() {
    let number = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    let sizes: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let sizes = if sizes.is_empty() { vec!["10x60".into()] } else { sizes };
    let plan = Duration::from_secs(number("PLAN").unwrap_or(20));
    let within = Duration::from_secs(number("WITHIN").unwrap_or(60));
    println!(
        "| crossings x cars | seed | plan s | gap $ | prices | s | never | to the cent | ranges | \
         half of the ranges within $ | all within $ | unknown |"
    );
    println!("|{}", " --- |".repeat(12));
    for size in sizes {
        let Some((crossings, cars)) = size.split_once('x') else { continue };
        let (Ok(crossings), Ok(cars)) = (crossings.parse(), cars.parse()) else { continue };
        for seed in number("SEED").map_or(1..=3, |seed| seed..=seed) {
            println!("| {size} | {seed} | {} |", row(crossings, cars, seed, plan, within));
        }
    }
}

fn row(crossings: usize, cars: usize, seed: u64, plan: Duration, within: Duration) -> String {
    let market = county::county(crossings, cars, seed);
    let start = Instant::now();
    let choice = choose(&market, &Effort { time_limit: Some(plan), ..Effort::default() });
    let planned = start.elapsed();
    let singles = (0..market.offers.len()).filter(|row| market.offers[*row].lot.is_none());
    let lots = (0..market.lots.len()).filter(|lot| market.lots[*lot].is_some());
    let subjects: Vec<Subject> = singles
        .map(|row| Subject::Row(CarIx(row)))
        .chain(lots.map(|lot| Subject::Lot(LotIx(lot))))
        .collect();
    let question = Question {
        discount_pct: 10.0,
        worth: Worth { share: Percent(20.0), scrap: &[], sales_tax: Percent(0.0) },
        time_limit: None,
        in_all: Some(within),
        interrupt: None,
    };
    let start = Instant::now();
    let found = prices_for(&market, &choice, &subjects, &question, &|_, _| ());
    let took = start.elapsed();
    let proven = found.list.iter().filter(|offer| offer.proven);
    let never = proven.clone().filter(|offer| offer.beat == Beat::Never).count();
    let mut widths: Vec<f64> = found
        .list
        .iter()
        .filter(|offer| !offer.proven)
        .filter_map(|offer| offer.range.map(|(least, most)| (most - least).as_dollars()))
        .collect();
    widths.sort_by(f64::total_cmp);
    let half = widths.get(widths.len() / 2).map_or("-".to_owned(), |width| format!("{width:.0}"));
    format!(
        "{:.1} | {:.0} | {} | {:.1} | {never} | {} | {} | {half} | {} | {}",
        planned.as_secs_f64(),
        (choice.net - choice.bound).as_dollars(),
        found.list.len(),
        took.as_secs_f64(),
        proven.count() - never,
        widths.len(),
        widths.last().map_or("-".to_owned(), |width| format!("{width:.0}")),
        found.list.iter().filter(|offer| !offer.proven && offer.range.is_none()).count(),
    )
}
