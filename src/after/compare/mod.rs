//! Finished plans side by side: what each serves, costs and risks, read from their JSON.

use serde_json::Value;

use crate::after::replan::{NotAPlan, already_paid, amount};
use crate::quantity::Cents;

/// What counts of one plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// The file's name.
    pub name: String,
    /// Crossings per priority: the priority, served, all.
    pub service: Vec<(u64, usize, usize)>,
    /// Every crossing with what it costs in place; none: not served.
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
        let plan: Value =
            serde_json::from_str(text).map_err(|error| NotAPlan(error.to_string()))?;
        if plan["report"] != "plan" {
            return Err(NotAPlan("its `report` is not `plan`".to_owned()));
        }
        let money = |key: &str| amount(&plan, "summary", key);
        let list = |key: &str| {
            let list = plan[key].as_array();
            list.ok_or_else(|| NotAPlan(format!("{key} is missing")))
        };
        let is_true = |key: &str| plan["summary"][key].as_bool() == Some(true);
        let crossings = list("crossings")?;
        let purchases = list("purchases")?;
        let bought = |purchase: &&Value| purchase["cars"].as_u64().is_some_and(|cars| cars > 0);
        let size = |value: &Value| value.as_array().map_or(0, Vec::len);
        Ok(Self {
            name: name.to_owned(),
            service: service(crossings),
            crossings: crossings
                .iter()
                .map(|crossing| (id(crossing), crossing["total_usd_cents"].as_i64().map(Cents)))
                .collect(),
            outlay: money("outlay_usd_cents")?,
            paid: already_paid(&plan)?,
            stock_value: money("stock_value_usd_cents")?,
            net: money("net_usd_cents")?,
            budget: plan["summary"]["budget_usd_cents"].as_i64().map(Cents),
            cars: purchases.iter().filter_map(|purchase| purchase["cars"].as_u64()).sum(),
            yards: purchases.iter().filter(bought).count(),
            lots: purchases.iter().map(|purchase| size(&purchase["lots"])).sum(),
            posted: crossings.iter().filter(|c| size(&c["signs"]) > 0).map(id).collect(),
            lowest_rating: lowest_rating(crossings),
            cautions: crossings.iter().map(|crossing| size(&crossing["cautions"])).sum(),
            proven: is_true("service_proven_best") && is_true("cost_proven_least"),
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

fn id(crossing: &Value) -> String {
    crossing["crossing"].as_str().unwrap_or_default().to_owned()
}

fn service(crossings: &[Value]) -> Vec<(u64, usize, usize)> {
    let mut service: Vec<(u64, usize, usize)> = Vec::new();
    for crossing in crossings {
        let priority = crossing["priority"].as_u64().unwrap_or(0);
        let served = usize::from(crossing["status"] == "served");
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

fn lowest_rating(crossings: &[Value]) -> Option<(f64, String)> {
    let of = |crossing: &Value| {
        let factor = crossing["lowest_rating"]["check"]["measured"]["ratio"].as_f64()?;
        Some((factor, id(crossing)))
    };
    crossings.iter().filter_map(of).min_by(|a, b| a.0.total_cmp(&b.0))
}
