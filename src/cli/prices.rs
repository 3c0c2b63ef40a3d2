//! `spanyard prices`: prices to beat, for the telephone.

use std::time::{Duration, Instant};

use spanyard::after::prices::{Question, Worth, prices};
use spanyard::price::scrap_value;
use spanyard::quantity::Percent;
use spanyard::report::{csv, json, terminal};

use super::files::warnings;
use super::plan::{percent, seconds};
use super::progress::counted;
use super::solving::SolveArgs;
use super::{Answer, Exit, Format};

/// Arguments of `prices`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  spanyard prices\n  spanyard prices --within 600")]
pub struct Args {
    #[command(flatten)]
    solving: SolveArgs,

    /// Tell what a discount of this many percent saves, dealer by dealer
    #[arg(long, value_name = "PERCENT", default_value = "10", value_parser = percent)]
    discount: Percent,

    /// Stop after this many seconds; what is not proven by then is told as a range
    #[arg(long, value_name = "SECONDS", default_value = "60", value_parser = seconds)]
    within: Duration,

    /// Output
    #[arg(long, value_enum, default_value_t = Format::Table)]
    format: Format,
}

/// Finds and reports the prices to beat.
pub fn run(args: &Args, width: usize) -> anyhow::Result<Answer> {
    let case = match args.solving.solve(width)? {
        Ok(case) => case,
        Err(answer) => return Ok(answer),
    };
    let inputs = &case.reading.inputs;
    let rate = inputs.rules.purchase.scrap_usd_per_lb;
    let scrap: Vec<_> = inputs.cars.iter().map(|car| scrap_value(car, rate)).collect();
    let question = Question {
        discount_pct: args.discount.0,
        worth: Worth {
            share: inputs.rules.purchase.stock_value_pct,
            scrap: &scrap,
            sales_tax: inputs.rules.overhead.sales_tax_pct,
        },
        time_limit: case.time_limit,
        in_all: Some(args.within),
        interrupt: case.options.effort.interrupt,
    };
    let prices =
        prices(inputs, &case.survey, &case.solved, &question, &counted("prices", Instant::now()));
    let stdout = match args.format {
        Format::Table => terminal::prices(inputs, &prices, args.discount.0, width),
        Format::Json => json::prices(inputs, &prices, args.discount.0)?,
        Format::Csv => csv::prices(inputs, &prices)?,
    };
    let proven = prices.left_out == 0 && prices.list.iter().all(|offer| offer.proven);
    let exit = if proven { Exit::Done } else { Exit::Unproven };
    Ok(Answer::done(stdout).exit(exit).beside(warnings(&case.reading, width)))
}
