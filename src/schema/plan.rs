//! The plan.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::crossings::Crossing;
use super::pieces::{CarName, RulesStated, Said, Word};
use super::purchases::Purchase;
use crate::model::plan::Stop;
use crate::model::rules::ServeFirst;
use crate::quantity::{Cents, Percent};

/// The whole plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlanDocument {
    /// Where the plan comes from; absent in plans of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<Origin>,
    /// The files read.
    pub files: Vec<FileStated>,
    /// The day on which orders are placed.
    pub order_date: Date,
    /// The rules in force.
    pub rules: RulesStated,
    /// The answer in numbers.
    pub summary: Summary,
    /// What was decided; absent where nothing was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decisions: Option<Decisions>,
    /// The difference to a previous plan; absent without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub change: Option<Change>,
    /// What is bought, yard by yard.
    pub purchases: Vec<Purchase>,
    /// What each crossing gets.
    pub crossings: Vec<Crossing>,
    /// Cars that are not used for a reason.
    pub cars_refused: Refused,
    /// The money by what it pays for.
    pub totals_by_item: Vec<ItemTotal>,
    /// What the funds pay; absent where the rules have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub funds: Option<Funds>,
    /// What the hauls come to, and which are estimates; absent in documents of before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hauls: Option<Hauls>,
    /// Checks that the data did not allow.
    pub not_checked: Vec<Said>,
    /// What no plan checks.
    pub never_checked: Vec<Word>,
    /// What holds for every plan.
    pub cautions: Vec<Word>,
}

/// Where a plan comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Origin {
    /// Equal plans of equal files have equal IDs.
    pub plan_id: String,
    /// One hash over those of all files.
    pub inputs_sha256: String,
    /// Over the whole document but itself.
    pub content_sha256: String,
}

/// A file that was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FileStated {
    /// As named on the command line.
    pub name: String,
    /// Which kind of file.
    pub kind: Word,
    /// SHA-256 of its bytes; empty in plans of earlier versions.
    #[serde(default)]
    pub sha256: String,
    /// Its rows.
    pub rows: usize,
    /// Rows of a dealer's list that are none of a car.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_taken: Vec<NotTaken>,
    /// How many of those are rows that cannot be read as they stand.
    #[serde(default, skip_serializing_if = "is_none")]
    pub left_out: usize,
}

fn is_none(number: &usize) -> bool {
    *number == 0
}

/// A row of a dealer's list that is none of a car.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NotTaken {
    /// Its line.
    pub line: u64,
    /// What it is instead.
    pub reason: String,
}

/// The answer in numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Crossings asked for.
    pub crossings: usize,
    /// Crossings served.
    pub served: usize,
    /// Of these, bridges of which every fact that decides is enough to pay on.
    #[serde(default)]
    pub firm: usize,
    /// Of these, bridges of which something has to be confirmed before money is paid.
    #[serde(default)]
    pub to_confirm: usize,
    /// What must be paid.
    pub outlay_usd_cents: Cents,
    /// What the cars left over are worth.
    pub stock_value_usd_cents: Cents,
    /// The first less the second.
    pub net_usd_cents: Cents,
    /// The most that may be paid.
    pub budget_usd_cents: Option<Cents>,
    /// What the rules serve first.
    pub serve_first: ServeFirst,
    /// Points of the crossings served, where points decide.
    pub points_served: Option<u32>,
    /// Points of all crossings, where points decide.
    pub points_of_all: Option<u32>,
    /// No purchase serves more, by priority.
    pub service_proven_best: bool,
    /// No purchase of the same service costs less.
    pub cost_proven_least: bool,
    /// Whether the time limit ended the search.
    pub stopped_at_time_limit: bool,
    /// What ended the search before everything was proven.
    pub stopped_by: Option<Stop>,
    /// Crossings served by the purchase made site by site.
    pub site_by_site_served: Option<usize>,
    /// Net cost of the purchase made site by site.
    pub site_by_site_net_usd_cents: Option<Cents>,
    /// No plan of the same service costs less.
    pub bound_usd_cents: Option<Cents>,
    /// Net cost above the bound.
    pub gap_usd_cents: Option<Cents>,
    /// The same as a share of the net cost.
    pub gap_percent: Option<f64>,
}

