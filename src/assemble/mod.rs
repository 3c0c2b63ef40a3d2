//! The main job in one call: survey, market, choice, plan, verification.

mod market;
mod placement;
mod unserved;

use crate::choose::{self, Effort};
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::survey::Survey;
use crate::verify::{self, Rejected};

pub use market::market;

/// What the user asks of a plan beyond the inputs.
#[derive(Clone, Copy, Debug, Default)]
pub struct PlanOptions<'a> {
    /// The most that may be paid.
    pub budget: Option<Cents>,
    /// How long to search.
    pub effort: Effort<'a>,
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
    let market = market(inputs, survey, options.budget);
    let choice = choose::choose(&market, &options.effort);
    let plan = placement::plan(inputs, survey, &market, &choice);
    verify::verify(inputs, &plan)?;
    Ok(plan)
}
