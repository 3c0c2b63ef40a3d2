//! The main job in one call: survey, market, choice, plan, verification.

mod hold;
mod market;
mod offers;
mod placement;
mod unserved;

use std::cmp::Reverse;

use crate::choose::{self, Before, Beside, Choice, Effort, Market};
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::survey::Survey;
use crate::verify::{self, Rejected};

pub use market::{limit_costs, market};
pub use offers::choose_offers;

/// What the user asks of a plan beyond the inputs.
#[derive(Clone, Copy, Debug, Default)]
pub struct PlanOptions<'a> {
    /// The most that may be paid.
    pub budget: Option<Cents>,
    /// How long to search.
    pub effort: Effort<'a>,
}

/// A plan with the market and the choice that it was made of, for questions that choose again.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The market.
    pub market: Market,
    /// The choice from that market.
    pub choice: Choice,
    /// The verified plan.
    pub plan: Plan,
}

/// Surveys, chooses and verifies.
///
/// # Errors
/// [`Rejected`] when the finished plan does not stand up to [`verify`]: a defect of this program,
/// never of the inputs. Such a plan must not be shown.
pub fn make_plan(
    inputs: &Inputs,
    survey: &Survey,
    options: &PlanOptions,
) -> Result<Plan, Rejected> {
    solve(inputs, survey, options).map(|solved| solved.plan)
}

/// As [`make_plan`], with all that the plan was made of.
///
/// # Errors
/// As [`make_plan`].
pub fn solve(inputs: &Inputs, survey: &Survey, options: &PlanOptions) -> Result<Solved, Rejected> {
    let end = options.effort.deadline();
    let market = market(inputs, survey, to_spend(inputs, options.budget));
    let choice = choose::choose(&market, &options.effort.searching(&end));
    let (choice, beside) = choose::beside(&market, choice, &options.effort, false);
    finished(inputs, survey, (market, choice), beside, options)
}

/// As [`make_plan`] for each of several budgets, in their order.
///
/// A time limit is for all of them together. The largest budget comes first. What is proven within one
/// budget holds within every smaller one: no plan serves more, and none that serves the same costs less. So a plan
/// proven best is best within every smaller budget that it keeps to, and other searches begin with what is left of the
/// plan for the budget above. What a smaller budget buys can be had for a larger one too: where its search
/// was ended early, a better plan for less money takes its place. When the effort is interrupted, the plans
/// of the smaller budgets are missing. Nothing is told beside these plans: no other decks, no reasons.
///
/// # Errors
/// As [`make_plan`].
pub fn plan_each(
    inputs: &Inputs,
    survey: &Survey,
    budgets: &[Cents],
    effort: &Effort,
) -> Result<Vec<Option<Plan>>, Rejected> {
    let end = effort.deadline();
    let mut order: Vec<usize> = (0..budgets.len()).collect();
    order.sort_by_key(|at| Reverse(budgets[*at]));
    let mut market = market(inputs, survey, None);
    let mut choices: Vec<Choice> = Vec::new();
    for (done, at) in order.iter().enumerate() {
        if done > 0 && effort.is_interrupted() {
            break;
        }
        let share = end.left().map(|left| left / (order.len() - done) as u32);
        let effort = Effort { time_limit: share, ..*effort };
        market.budget = to_spend(inputs, Some(budgets[*at]));
        let choice = choose_within(&market, choices.last(), &effort);
        choices.push(choice);
    }
    for at in (1..choices.len()).rev() {
        market.budget = to_spend(inputs, Some(budgets[order[at - 1]]));
        let effort = Effort { time_limit: effort.time_limit.map(|limit| limit / 100), ..*effort };
        take_up(&market, &mut choices, at, &effort);
    }
    let mut plans = vec![None; budgets.len()];
    for (at, choice) in order.into_iter().zip(choices) {
        let budget = Some(budgets[at]);
        market.budget = to_spend(inputs, budget);
        let options = PlanOptions { budget, effort: *effort };
        let made = finished(inputs, survey, (market.clone(), choice), Beside::default(), &options)?;
        plans[at] = Some(made.plan);
    }
    Ok(plans)
}

/// The choice within a budget, given that within a larger one.
fn choose_within(market: &Market, above: Option<&Choice>, effort: &Effort) -> Choice {
    let Some(above) = above else { return choose::choose(market, effort) };
    if above.service && above.cheapest && choose::totals(market, above).is_some() {
        return above.clone();
    }
    let before = Before { choice: above, serves_most: true, costs_least: true };
    choose::choose_knowing(market, effort, Some(before))
}

/// Of choices within falling budgets, the one before takes up this one, if that is better: it had less
/// time, or less luck.
fn take_up(market: &Market, choices: &mut [Choice], at: usize, effort: &Effort) {
    let merit = |choice: &Choice| choose::merit(market, choice, choice.net);
    let (below, above) = (&choices[at], &choices[at - 1]);
    let (better, before) = (merit(below), merit(above));
    if better >= before {
        return;
    }
    choices[at - 1] = if better.unserved == before.unserved {
        let cheapest = above.service && below.net == above.bound;
        Choice {
            bound: above.bound,
            service: above.service,
            cheapest,
            stopped: above.stopped,
            ..below.clone()
        }
    } else {
        // Where more are served, no bound on their cost is known within the larger budget.
        choose::choose_from(market, effort, Some(below))
    };
}

/// What is left of a budget after what is paid already.
#[must_use]
pub fn to_spend(inputs: &Inputs, budget: Option<Cents>) -> Option<Cents> {
    budget.map(|budget| (budget - inputs.decided.paid).max(Cents::ZERO))
}

/// The verified plan of a choice, which is kept as it is. The effort is that of the search before.
///
/// # Errors
/// As [`make_plan`].
pub fn planned(
    inputs: &Inputs,
    survey: &Survey,
    market: Market,
    choice: Choice,
    options: &PlanOptions,
) -> Result<Solved, Rejected> {
    let (choice, beside) = choose::beside(&market, choice, &options.effort, true);
    finished(inputs, survey, (market, choice), beside, options)
}

fn finished(
    inputs: &Inputs,
    survey: &Survey,
    (market, choice): (Market, Choice),
    beside: Beside,
    options: &PlanOptions,
) -> Result<Solved, Rejected> {
    let end = options.effort.explaining(choice.stopped).deadline();
    let plan = placement::plan(inputs, survey, &market, &choice, beside, &end);
    let plan = Plan { budget: options.budget, ..plan };
    verify::verify(inputs, &plan)?;
    Ok(Solved { market, choice, plan })
}
