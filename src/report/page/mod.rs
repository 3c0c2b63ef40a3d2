//! The plan as one page for people without a terminal: the board, the engineer, the purchasing
//! agent. It needs no network and no script, and prints with its origin on every page.

mod board;
mod buyer;
mod contents;
mod crossing;
mod curve;
mod fitting;
mod leaf;
mod methods;
mod placed;
mod refused;
mod shopping;
mod style;

use askama::Template;
use itertools::Itertools;

pub use crossing::drawings;
pub(crate) use crossing::plan_view;
pub(crate) use shopping::capital;
pub(crate) use style::style;

use super::facts::PlanReport;
use super::facts::reasons::Said;
use super::provenance::PageContext;
use crate::model::plan::{CrossingPlan, Fate};
use crate::model::rules::Agency;
use crate::quantity::Cents;
use crate::words::for_page;

/// Why a page could not be written; does not happen when writing to memory.
#[derive(Debug, thiserror::Error)]
#[error("the page could not be written: {0}")]
pub struct NotWritten(#[from] askama::Error);

/// A drawing with its caption.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What it shows.
    pub caption: String,
    /// Markup of `drawing`, which escapes what comes from files.
    pub svg: String,
}

/// A check as a row of a table.
pub(crate) struct CheckRow {
    pub code: &'static str,
    pub title: String,
    pub subjects: String,
    pub measured: String,
    pub limit: String,
    pub margin: String,
}

impl CheckRow {
    pub fn of(said: &Said) -> Self {
        let check = &said.check;
        Self {
            code: check.code.id(),
            title: check.title(),
            subjects: said.subjects.join(", "),
            measured: check.measured.to_string(),
            limit: check.limit.to_string(),
            margin: check.margin.as_ref().map(ToString::to_string).unwrap_or_default(),
        }
    }
}

#[derive(Template)]
#[template(path = "page.html")]
struct Page<'a> {
    context: &'a PageContext,
    agency: &'a Agency,
    order_date: String,
    style: String,
    board: board::Board,
    buyer: buyer::Buyer,
    contents: contents::Contents,
    /// Charts for the engineer.
    charts: Vec<Drawn>,
    unserved: usize,
    yards: Vec<shopping::Yard>,
    totals: Vec<shopping::Total>,
    crossings: Vec<crossing::Crossing>,
    refused: refused::Refused,
    methods: methods::Methods,
}

/// The whole page.
///
/// # Errors
/// Never in practice: the page is written to memory.
pub fn plan(report: &PlanReport<'_>, context: &PageContext) -> Result<String, NotWritten> {
    let mut crossings: Vec<_> =
        in_order(report).into_iter().map(|plan| crossing::crossing(report, plan)).collect();
    for (sheet, crossing) in (1..).zip(crossings.iter_mut().filter(|c| c.served)) {
        crossing.sheet = sheet;
        crossing.break_pages();
    }
    let board = board::board(report, &context.beside, &crossings);
    let page = Page {
        context,
        contents: contents::contents(board.pages(), &crossings),
        agency: &report.inputs.rules.agency,
        buyer: buyer::buyer(report),
        charts: board::camber(report),
        unserved: crossings.iter().filter(|crossing| !crossing.served).count(),
        order_date: report.inputs.order_date.to_string(),
        style: style(context, "a buying plan, not a design"),
        board,
        yards: shopping::yards(report),
        totals: shopping::totals(report),
        crossings,
        refused: refused::refused(report),
        methods: methods::methods(report, context),
    };
    Ok(for_page(page.render()?))
}

/// The crossings by priority, served ones first among equals.
fn in_order<'a>(report: &PlanReport<'a>) -> Vec<&'a CrossingPlan> {
    let crossings = report.plan.crossings.iter();
    crossings
        .sorted_by_key(|plan| {
            let priority = report.inputs.crossing(plan.crossing).priority;
            (priority, matches!(plan.fate, Fate::Unserved(_)))
        })
        .collect()
}

/// An amount, or nothing.
pub(crate) fn money(amount: Option<Cents>) -> String {
    amount.map(|amount| amount.to_string()).unwrap_or_default()
}
