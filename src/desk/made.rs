//! A plan of the folder as it is known, and what it was made of.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use spanyard::after::replan::{Previous, replanned};
use spanyard::assemble::{PlanOptions, Solved, solve};
use spanyard::choose::{Choice, Effort, Market, Progress};
use spanyard::folder::open_text;
use spanyard::model::plan::Plan;
use spanyard::quantity::Cents;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::change::{Change, change};
use spanyard::report::facts::matching::Matching;
use spanyard::survey::Survey;

use super::job::Job;
use super::known::Known;

/// The plan that was agreed, which the next one changes as little as it can.
pub const AGREED: &str = "agreed.json";

/// A plan and all that it was made of.
pub struct Made {
    /// The folder that it was made from.
    pub known: Arc<Known>,
    /// The plan, verified.
    pub plan: Plan,
    /// What it changes of the agreed plan, where there is one.
    pub change: Option<Change>,
    /// The market, and the cheapest choice from it.
    pub market: Market,
    /// The cheapest choice.
    pub choice: Choice,
    /// What it is made for beside the files, in words; empty: nothing.
    pub what_if: String,
}

/// What a plan is asked for.
#[derive(Clone, Debug, Default)]
pub struct Wish {
    /// The most that may be paid.
    pub budget: Option<Cents>,
    /// Stop after this time.
    pub time_limit: Option<Duration>,
    /// Change as little of the agreed plan as can be.
    pub little_change: bool,
    /// What is asked beside the files, in words.
    pub what_if: String,
}

impl Made {
    /// Whether nothing is left to prove of it.
    pub fn is_proven(&self) -> bool {
        self.plan.proof.cheapest && self.plan.proof.service
    }

    /// Whether it serves more, by priority, or as much with fewer changes, or for less.
    pub fn is_better_than(&self, other: &Self) -> bool {
        let merit = |made: &Self| {
            let inputs = made.known.inputs();
            let unserved = made.plan.crossings.iter().filter(|c| c.served().is_none());
            let ranks = unserved.filter_map(|c| Some(inputs?.crossing(c.crossing).priority));
            let mut ranks: Vec<u8> = ranks.collect();
            ranks.sort_unstable();
            // Of the unserved by rank, the fewer of the first the better.
            let count = |rank: u8| ranks.iter().filter(|other| **other == rank).count();
            let by_rank: Vec<usize> = (1..=9).map(count).collect();
            let changes = made.change.as_ref().map_or(0, |change| change.changes);
            (by_rank, changes, made.plan.totals.net)
        };
        merit(self) < merit(other)
    }

    /// What every report is made from; none only where the inputs were lost, which they are not.
    pub fn report<T>(&self, say: impl FnOnce(&PlanReport<'_>) -> T) -> Option<T> {
        let reading = self.known.reading.as_ref().ok()?;
        let survey = self.known.survey()?;
        let matching = Matching::new(&reading.inputs, survey);
        let report = PlanReport {
            inputs: &reading.inputs,
            plan: &self.plan,
            matching: &matching,
            files: &reading.files,
        };
        Some(say(&report))
    }
}

/// Makes a plan of the folder as it is known.
pub fn plan(known: &Arc<Known>, wish: &Wish, job: &Job) -> Result<Made, String> {
    let reading = known.reading.as_ref().map_err(|_| "the files have problems".to_owned())?;
    let inputs = &reading.inputs;
    if let Some(budget) = wish.budget.filter(|budget| *budget < inputs.decided.paid) {
        let paid = inputs.decided.paid;
        return Err(format!("{paid} are paid already by decision, and the budget is {budget}"));
    }
    let survey: &Survey = known.survey().ok_or("the files have problems")?;
    let watch = |progress: &Progress| job.follow(progress);
    let effort = Effort {
        time_limit: wish.time_limit,
        watch: Some(&watch),
        interrupt: Some(job.interrupt()),
        ..Effort::default()
    };
    let end = effort.deadline();
    let options = PlanOptions { budget: wish.budget, effort };
    let previous = if wish.little_change { agreed(&known.files.root)? } else { None };
    let solved = solve(inputs, survey, &options).map_err(|error| error.to_string())?;
    let (market, choice) = (solved.market.clone(), solved.choice.clone());
    let (plan, change) = match previous {
        None => (solved.plan, None),
        Some(previous) => {
            let effort = Effort { time_limit: end.left(), ..effort };
            let options = PlanOptions { effort, ..options };
            let near = nearest(inputs, survey, solved, &previous, &options)?;
            (near.0, Some(near.1))
        }
    };
    let what_if = wish.what_if.clone();
    Ok(Made { known: Arc::clone(known), plan, change, market, choice, what_if })
}

fn nearest(
    inputs: &spanyard::model::inputs::Inputs,
    survey: &Survey,
    solved: Solved,
    previous: &Previous,
    options: &PlanOptions<'_>,
) -> Result<(Plan, Change), String> {
    let tolerance = inputs.rules.purchase.change_tolerance_pct;
    let (plan, least) = replanned(inputs, survey, solved, previous, tolerance, options)
        .map_err(|error| error.to_string())?;
    let change = change(inputs, survey, &plan, previous, &least);
    Ok((plan, change))
}

/// The agreed plan, if there is one.
fn agreed(root: &Path) -> Result<Option<Previous>, String> {
    let path = root.join(AGREED);
    if path.symlink_metadata().is_err() {
        return Ok(None);
    }
    let text = open_text(&path).map_err(|error| error.to_string())?;
    let previous = Previous::parse(&text).map_err(|error| format!("{AGREED}: {error}"))?;
    Ok(Some(previous))
}
