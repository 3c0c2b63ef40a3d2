//! The plan as JSON: the same facts as the terminal, with every check and every cost line.

use jiff::civil::Date;
use serde::Serialize;

use super::change::ChangeJson;
use super::crossings::{CrossingJson, crossing};
use super::decisions::{DecisionsJson, decisions};
use super::purchases::{PurchaseJson, purchase};
use super::render;
use super::shared::{RulesJson, SaidJson};
use crate::after::origin::sealed;
use crate::model::inputs::Inputs;
use crate::model::plan::{Plan, Stop};
use crate::model::rules::ServeFirst;
use crate::quantity::Cents;
use crate::read::FileRead;
use crate::report::facts::PlanReport;
use crate::report::facts::change::Change;
use crate::report::facts::funds::{FundUse, beyond, funds};
use crate::report::facts::headline::points;
use crate::report::facts::limits::{ALWAYS_MIND, NEVER_CHECKED};
use crate::report::facts::reasons;
use crate::report::facts::refusals::refusals;
use crate::report::facts::totals::{by_item, gap};
use crate::report::provenance::{HashedFile, identity};

#[derive(Debug, Serialize)]
struct PlanJson<'a> {
    origin: OriginJson,
    files: &'a [FileRead],
    order_date: Date,
    rules: RulesJson,
    summary: Summary,
    #[serde(skip_serializing_if = "Option::is_none")]
    decisions: Option<DecisionsJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    change: Option<ChangeJson>,
    purchases: Vec<PurchaseJson>,
    crossings: Vec<CrossingJson>,
    cars_refused: RefusedJson,
    totals_by_item: Vec<ItemTotal>,
    #[serde(skip_serializing_if = "Option::is_none")]
    funds: Option<FundsJson>,
    not_checked: Vec<SaidJson>,
    never_checked: &'static [&'static str],
    cautions: &'static [&'static str],
}

/// Where the plan comes from.
#[derive(Debug, Serialize)]
struct OriginJson {
    plan_id: String,
    /// One hash over those of all files.
    inputs_sha256: String,
    /// Over the whole document but itself; filled in when all else is written.
    content_sha256: &'static str,
}

#[derive(Debug, Serialize)]
struct Summary {
    crossings: usize,
    served: usize,
    outlay_usd_cents: Cents,
    stock_value_usd_cents: Cents,
    net_usd_cents: Cents,
    budget_usd_cents: Option<Cents>,
    serve_first: ServeFirst,
    points_served: Option<u32>,
    points_of_all: Option<u32>,
    service_proven_best: bool,
    cost_proven_least: bool,
    stopped_at_time_limit: bool,
    stopped_by: Option<Stop>,
    /// Crossings served by the purchase made site by site.
    site_by_site_served: usize,
    /// Net cost of the purchase made site by site.
    site_by_site_net_usd_cents: Cents,
    bound_usd_cents: Option<Cents>,
    gap_usd_cents: Option<Cents>,
    gap_percent: Option<f64>,
}

#[derive(Debug, Serialize)]
struct RefusedJson {
    cars: usize,
    cars_that_fit_no_crossing: usize,
    reasons: Vec<RefusalJson>,
}

#[derive(Debug, Serialize)]
struct RefusalJson {
    code: &'static str,
    name: &'static str,
    cars_barred_everywhere: usize,
    cars_barred_somewhere: usize,
    cars_barred_for_want_of_data: usize,
}

#[derive(Debug, Serialize)]
struct FundsJson {
    funds: Vec<FundJson>,
    /// What no fund pays.
    paid_beyond_usd_cents: Cents,
}

#[derive(Debug, Serialize)]
struct FundJson {
    fund: String,
    crossings: Vec<String>,
    limit_usd_cents: Cents,
    spent_usd_cents: Cents,
    left_usd_cents: Cents,
}

fn funds_json(inputs: &Inputs, plan: &Plan) -> Option<FundsJson> {
    let funds = funds(inputs, plan);
    let paid_beyond_usd_cents = beyond(plan, &funds);
    let json = |fund: FundUse| FundJson {
        limit_usd_cents: fund.limit,
        spent_usd_cents: fund.spent,
        left_usd_cents: fund.left(),
        crossings: fund.crossings,
        fund: fund.name,
    };
    (!funds.is_empty())
        .then(|| FundsJson { funds: funds.into_iter().map(json).collect(), paid_beyond_usd_cents })
}

#[derive(Debug, Serialize)]
struct ItemTotal {
    item: &'static str,
    amount_usd_cents: Cents,
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
    let PlanReport { inputs, plan, matching, files } = *report;
    let refusals = refusals(inputs, matching);
    let (inputs_sha256, plan_id) = identity(report, &HashedFile::all(files));
    let body = PlanJson {
        origin: OriginJson { plan_id, inputs_sha256, content_sha256: "" },
        files,
        order_date: inputs.order_date,
        rules: RulesJson::of(inputs),
        summary: summary(inputs, plan),
        decisions: decisions(report),
        change: change.map(ChangeJson::of),
        purchases: plan.purchases.iter().map(|p| purchase(inputs, plan, p)).collect(),
        crossings: plan.crossings.iter().map(|planned| crossing(report, planned)).collect(),
        cars_refused: RefusedJson {
            cars: refusals.cars,
            cars_that_fit_no_crossing: refusals.fit_none,
            reasons: refusals
                .reasons
                .iter()
                .map(|refusal| RefusalJson {
                    code: refusal.code.id(),
                    name: refusal.code.kind().name,
                    cars_barred_everywhere: refusal.everywhere,
                    cars_barred_somewhere: refusal.somewhere,
                    cars_barred_for_want_of_data: refusal.for_want_of_data,
                })
                .collect(),
        },
        totals_by_item: by_item(plan)
            .into_iter()
            .map(|(item, amount)| ItemTotal { item: item.word(), amount_usd_cents: amount })
            .collect(),
        funds: funds_json(inputs, plan),
        not_checked: SaidJson::all(reasons::not_checked(inputs, plan)),
        never_checked: NEVER_CHECKED,
        cautions: ALWAYS_MIND,
    };
    sealed(&render("plan", body)?)
}

fn summary(inputs: &Inputs, plan: &Plan) -> Summary {
    let gap = gap(plan);
    let points = points(inputs, plan);
    Summary {
        crossings: plan.crossings.len(),
        served: plan.served_count(),
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
        site_by_site_served: plan.site_by_site.served,
        site_by_site_net_usd_cents: plan.site_by_site.net,
        bound_usd_cents: gap.map(|_| plan.proof.bound),
        gap_usd_cents: gap.map(|gap| gap.amount),
        gap_percent: gap.map(|gap| gap.percent),
    }
}
