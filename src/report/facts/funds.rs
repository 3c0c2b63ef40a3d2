//! What each fund pays of a plan.

use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::Cents;

/// A fund and what it pays.
#[derive(Clone, Debug, PartialEq)]
pub struct FundUse {
    /// Its name.
    pub name: String,
    /// IDs of the crossings it pays for, of those that are served.
    pub crossings: Vec<String>,
    /// The most it may pay.
    pub limit: Cents,
    /// What it pays.
    pub spent: Cents,
}

impl FundUse {
    /// What is left of it.
    #[must_use]
    pub fn left(&self) -> Cents {
        self.limit - self.spent
    }

    /// `$84,120.00 of $180,000.00, $95,880.00 left`.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{} of {}, {} left", self.spent, self.limit, self.left())
    }
}

/// What the funds pay, in the order of the rules; empty where the rules have none.
#[must_use]
pub fn funds(inputs: &Inputs, plan: &Plan) -> Vec<FundUse> {
    let mut funds: Vec<FundUse> = inputs
        .rules
        .fund
        .iter()
        .map(|fund| FundUse {
            name: fund.name.clone(),
            crossings: Vec::new(),
            limit: fund.usd,
            spent: Cents::ZERO,
        })
        .collect();
    for crossing in &plan.crossings {
        let fund = inputs.fund_of(crossing.crossing).and_then(|fund| funds.get_mut(fund));
        if let (Some(fund), Some(served)) = (fund, crossing.served()) {
            fund.crossings.push(inputs.crossing(crossing.crossing).id.clone());
            fund.spent += served.total();
        }
    }
    funds
}

/// What the budget pays beyond the funds: crossings that name none, and what several share.
#[must_use]
pub fn beyond(plan: &Plan, funds: &[FundUse]) -> Cents {
    plan.totals.outlay - funds.iter().map(|fund| fund.spent).sum()
}
