//! Funds: what the lines of their crossings add up to, and who pays it.

use std::collections::BTreeMap;

use super::no_faults;
use crate::check::{Check, Code};
use crate::model::inputs::Inputs;
use crate::model::plan::{CrossingPlan, Plan};
use crate::quantity::Cents;

/// A cent in parts in which every share is whole.
const PARTS: i128 = 10_000;

/// V13: the lines of the crossings that name a fund add up to no more than it may pay, or of a grant to no more
/// than its share, up to what it may pay, with what its match has left. And where another bridge could be
/// built, one of flat cars costs no more.
pub fn within_funds(inputs: &Inputs, plan: &Plan) -> Check {
    let cost = |crossing: &CrossingPlan| -> Option<i64> {
        Some(crossing.served()?.lines.iter().map(|line| line.amount.0).sum())
    };
    let mut faults = Vec::new();
    let mut costs: BTreeMap<&str, i128> = BTreeMap::new();
    for crossing in &plan.crossings {
        let row = inputs.crossing(crossing.crossing);
        let Some(cost) = cost(crossing) else { continue };
        if let Some(fund) = &row.fund {
            *costs.entry(fund).or_default() += i128::from(cost) * PARTS;
        } else if let Some(other) = &row.other_bridge
            && !inputs.rules.service.above_other_bridge
            && cost > other.cost.0
        {
            let (id, dearer) = (&row.id, Cents(cost - other.cost.0));
            faults.push(format!("{id} costs {dearer} more than the other bridge there"));
        }
    }
    let may_pay = |name: &str| {
        let fund = inputs.rules.fund.iter().find(|fund| fund.name == name)?;
        Some(i128::from(fund.usd.0) * PARTS)
    };
    // What grants leave goes to their match.
    for grant in &inputs.rules.grant {
        let Some(cost) = costs.remove(grant.fund.as_str()) else { continue };
        let Some(limit) = may_pay(&grant.fund) else {
            faults.push(format!("grant {} is of no fund", grant.fund));
            continue;
        };
        let share = (grant.share_pct.0 * 100.0).round() as i128;
        let pays = (cost / PARTS * share).min(limit);
        *costs.entry(&grant.match_fund).or_default() += cost - pays;
    }
    for (name, paid) in costs {
        match may_pay(name) {
            None => {
                faults.push(format!("a crossing names fund {name}, which the rules do not define"))
            }
            Some(limit) if paid > limit => {
                let cents = |parts: i128| Cents((parts / PARTS) as i64);
                let (paid, limit) = (cents(paid + PARTS - 1), cents(limit));
                faults.push(format!("fund {name} pays {paid}, and may pay {limit}"));
            }
            Some(_) => {}
        }
    }
    no_faults(Code::WithinFunds, faults)
}
