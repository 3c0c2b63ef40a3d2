//! The summary for the board.

use super::{Drawn, in_order};
use crate::model::inputs::Inputs;
use crate::model::plan::{Fate, NearMiss, Plan, sum};
use crate::quantity::Cents;
use crate::report::drawing;
use crate::report::facts::funds::funds;
use crate::report::facts::purchases::{cars_bought, own_stock};
use crate::report::facts::{PlanReport, count, headline};

/// The summary.
pub struct Board {
    pub title: String,
    pub figures: Vec<(String, String)>,
    pub proof: Vec<String>,
    /// What stands below the crossings' costs, down to what is paid.
    pub sums: Vec<Sum>,
    pub any_alternative: bool,
    pub unserved: Vec<NotServed>,
    /// The costs as bars; none where nothing is served.
    pub bars: Option<Drawn>,
    pub drawings: Vec<Drawn>,
}

/// A line below the crossings' costs.
pub struct Sum {
    pub words: String,
    pub amount: String,
    /// A sum of the lines above it.
    pub sum: bool,
}

/// A crossing that goes without.
pub struct NotServed {
    pub id: String,
    pub road: String,
    pub why: String,
    pub nearest: String,
}

pub fn board(report: &PlanReport<'_>) -> Board {
    let plan = report.plan;
    let (served, all) = (plan.served_count(), plan.crossings.len());
    let cars: usize = plan.purchases.iter().map(cars_bought).sum();
    let mut figures = vec![
        ("Cars bought".to_owned(), cars.to_string()),
        ("Yards".to_owned(), yards_bought_at(plan).to_string()),
        ("Crossings without".to_owned(), (all - served).to_string()),
    ];
    if let Some((served, all)) = headline::points(report.inputs, plan) {
        figures.push(("Points served".to_owned(), format!("{served} of {all}")));
    }
    if let Some(own) = own_stock(report.inputs, plan) {
        figures.push(("Cars from own stock".to_owned(), own.cars.to_string()));
    }
    if let Some(rate) = per_square_foot(report) {
        figures.push(("In place, a square foot of deck".to_owned(), rate.to_string()));
    }
    let paid = report.inputs.decided.paid;
    if paid != Cents::ZERO {
        figures.push(("Paid already".to_owned(), format!("{paid:.0}")));
    }
    if let Some(budget) = plan.budget {
        figures.push(("Budget".to_owned(), format!("{budget:.0}")));
    }
    for fund in funds(report.inputs, plan) {
        let words = format!("{:.0} of {:.0}", fund.spent, fund.limit);
        figures.push((format!("Fund {}", fund.name), words));
    }
    Board {
        title: super::shopping::capital(
            headline::title(served, all, plan.totals.outlay).trim_end_matches('.'),
        ),
        figures,
        proof: headline::part(report.inputs)
            .into_iter()
            .chain(headline::proof(report.inputs, plan))
            .collect(),
        sums: sums(report),
        any_alternative: plan
            .crossings
            .iter()
            .filter_map(|crossing| crossing.served())
            .any(|served| served.alternative.is_some()),
        unserved: unserved(report),
        bars: (served > 0).then(|| Drawn {
            caption: "Where the money goes, crossing by crossing".to_owned(),
            svg: drawing::cost_bars::draw(report.inputs, plan, "costs"),
        }),
        drawings: drawings(report),
    }
}

/// How many yards are paid.
fn yards_bought_at(plan: &Plan) -> usize {
    plan.purchases.iter().filter(|yard| yard.is_bought()).count()
}

/// From the crossings' costs to what is paid, so that the table adds up for whoever checks it.
fn sums(report: &PlanReport<'_>) -> Vec<Sum> {
    let plan = report.plan;
    let crossings: Cents =
        plan.crossings.iter().filter_map(|c| c.served()).map(|served| served.total()).sum();
    let trips: Cents = plan.purchases.iter().map(|yard| sum(&yard.lines)).sum();
    let left_over: Cents = plan.totals.outlay - crossings - trips;
    let mut sums = Vec::new();
    let mut add = |words: String, amount: Cents, sum: bool| {
        sums.push(Sum { words, amount: amount.to_string(), sum });
    };
    add("All crossings".to_owned(), crossings, true);
    if trips != Cents::ZERO {
        let yards = count(yards_bought_at(plan), "yard");
        add(format!("Inspection trips to {yards}"), trips, false);
    }
    if left_over != Cents::ZERO {
        add("Cars that are left over".to_owned(), left_over, false);
    }
    add("To pay".to_owned(), plan.totals.outlay, true);
    if plan.totals.stock_value != Cents::ZERO {
        add("Worth of the cars left over".to_owned(), -plan.totals.stock_value, false);
        add("Net cost".to_owned(), plan.totals.net, true);
    }
    sums
}

/// What the bridges cost for each square foot of deck; none without a deck.
fn per_square_foot(report: &PlanReport<'_>) -> Option<Cents> {
    let served = || report.plan.crossings.iter().filter_map(|crossing| crossing.served());
    let area: f64 = served()
        .flat_map(|served| &served.decks)
        .map(|deck| (deck.total_width * deck.span).0)
        .sum();
    let cost: Cents = served().map(|served| served.total()).sum();
    (area > 0.0).then(|| Cents::from_dollars(cost.as_dollars() / area))
}

fn unserved(report: &PlanReport<'_>) -> Vec<NotServed> {
    in_order(report)
        .into_iter()
        .filter_map(|plan| {
            let Fate::Unserved(unserved) = &plan.fate else { return None };
            let crossing = report.inputs.crossing(plan.crossing);
            let why: Vec<String> = unserved.reasons.iter().map(|check| check.sentence()).collect();
            Some(NotServed {
                id: crossing.id.clone(),
                road: crossing.road.clone(),
                why: why.join(". "),
                nearest: unserved
                    .nearest
                    .as_ref()
                    .map(|miss| nearest(report.inputs, miss))
                    .unwrap_or_default(),
            })
        })
        .collect()
}

/// The nearest car with what bars it, in short.
pub fn nearest(inputs: &Inputs, miss: &NearMiss) -> String {
    let bars: Vec<String> = miss
        .barred_by
        .iter()
        .map(|check| match check.margin_words() {
            Some(words) => format!("{} {}", check.title(), words),
            None => format!("{} {}", check.title(), check.outcome.word()),
        })
        .collect();
    format!("{}: {}", inputs.car(miss.car).name(), bars.join("; "))
}

fn drawings(report: &PlanReport<'_>) -> Vec<Drawn> {
    let PlanReport { inputs, plan, .. } = *report;
    if inputs.crossings.is_empty() {
        return Vec::new();
    }
    let mut drawings = Vec::new();
    drawings.push(Drawn {
        caption: "Where the cars come from".to_owned(),
        svg: drawing::map::draw(inputs, plan, "map"),
    });
    if !drawing::camber_chart::is_empty(inputs, plan) {
        drawings.push(Drawn {
            caption: "Camber: cars on offer of the sections bought, and the chosen decks"
                .to_owned(),
            svg: drawing::camber_chart::draw(inputs, plan, "camber"),
        });
    }
    drawings
}
