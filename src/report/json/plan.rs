//! The plan as JSON: the same facts as the terminal, with every check and every cost line.

use std::borrow::Cow;

use super::crossings::crossing;
use super::decisions::decisions;
use super::purchases::purchase;
use super::render;
use super::shared::{RulesJson, SaidJson};
use crate::after::origin::sealed;
use crate::model::inputs::Inputs;
use crate::model::plan::{Plan, Stop};
use crate::quantity::Percent;
use crate::read::FileRead;
use crate::report::facts::PlanReport;
use crate::report::facts::change::Change;
use crate::report::facts::funds::{FundUse, beyond, funds};
use crate::report::facts::hauls::hauls;
use crate::report::facts::headline::points;
use crate::report::facts::limits::{ALWAYS_MIND, NEVER_CHECKED};
use crate::report::facts::reasons;
use crate::report::facts::refusals::refusals;
use crate::report::facts::totals::{by_item, gap};
use crate::report::provenance::{HashedFile, identity};
use crate::schema;

fn funds_json(inputs: &Inputs, plan: &Plan) -> Option<schema::Funds> {
    let funds = funds(inputs, plan);
    let paid_beyond_usd_cents = beyond(plan, &funds);
    let json = |fund: FundUse| schema::Fund {
        limit_usd_cents: fund.limit,
        spent_usd_cents: fund.spent,
        left_usd_cents: fund.left(),
        share_percent: fund.share.as_ref().map(|(share, _)| Percent(f64::from(share.0) / 100.0)),
        match_fund: fund.share.as_ref().map(|(_, rest)| rest.clone()),
        crossings: fund.crossings,
        fund: fund.name,
    };
    (!funds.is_empty()).then(|| schema::Funds {
        funds: funds.into_iter().map(json).collect(),
        paid_beyond_usd_cents,
    })
}

fn hauls_json(inputs: &Inputs, plan: &Plan) -> schema::Hauls {
    let hauls = hauls(inputs, plan);
    let ways = hauls.estimates.into_iter();
    schema::Hauls {
        quoted_usd_cents: hauls.quoted,
        estimated_usd_cents: hauls.estimated,
        estimates: ways.map(|(yard, crossings)| schema::Way { yard, crossings }).collect(),
    }
}

/// The plan.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn plan(report: &PlanReport) -> serde_json::Result<String> {
    plan_and_change(report, None)
}

/// The plan, with its difference to a previous one.
///
/// # Errors
/// As [`plan`].
pub fn plan_and_change(report: &PlanReport, change: Option<&Change>) -> serde_json::Result<String> {
    sealed(&render("plan", document(report, change))?)
}

/// The plan's document.
fn document(report: &PlanReport, change: Option<&Change>) -> schema::PlanDocument {
    let PlanReport { inputs, plan, matching, files } = *report;
    let refusals = refusals(inputs, matching);
    let (inputs_sha256, plan_id) = identity(report, &HashedFile::all(files));
    schema::PlanDocument {
        // The digest is filled in when all else is written.
        origin: Some(schema::Origin { plan_id, inputs_sha256, content_sha256: String::new() }),
        files: files.iter().map(file).collect(),
        order_date: inputs.order_date,
        rules: RulesJson::of(inputs),
        summary: summary(inputs, plan),
        decisions: decisions(report),
        change: change.map(schema::Change::of),
        purchases: plan.purchases.iter().map(|p| purchase(inputs, plan, p)).collect(),
        crossings: plan.crossings.iter().map(|planned| crossing(report, planned)).collect(),
        cars_refused: schema::Refused {
            cars: refusals.cars,
            cars_that_fit_no_crossing: refusals.fit_none,
            reasons: refusals
                .reasons
                .iter()
                .map(|refusal| schema::Refusal {
                    code: Cow::Borrowed(refusal.code.id()),
                    name: Cow::Borrowed(refusal.code.kind().name),
                    cars_barred_everywhere: refusal.everywhere,
                    cars_barred_somewhere: refusal.somewhere,
                    cars_barred_for_want_of_data: refusal.for_want_of_data,
                })
                .collect(),
        },
        totals_by_item: by_item(plan)
            .into_iter()
            .map(|(item, amount)| schema::ItemTotal {
                item: Cow::Borrowed(item.word()),
                amount_usd_cents: amount,
            })
            .collect(),
        funds: funds_json(inputs, plan),
        hauls: Some(hauls_json(inputs, plan)),
        not_checked: SaidJson::all(reasons::not_checked(inputs, plan)),
        never_checked: NEVER_CHECKED.iter().map(|&text| Cow::Borrowed(text)).collect(),
        cautions: ALWAYS_MIND.iter().map(|&text| Cow::Borrowed(text)).collect(),
    }
}

fn file(read: &FileRead) -> schema::FileStated {
    schema::FileStated {
        name: read.name.to_string(),
        kind: Cow::Borrowed(read.kind.word()),
        sha256: read.sha256.clone(),
        rows: read.rows,
        not_taken: read
            .not_taken
            .iter()
            .map(|row| schema::NotTaken { line: row.line, reason: row.reason.clone() })
            .collect(),
        left_out: read.left_out,
    }
}

fn summary(inputs: &Inputs, plan: &Plan) -> schema::Summary {
    let gap = gap(plan);
    let points = points(inputs, plan);
    schema::Summary {
        crossings: plan.crossings.len(),
        served: plan.served_count(),
        firm: plan.firm_count(),
        to_confirm: plan.served_count() - plan.firm_count(),
        outlay_usd_cents: plan.totals.outlay,
        stock_value_usd_cents: plan.totals.stock_value,
        net_usd_cents: plan.totals.net,
        budget_usd_cents: plan.budget,
        serve_first: inputs.rules.service.first,
        points_served: points.map(|(served, _)| served),
        points_of_all: points.map(|(_, all)| all),
        service_proven_best: plan.proof.service,
        cost_proven_least: plan.proof.cheapest,
        stopped_at_time_limit: plan.proof.stopped == Some(Stop::TimeLimit),
        stopped_by: plan.proof.stopped,
        site_by_site_served: plan.site_by_site.map(|other| other.served),
        site_by_site_net_usd_cents: plan.site_by_site.map(|other| other.net),
        bound_usd_cents: gap.map(|_| plan.proof.bound),
        gap_usd_cents: gap.map(|gap| gap.amount),
        gap_percent: gap.map(|gap| gap.percent),
    }
}
