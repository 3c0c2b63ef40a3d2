//! What each budget of a range buys, as a curve and step by step.

use std::sync::Arc;
use std::time::Duration;

use axum::http::StatusCode;
use spanyard::assemble::plan_each;
use spanyard::choose::{Effort, Progress};
use spanyard::quantity::Cents;
use spanyard::report::drawing::budget_chart;
use spanyard::report::facts::sweep::Point;
use spanyard::report::facts::totals::gap;
use spanyard::report::page::Drawn;

use super::plan::dollars;
use super::{Place, Shown};
use crate::desk::exchange::Answer;
use crate::desk::job::Job;
use crate::desk::known::Known;
use crate::desk::told::Told;
use crate::desk::view::{Choice, Row, Table, figure, text};

/// Begins the curve: what each budget of a range buys.
pub fn curve(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let no = |words: &str| at.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Not understood", words);
    let money = |name: &str| at.asked.get(name).and_then(dollars);
    let (Some(from), Some(to)) = (money("from"), money("to")) else {
        return Err(no("write the least and the greatest budget in dollars"));
    };
    let steps = at.asked.number("steps").unwrap_or(9).clamp(2, 40) as i64;
    if from >= to {
        return Err(no("the least budget is to be less than the greatest"));
    }
    let known = Arc::clone(at.known);
    at.desk.begin("What each budget buys", "/what-if", move |desk, job| {
        let told = sweep(&known, from, to, steps, job)?;
        desk.tell("budgets", told);
        Ok(())
    });
    Ok(Answer::See("/plan".to_owned()))
}

/// One verified plan for each budget, all of them in a minute at most.
fn sweep(known: &Known, from: Cents, to: Cents, steps: i64, job: &Job) -> Result<Told, String> {
    const WITHIN: Duration = Duration::from_secs(60);
    let gone = || "the files have problems".to_owned();
    let (inputs, survey) = (known.inputs().ok_or_else(gone)?, known.survey().ok_or_else(gone)?);
    let budget = |step: i64| Cents(from.0 + (to.0 - from.0) * step / steps);
    let budgets = (0..=steps).map(|step| budget(step).max(inputs.decided.paid));
    let budgets: Vec<Cents> = budgets.collect();
    job.say(&format!("{} budgets, the largest first", budgets.len()));
    let watch = |_: &Progress| job.goes_on();
    let effort = Effort { time_limit: Some(WITHIN), watch: Some(&watch), ..Effort::default() };
    let plans = plan_each(inputs, survey, &budgets, &effort).map_err(|error| error.to_string())?;
    let made = budgets.iter().zip(plans);
    let made = made.filter_map(|(budget, plan)| {
        let plan = plan?;
        Some((Point::of(inputs, *budget, &plan), gap(&plan)))
    });
    let (points, gaps): (Vec<_>, Vec<_>) = made.unzip();
    let mut told = Told::new(known);
    let heads = ["#Budget", "#Crossings served", "#To pay", "#Net", "How far proven", "Not served"];
    let mut table = Table::new("What each budget buys", &heads);
    for (point, gap) in points.iter().zip(&gaps) {
        let proof = match (point.proven, gap) {
            (true, _) => "proven".to_owned(),
            (false, Some(gap)) => gap.words(),
            (false, None) => "not proven, and no bound yet".to_owned(),
        };
        let href = format!("/what-if?budget={:.0}", point.budget.as_dollars());
        table.row(vec![
            figure(point.budget).to(href),
            figure(format!("{} of {}", point.served(), point.crossings())),
            figure(point.outlay),
            figure(point.net),
            text(proof),
            text(point.unserved.join(", ")),
        ]);
    }
    if points.len() > 1 {
        let svg = budget_chart::draw(&points, None, "what-money-buys");
        told.figures.push(Drawn { caption: "What each budget buys".to_owned(), svg });
    }
    told.tables.push(table);
    Ok(told)
}

/// The budgets of the curve, each with what it buys.
pub fn steps(tables: &[Table]) -> Vec<Choice> {
    let rows = tables.first().map(|table| table.rows.as_slice()).unwrap_or_default();
    let step = |row: &Row| {
        let [budget, served, pay, _, proof, ..] = row.cells.as_slice() else { return None };
        let value = budget.href.rsplit('=').next().unwrap_or_default();
        let words = format!("{} served, {} to pay, {}", served.words, pay.words, proof.words);
        Some(Choice::new(value, words, ""))
    };
    rows.iter().filter_map(step).collect()
}