/// What was decided since the first plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Decisions {
    /// The decisions that the plan obeys.
    pub obeyed: Vec<Decision>,
    /// What was paid before.
    pub already_paid_usd_cents: Cents,
    /// Own cars that go nowhere.
    pub in_stock: Vec<InStock>,
}

/// A decision.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Decision {
    /// Its kind, as in the decisions file.
    pub kind: Word,
    /// What it says.
    pub sentence: String,
    /// Where it stands.
    pub place: String,
}

/// Own cars that go nowhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct InStock {
    /// The row.
    #[serde(flatten)]
    pub car: CarName,
    /// How many of it.
    pub count: u32,
}

/// The difference to a previous plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// Assignments given up, and new ones.
    pub changes: usize,
    /// No plan within the limit has fewer.
    pub at_least: usize,
    /// Whether the two are equal.
    pub proven: bool,
    /// The most that the plan might cost.
    pub limit_usd_cents: Cents,
    /// What the cheapest plan costs.
    pub cheapest_usd_cents: Cents,
    /// Its changes.
    pub cheapest_changes: usize,
    /// Cars that lie where they lay.
    pub kept: usize,
    /// What is paid, now and already, against then.
    pub outlay_change_usd_cents: Cents,
    /// Crossing by crossing.
    pub crossings: Vec<ChangedCrossing>,
}

/// What changes at a crossing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChangedCrossing {
    /// Its ID.
    pub crossing: String,
    /// `kept`, `swapped`, `added` or `dropped`.
    pub word: Word,
    /// Cars that lie there no more.
    pub out: Vec<TakenOut>,
    /// Cars that are new there.
    #[serde(rename = "in")]
    pub new: Vec<String>,
}

/// A car that lies somewhere no more.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TakenOut {
    /// The car.
    pub car: String,
    /// Why.
    pub reason: String,
}

/// Cars that are not used for a reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Refused {
    /// Cars on offer.
    pub cars: usize,
    /// Those that fit no crossing.
    pub cars_that_fit_no_crossing: usize,
    /// Check by check.
    pub reasons: Vec<Refusal>,
}

/// How many cars one check bars.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Refusal {
    /// Its code.
    pub code: Word,
    /// Its name.
    pub name: Word,
    /// At every crossing.
    pub cars_barred_everywhere: usize,
    /// At one or more.
    pub cars_barred_somewhere: usize,
    /// Of these for want of data alone.
    pub cars_barred_for_want_of_data: usize,
}

/// The money by what it pays for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ItemTotal {
    /// What for.
    pub item: Word,
    /// How much.
    pub amount_usd_cents: Cents,
}

/// Haul, permit and escort of all loads.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hauls {
    /// What haulers quoted.
    pub quoted_usd_cents: Cents,
    /// What is estimated by distance and rules.
    pub estimated_usd_cents: Cents,
    /// The ways of which something is estimated.
    pub estimates: Vec<Way>,
}

/// The ways from a yard to some crossings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Way {
    /// The yard.
    pub yard: String,
    /// The crossings.
    pub crossings: Vec<String>,
}

/// What the funds pay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Funds {
    /// Fund by fund.
    pub funds: Vec<Fund>,
    /// What no fund pays.
    pub paid_beyond_usd_cents: Cents,
}

/// What one fund pays.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fund {
    /// Its name.
    pub fund: String,
    /// The crossings served that it pays for.
    pub crossings: Vec<String>,
    /// The most it may pay.
    pub limit_usd_cents: Cents,
    /// What it pays.
    pub spent_usd_cents: Cents,
    /// What is left.
    pub left_usd_cents: Cents,
    /// Of a grant the most that it pays of each crossing; absent where it pays in full.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share_percent: Option<Percent>,
    /// Of a grant the fund that pays the rest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub match_fund: Option<String>,
}
