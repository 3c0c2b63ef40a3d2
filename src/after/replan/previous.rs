//! A previous plan, read back from its JSON: which car lay where.

use serde_json::Value;

/// One car at one crossing.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Assignment {
    /// The crossing's ID.
    pub crossing: String,
    /// The dealer's name.
    pub dealer: String,
    /// The dealer's ID of the car.
    pub car: String,
}

/// What counts of a previous plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Previous {
    /// Every car placed, a row of several once for each, in order.
    pub assignments: Vec<Assignment>,
    /// The crossings that it served, in order.
    pub served: Vec<String>,
    /// What it had to pay, in cents.
    pub outlay: i64,
    /// Its net cost, in cents.
    pub net: i64,
    /// What was paid before it was made, in cents.
    pub paid: i64,
}

/// The text is no plan of this program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("is no plan as `spanyard plan --format json` prints it: {0}")]
pub struct NotAPlan(pub String);

impl Previous {
    /// Reads a plan's JSON.
    ///
    /// # Errors
    /// [`NotAPlan`] with what is missing.
    pub fn parse(text: &str) -> Result<Self, NotAPlan> {
        let plan: Value =
            serde_json::from_str(text).map_err(|error| NotAPlan(error.to_string()))?;
        if plan["report"] != "plan" {
            return Err(NotAPlan("its `report` is not `plan`".to_owned()));
        }
        let money = |key: &str| {
            let amount = plan["summary"][key].as_i64();
            amount.ok_or_else(|| NotAPlan(format!("summary.{key} is missing")))
        };
        let mut previous = Self {
            outlay: money("outlay_usd_cents")?,
            net: money("net_usd_cents")?,
            paid: plan["decisions"]["already_paid_usd_cents"].as_i64().unwrap_or(0),
            ..Self::default()
        };
        let crossings = plan["crossings"].as_array();
        let crossings = crossings.ok_or_else(|| NotAPlan("crossings are missing".to_owned()))?;
        for crossing in crossings {
            if crossing["status"] == "served" {
                previous.crossing(crossing)?;
            }
        }
        previous.assignments.sort();
        previous.served.sort();
        Ok(previous)
    }

    fn crossing(&mut self, crossing: &Value) -> Result<(), NotAPlan> {
        let text = |value: &Value, key: &str| {
            let text = value[key].as_str().map(str::to_owned);
            text.ok_or_else(|| NotAPlan(format!("a crossing has no `{key}`")))
        };
        let id = text(crossing, "crossing")?;
        let decks = crossing["decks"].as_array().map(Vec::as_slice).unwrap_or_default();
        for car in decks.iter().filter_map(|deck| deck["cars_left_to_right"].as_array()).flatten() {
            self.assignments.push(Assignment {
                crossing: id.clone(),
                dealer: text(car, "dealer")?,
                // Of a car that got a name of its own since it was listed, the name that it had.
                car: car["first_listed_as"]
                    .as_str()
                    .map_or_else(|| text(car, "car"), |id| Ok(id.to_owned()))?,
            });
        }
        self.served.push(id);
        Ok(())
    }
}
