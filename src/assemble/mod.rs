//! The main job in one call: survey, market, choice, plan, verification.

mod hold;
mod market;
mod offers;
mod placement;
mod unserved;

use std::cmp::Reverse;

use crate::choose::{self, Choice, Effort, Market, Other};
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
    let market = market(inputs, survey, to_spend(inputs, options.budget));
    let choice = choose::choose(&market, &options.effort);
    let (choice, others) = choose::with_others(&market, choice, &options.effort, false);
    finished(inputs, survey, (market, choice), others, options)
}

/// As [`make_plan`] for each of several budgets, in their order.
///
/// A plan that is proven best within one budget is best within every smaller one that it keeps to, and is
/// not looked for again; other searches begin with what is left of the plan for the budget above. When
/// the effort is interrupted, the plans of the smaller budgets are missing.
///
/// # Errors
/// As [`make_plan`].
pub fn plan_each(
    inputs: &Inputs,
    survey: &Survey,
    budgets: &[Cents],
    effort: &Effort,
) -> Result<Vec<Option<Plan>>, Rejected> {
    let mut order: Vec<usize> = (0..budgets.len()).collect();
    order.sort_by_key(|at| Reverse(budgets[*at]));
    let mut plans = vec![None; budgets.len()];
    let mut market = market(inputs, survey, None);
    let mut above: Option<Choice> = None;
    for at in order {
        if above.is_some() && effort.is_interrupted() {
            break;
        }
        let budget = Some(budgets[at]);
        market.budget = to_spend(inputs, budget);
        let best = |choice: &Choice| {
            choice.service && choice.cheapest && choose::totals(&market, choice).is_some()
        };
        let choice = match above {
            Some(choice) if best(&choice) => choice,
            above => choose::choose_from(&market, effort, above.as_ref()),
        };
        let (choice, others) = choose::with_others(&market, choice, effort, false);
        above = Some(choice.clone());
        let options = PlanOptions { budget, effort: *effort };
        let made = finished(inputs, survey, (market.clone(), choice), others, &options)?;
        plans[at] = Some(made.plan);
    }
    Ok(plans)
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
    let (choice, others) = choose::with_others(&market, choice, &options.effort, true);
    finished(inputs, survey, (market, choice), others, options)
}

fn finished(
    inputs: &Inputs,
    survey: &Survey,
    (market, choice): (Market, Choice),
    others: Vec<Other>,
    options: &PlanOptions,
) -> Result<Solved, Rejected> {
    let refused = choose::if_refused(&market, &choice, &options.effort);
    let plan =
        placement::plan(inputs, survey, &market, &choice, (others, refused), &options.effort);
    let plan = Plan { budget: options.budget, ..plan };
    verify::verify(inputs, &plan)?;
    Ok(Solved { market, choice, plan })
}
