//! What each fund pays of a plan.

use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::{BasisPoints, Cents};

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
    /// Of a grant the most that it pays of each crossing, and the fund that pays the rest.
    pub share: Option<(BasisPoints, String)>,
}

impl FundUse {
    /// What is left of it.
    #[must_use]
    pub fn left(&self) -> Cents {
        self.limit - self.spent
    }

    /// `at most 80 % of its crossings; road levy pays the rest`; none where it pays in full.
    #[must_use]
    pub fn share_words(&self) -> Option<String> {
        let (share, rest) = self.share.as_ref()?;
        Some(format!("at most {share} of its crossings; {rest} pays the rest"))
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
            share: None,
        })
        .collect();
    for crossing in &plan.crossings {
        let fund = inputs.fund_of(crossing.crossing).and_then(|fund| funds.get_mut(fund));
        if let (Some(fund), Some(served)) = (fund, crossing.served()) {
            fund.crossings.push(inputs.crossing(crossing.crossing).id.clone());
            fund.spent += served.total();
        }
    }
    // What a grant leaves goes to its match.
    for grant in &inputs.rules.grant {
        let place = |name: &str| funds.iter().position(|fund| fund.name == name);
        let (Some(of), Some(rest)) = (place(&grant.fund), place(&grant.match_fund)) else {
            continue;
        };
        let cost = funds[of].spent;
        let share = i128::from(grant.share().0);
        let pays = Cents((i128::from(cost.0) * share / 10_000) as i64).min(funds[of].limit);
        funds[of].spent = pays;
        funds[of].share = Some((grant.share(), grant.match_fund.clone()));
        funds[rest].spent += cost - pays;
        let crossings = funds[of].crossings.clone();
        funds[rest].crossings.extend(crossings);
    }
    funds.iter_mut().for_each(|fund| fund.crossings.sort());
    funds
}

/// What the budget pays beyond the funds: crossings that name none, and what several share.
#[must_use]
pub fn beyond(plan: &Plan, funds: &[FundUse]) -> Cents {
    plan.totals.outlay - funds.iter().map(|fund| fund.spent).sum()
}
