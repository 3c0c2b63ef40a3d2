//! The summary for the board.

use super::crossing::Crossing;
use super::curve::{Curve, Money, curve, money};
use super::leaf::{PAGE, lines, runs};
use super::{Drawn, contents, in_order, money as money_of};
use crate::model::plan::{CostItem, Fate, Plan, sum};
use crate::price;
use crate::quantity::Cents;
use crate::report::drawing;
use crate::report::facts::board::{order_by, plain_why, posted, risks, what_it_takes};
use crate::report::facts::other_bridge;
use crate::report::facts::purchases::{cars_bought, own_stock};
use crate::report::facts::{PlanReport, count, headline};
use crate::report::outline::Outline;
use crate::report::provenance::Beside;

/// The summary.
pub struct Board {
    pub title: String,
    /// What the board is asked, in a sentence; empty where nothing is bought.
    pub asked: String,
    /// Crossings with a weight posting.
    pub posted: String,
    pub risks: Vec<String>,
    pub figures: Vec<(String, String)>,
    pub proof: Vec<String>,
    /// What stands below the crossings' costs, down to what is paid.
    pub sums: Vec<Sum>,
    pub any_alternative: bool,
    /// What each crossing gets: as many as the first page holds, then a run for each page.
    pub gets: Vec<Vec<Gets>>,
    /// The crossings that go without, in runs that begin where those end.
    pub unserved: Vec<Vec<NotServed>>,
    /// The costs as bars; none where nothing is served.
    pub bars: Option<Drawn>,
    /// Whether the charts need a page of their own, to be read with many crossings.
    pub charts_apart: bool,
    pub drawings: Vec<Drawn>,
    /// Budget and funds against what is paid.
    pub money: Vec<Money>,
    /// Flat cars against other bridges, crossing by crossing; and how many more there are.
    pub others: Vec<Other>,
    pub more_others: usize,
    /// What each budget buys.
    pub curve: Option<Curve>,
}

/// A crossing where another bridge could be built.
pub struct Other {
    pub crossing: String,
    pub what: String,
    pub price: String,
    pub flat_cars: String,
    pub saves: String,
    pub by_year: String,
}

/// So many crossings with another bridge are told on the board's page.
const OTHERS: usize = 10;

/// A curve of more budgets than this stands on the page of charts.
const STEPS: usize = 8;

/// A line below the crossings' costs.
pub struct Sum {
    pub words: String,
    pub amount: String,
    /// A sum of the lines above it.
    pub sum: bool,
}

/// A crossing that is served.
pub struct Gets {
    pub id: String,
    pub road: String,
    pub bridge: String,
    /// Its weight sign; empty where it needs none.
    pub sign: String,
    pub needed_by: String,
    pub priority: u8,
    pub next_best: String,
    pub firm: String,
    pub cost: String,
}

/// A crossing that goes without.
pub struct NotServed {
    pub id: String,
    pub road: String,
    pub why: String,
    pub takes: String,
}

impl Board {
    /// Printed pages: the first, the risks, and those that the crossings take beyond.
    pub fn pages(&self) -> usize {
        self.gets.len() + self.unserved.len() + usize::from(self.charts_apart)
    }

    /// What stands on the first page.
    pub fn first_gets(&self) -> &[Gets] {
        self.gets.first().map_or(&[], Vec::as_slice)
    }

    /// The crossings without that stand on the first page: those behind all that get a bridge.
    pub fn first_unserved(&self) -> &[NotServed] {
        let first = self.unserved.first().map_or(&[][..], Vec::as_slice);
        if self.gets.len() > 1 { &[] } else { first }
    }

    /// Runs of crossings that have a page of their own: those of more crossings than the first holds. The
    /// crossings without begin where those that get a bridge end.
    pub fn more(&self) -> Vec<(&[Gets], &[NotServed])> {
        let last = self.gets.len().saturating_sub(1);
        let gets = self.gets.iter().enumerate().skip(1).map(|(number, run)| {
            let behind = self.unserved.first().filter(|_| number == last);
            (run.as_slice(), behind.map_or(&[][..], Vec::as_slice))
        });
        let without = self.unserved.iter().skip(1).map(|run| ([].as_slice(), run.as_slice()));
        gets.chain(without).collect()
    }
}

/// Points of a table's line, and what a row has around its lines.
const LINE: (f64, f64) = (9.8, 3.9);
/// Points of a table's caption and head.
const HEAD: f64 = 34.0;

/// Points on the first page above and below its tables.
const AROUND: f64 = 128.0;

