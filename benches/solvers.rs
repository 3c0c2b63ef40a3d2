//! The search beside the solver that people would take: HiGHS on the model car by car and on the model deck
//! by deck, on the same markets.
//!
//! `cargo bench --features highs --bench solvers -- 10x60 20x150 40x400` prints one table; the sizes are
//! crossings x cars. `LIMIT=60` is the time limit in seconds of each run, `SEEDS=3` how many markets of each
//! size, `SHAPE=plain` their shape. Every run of HiGHS is one solve for each rank and one for the cost, as
//! ours is; where a rank is not proven, the bound is that of the number served. Time is the clock's, with
//! that of the processor beside it; memory is the peak of the run.

#![allow(clippy::print_stdout, clippy::unwrap_used)]

#[path = "../tests/testkit/mod.rs"]
mod testkit;

use std::collections::HashMap;
use std::time::{Duration, Instant};

use good_lp::solvers::highs::highs;
use good_lp::{Expression, Solution, SolverModel, Variable, constraint};
use spanyard::choose::{Effort, Market, choose};
use testkit::county::{SHAPES, shaped};
use testkit::deck_model;
use testkit::model::{self, Model};
use testkit::used::{forget_peak, peak, processor};

/// No deck model of more decks is made.
const DECKS_MOST: usize = 1_500_000;

fn main() {
    let text = |name: &str, default: &str| std::env::var(name).unwrap_or_else(|_| default.into());
    let sizes: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let sizes = if sizes.is_empty() { vec!["10x60".into()] } else { sizes };
    let limit = Duration::from_secs_f64(text("LIMIT", "60").parse().unwrap());
    let seeds: u64 = text("SEEDS", "3").parse().unwrap();
    let name = text("SHAPE", "plain");
    let shape = SHAPES.iter().find(|shape| shape.name == name).unwrap();
    println!("| market | by | served | net $ | bound $ | proven | s | processor s | peak MB |");
    println!("|{}", " --- |".repeat(9));
    for size in &sizes {
        let Some((crossings, cars)) = size.split_once('x') else { continue };
        let (crossings, cars) = (crossings.parse().unwrap(), cars.parse().unwrap());
        for seed in 1..=seeds {
            let market = shaped(crossings, cars, seed, shape);
            let told = |by: &str, run: &dyn Fn() -> Option<Found>| {
                println!("| {size} {name} {seed} | {by} | {} |", measured(run));
            };
            told("spanyard", &|| Some(ours(&market, limit)));
            told("HiGHS, decks", &|| {
                let (model, _) = deck_model::decks(&market, DECKS_MOST)?;
                by_highs(&market, model, limit)
            });
            told("HiGHS, cars", &|| by_highs(&market, model::direct(&market), limit));
        }
    }
}

/// What a run came to.
struct Found {
    served: usize,
    net: f64,
    bound: f64,
    proven: bool,
}

fn ours(market: &Market, limit: Duration) -> Found {
    let choice = choose(market, &Effort { time_limit: Some(limit), ..Effort::default() });
    Found {
        served: choice.crossings.iter().flatten().count(),
        net: choice.net.as_dollars(),
        bound: choice.bound.as_dollars(),
        proven: choice.service && choice.cheapest,
    }
}

/// Each rank in turn, then the cost. None: no plan was found in the time.
fn by_highs(market: &Market, model: Model, limit: Duration) -> Option<Found> {
    let start = Instant::now();
    let counts = model.of_ranks(market);
    let Model { variables, mut rules, served, net } = model;
    let all: Expression = model::total(served);
    let mut proven = true;
    for step in 0..=counts.len() {
        let left = limit.saturating_sub(start.elapsed()).max(Duration::from_millis(100));
        let goal = counts.get(step);
        // A rank may take a share of what is left, the cost all of it.
        let left = if goal.is_some() { left / 2 } else { left };
        let unsolved = match goal {
            Some(count) => variables.clone().maximise(count.clone()),
            // In dollars: HiGHS compares with absolute tolerances.
            None => variables.clone().minimise(net.clone() * 0.01),
        };
        let mut problem = unsolved.using(highs);
        for rule in &rules {
            problem.add_constraint(rule.clone());
        }
        let mut model = problem.try_into_inner().ok()?;
        model.set_option("time_limit", left.as_secs_f64());
        model.set_option("mip_rel_gap", 0.0);
        model.set_option("threads", 2);
        let solved = model.try_solve().ok()?;
        let optimal = format!("{:?}", solved.status()) == "Optimal";
        proven &= optimal;
        let columns = solved.get_solution();
        if columns.columns().is_empty() || !solved.objective_value().is_finite() {
            return None;
        }
        let Some(count) = goal else {
            let every = variables.iter_variables_with_def().map(|(variable, _)| variable);
            let values: HashMap<Variable, f64> =
                every.zip(columns.columns().iter().copied()).collect();
            return Some(Found {
                served: values.eval(&all).round() as usize,
                net: values.eval(&net) / 100.0,
                bound: solved.double_info_value(c"mip_dual_bound").unwrap_or(f64::NAN),
                proven,
            });
        };
        rules.push(constraint!(count.clone() >= solved.objective_value().round()));
    }
    None
}

/// A run with its time and memory.
fn measured(run: &dyn Fn() -> Option<Found>) -> String {
    forget_peak();
    let (start, before) = (Instant::now(), processor());
    let found = run();
    let (time, used) = (start.elapsed().as_secs_f64(), processor() - before);
    let told = found.map_or("- | - | - | no plan".to_owned(), |found| {
        let Found { served, net, bound, proven } = found;
        format!("{served} | {net:.2} | {bound:.2} | {}", if proven { "yes" } else { "no" })
    });
    format!("{told} | {time:.1} | {used:.1} | {:.0}", peak())
}
