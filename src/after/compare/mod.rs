//! Finished plans side by side: what each serves, costs and risks, read from their JSON.

use crate::check::Value;
use crate::quantity::Cents;
use crate::schema::{Crossing, NotAPlan, Status, read_plan};

/// What counts of one plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// The file's name.
    pub name: String,
    /// Crossings per priority: the priority, served, all.
    pub service: Vec<(u64, usize, usize)>,
    /// Every crossing with what it costs in place, what was paid already included; none: not served.
    pub crossings: Vec<(String, Option<Cents>)>,
    /// What must be paid.
    pub outlay: Cents,
    /// What was paid before.
    pub paid: Cents,
    /// Worth of left-over cars.
    pub stock_value: Cents,
    /// Net cost.
    pub net: Cents,
    /// The budget.
    pub budget: Option<Cents>,
    /// Cars bought.
    pub cars: u64,
    /// Yards bought at.
    pub yards: usize,
    /// Lots bought.
    pub lots: usize,
    /// Crossings that need a weight posting.
    pub posted: Vec<String>,
    /// The lowest rating factor of the plan, and where.
    pub lowest_rating: Option<(f64, String)>,
    /// Cautions of the placed cars and decks, each counted once for a crossing.
    pub cautions: usize,
    /// Whether it is proven that none serves more, and none costs less.
    pub proven: bool,
}

impl Scenario {
    /// Reads a plan's JSON.
    ///
    /// # Errors
    /// [`NotAPlan`] with what is missing.
    pub fn parse(name: &str, text: &str) -> Result<Self, NotAPlan> {
        let plan = read_plan(text)?;
        let summary = &plan.summary;
        let bought = plan.purchases.iter().filter(|purchase| purchase.cars > 0);
        let served = |crossing: &Crossing| match &crossing.status {
            // A car bought in between makes a crossing no cheaper.
            Status::Served { total_usd_cents, paid_already_usd_cents, .. } => {
                Some(*total_usd_cents + *paid_already_usd_cents)
            }
            Status::Unserved { .. } => None,
        };
        Ok(Self {
            name: name.to_owned(),
            service: service(&plan.crossings),
            crossings: plan.crossings.iter().map(|c| (c.crossing.clone(), served(c))).collect(),
            outlay: summary.outlay_usd_cents,
            paid: plan.decisions.as_ref().map_or(Cents::ZERO, |made| made.already_paid_usd_cents),
            stock_value: summary.stock_value_usd_cents,
            net: summary.net_usd_cents,
            budget: summary.budget_usd_cents,
            cars: plan.purchases.iter().map(|purchase| purchase.cars as u64).sum(),
            yards: bought.count(),
            lots: plan.purchases.iter().map(|purchase| purchase.lots.len()).sum(),
            posted: plan
                .crossings
                .iter()
                .filter(|c| is_posted(c))
                .map(|c| c.crossing.clone())
                .collect(),
            lowest_rating: lowest_rating(&plan.crossings),
            cautions: plan.crossings.iter().map(cautions).sum(),
            proven: summary.service_proven_best && summary.cost_proven_least,
        })
    }

    /// Crossings served.
    #[must_use]
    pub fn served(&self) -> usize {
        self.service.iter().map(|(_, served, _)| served).sum()
    }

    /// Crossings that go without.
    pub fn unserved(&self) -> impl Iterator<Item = &str> {
        let without = self.crossings.iter().filter(|(_, cost)| cost.is_none());
        without.map(|(id, _)| id.as_str())
    }

    /// What a crossing costs in place; none: it is not served, or the plan does not know it.
    #[must_use]
    pub fn cost_of(&self, id: &str) -> Option<Cents> {
        self.crossings.iter().find(|(other, _)| other == id)?.1
    }
}

/// The crossings that every plan serves, with what they come to in each plan, in place.
#[must_use]
pub fn served_by_all(scenarios: &[Scenario]) -> (Vec<&str>, Vec<Cents>) {
    let first = scenarios.first().map(|scenario| scenario.crossings.as_slice()).unwrap_or_default();
    let ids = first.iter().map(|(id, _)| id.as_str());
    let by_all = |id: &&str| scenarios.iter().all(|scenario| scenario.cost_of(id).is_some());
    let ids: Vec<&str> = ids.filter(by_all).collect();
    let total = |s: &Scenario| ids.iter().filter_map(|id| s.cost_of(id)).sum();
    let totals = scenarios.iter().map(total).collect();
    (ids, totals)
}

fn is_posted(crossing: &Crossing) -> bool {
    matches!(&crossing.status, Status::Served { signs, .. } if !signs.is_empty())
}

fn cautions(crossing: &Crossing) -> usize {
    match &crossing.status {
        Status::Served { cautions, .. } => cautions.len(),
        Status::Unserved { .. } => 0,
    }
}

fn service(crossings: &[Crossing]) -> Vec<(u64, usize, usize)> {
    let mut service: Vec<(u64, usize, usize)> = Vec::new();
    for crossing in crossings {
        let priority = u64::from(crossing.priority);
        let served = usize::from(matches!(crossing.status, Status::Served { .. }));
        match service.iter_mut().find(|(other, _, _)| *other == priority) {
            Some((_, yes, all)) => {
                *yes += served;
                *all += 1;
            }
            None => service.push((priority, served, 1)),
        }
    }
    service.sort_unstable();
    service
}

fn lowest_rating(crossings: &[Crossing]) -> Option<(f64, String)> {
    let of = |crossing: &Crossing| match &crossing.status {
        Status::Served { lowest_rating: Some(said), .. } => match said.check.measured {
            Value::Ratio(factor) => Some((factor.0, crossing.crossing.clone())),
            _ => None,
        },
        _ => None,
    };
    crossings.iter().filter_map(of).min_by(|a, b| a.0.total_cmp(&b.0))
}