pub fn board(report: &PlanReport<'_>, beside: &Beside, crossings: &[Crossing]) -> Board {
    let plan = report.plan;
    let (served, all) = (plan.served_count(), plan.crossings.len());
    let cars: usize = plan.purchases.iter().map(cars_bought).sum();
    let mut figures = vec![
        ("Cars bought".to_owned(), cars.to_string()),
        ("Yards".to_owned(), yards_bought_at(plan).to_string()),
        ("Crossings not served".to_owned(), (all - served).to_string()),
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
    let curve = curve(report, &beside.budgets);
    let others = others(report);
    let sums = sums(report);
    let posted = posted(report.inputs, plan).join(", ");
    let around = AROUND
        + contents::height(served)
        + sums.len() as f64 * 14.0
        + lines(&posted, 80) as f64 * 12.0
        + HEAD;
    let gets: Vec<Gets> = crossings.iter().filter(|c| c.served).map(Gets::of).collect();
    let gets = runs(gets, Gets::height, PAGE - around, PAGE - 2.0 * HEAD);
    let room = if gets.len() > 1 { PAGE - 2.0 * HEAD } else { PAGE - around };
    let left = room - gets.last().into_iter().flatten().map(Gets::height).sum::<f64>() - HEAD;
    Board {
        title: super::shopping::capital(headline::title(report.inputs, plan).trim_end_matches('.')),
        asked: asked(report, cars),
        posted,
        risks: risks(report),
        figures,
        proof: headline::part(report.inputs)
            .into_iter()
            .chain(headline::proof(report.inputs, plan))
            .collect(),
        sums,
        any_alternative: plan
            .crossings
            .iter()
            .filter_map(|crossing| crossing.served())
            .any(|served| served.alternative.is_some()),
        gets,
        unserved: runs(unserved(report), NotServed::height, left, PAGE - 2.0 * HEAD),
        charts_apart: all > contents::TOGETHER
            || curve.as_ref().is_some_and(|curve| curve.steps.len() > STEPS),
        money: money(report),
        more_others: others.len().saturating_sub(OTHERS),
        others: others.into_iter().take(OTHERS).collect(),
        curve,
        bars: (served > 0).then(|| Drawn {
            caption: "Where the money goes, crossing by crossing".to_owned(),
            svg: drawing::cost_bars::draw(report.inputs, plan, "costs"),
        }),
        drawings: drawings(report, &beside.outline),
    }
}

/// Flat cars against another bridge, wherever one is stated.
fn others(report: &PlanReport<'_>) -> Vec<Other> {
    let plans = report.plan.crossings.iter();
    plans
        .filter_map(|planned| other_bridge::against(report.inputs, planned))
        .map(|against| Other {
            price: against.other.to_string(),
            flat_cars: against.flat_cars.map_or_else(
                || "not laid".to_owned(),
                |cost| if against.partial { format!("{cost} *") } else { cost.to_string() },
            ),
            saves: money_of(against.saves()),
            by_year: against
                .by_the_year()
                .map(|(own, other)| format!("{own:.0} against {other:.0}"))
                .unwrap_or_default(),
            crossing: against.crossing,
            what: against.what,
        })
        .collect()
}

impl Gets {
    fn of(crossing: &Crossing) -> Self {
        let cars = count(crossing.cars, "car");
        Self {
            id: crossing.id.clone(),
            road: crossing.road.clone(),
            bridge: format!("{}, {cars}", crossing.layout),
            sign: crossing.posting.clone(),
            needed_by: crossing.needed_by.clone(),
            priority: crossing.priority,
            next_best: crossing.alternative_extra.clone(),
            firm: crossing.firm.clone(),
            cost: crossing.cost.clone(),
        }
    }

    /// Points in print, on the safe side.
    fn height(&self) -> f64 {
        let parts = [(&self.id, 10), (&self.road, 17), (&self.bridge, 14), (&self.sign, 20)];
        let most = parts.into_iter().map(|(text, room)| lines(text, room)).max();
        most.unwrap_or(1) as f64 * LINE.0 + LINE.1
    }
}

impl NotServed {
    /// Points in print, on the safe side.
    fn height(&self) -> f64 {
        let parts = [(&self.id, 10), (&self.road, 16), (&self.why, 31), (&self.takes, 57)];
        let most = parts.into_iter().map(|(text, room)| lines(text, room)).max();
        most.unwrap_or(1) as f64 * LINE.0 + LINE.1
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
        let lines = plan.purchases.iter().flat_map(|yard| &yard.lines);
        let crane = lines.into_iter().any(|line| line.item == CostItem::YardCrane);
        let cranes = if crane { ", and cranes there" } else { "" };
        add(format!("Inspection trips to {yards}{cranes}"), trips, false);
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
        .map(|deck| {
            let cars: Vec<_> = deck.cars.iter().map(|placed| placed.car).collect();
            let laid = price::laid_length(report.inputs, &cars, deck.site).unwrap_or(deck.span);
            (deck.total_width * laid).0
        })
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
            Some(NotServed {
                id: crossing.id.clone(),
                road: crossing.road.clone(),
                why: plain_why(unserved),
                takes: what_it_takes(report.inputs, unserved),
            })
        })
        .collect()
}

/// What the board is asked.
fn asked(report: &PlanReport<'_>, cars: usize) -> String {
    let plan = report.plan;
    let served = plan.served_count();
    if served == 0 {
        return String::new();
    }
    let by = order_by(report.inputs, plan)
        .map(|(day, _)| format!(" Order by {day}, when the first quote ends."))
        .unwrap_or_default();
    format!(
        "to authorize the purchase of {} at {}, and the work to build {}, for {} in all.{by}",
        count(cars, "car"),
        count(yards_bought_at(plan), "yard"),
        count(served, "bridge"),
        plan.totals.outlay
    )
}

fn drawings(report: &PlanReport<'_>, outline: &Outline) -> Vec<Drawn> {
    let PlanReport { inputs, plan, .. } = *report;
    if inputs.crossings.is_empty() {
        return Vec::new();
    }
    vec![Drawn {
        caption: "Where the cars come from".to_owned(),
        svg: drawing::map::draw_over(inputs, plan, outline, "map"),
    }]
}

/// Cambers of the cars on offer, for the engineer; none where nothing is chosen.
pub fn camber(report: &PlanReport<'_>) -> Vec<Drawn> {
    let PlanReport { inputs, plan, .. } = *report;
    if drawing::camber_chart::is_empty(inputs, plan) {
        return Vec::new();
    }
    vec![Drawn {
        caption: "Camber: cars on offer of the sections bought, and the chosen decks".to_owned(),
        svg: drawing::camber_chart::draw(inputs, plan, "camber"),
    }]
}
