//! A previous plan, read back from its JSON: which car lay where.

use serde_json::Value;

use crate::quantity::Cents;

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
        let money = |key: &str| amount(&plan, "summary", key).map(|amount| amount.0);
        let mut previous = Self {
            outlay: money("outlay_usd_cents")?,
            net: money("net_usd_cents")?,
            paid: already_paid(&plan)?.0,
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

/// An amount of a plan's JSON.
///
/// # Errors
/// [`NotAPlan`] where it is missing, or is none that a purchase may have.
pub fn amount(plan: &Value, part: &str, key: &str) -> Result<Cents, NotAPlan> {
    let found = &plan[part][key];
    let wrong = |why| NotAPlan(format!("{part}.{key} {why}"));
    match found.as_i64().map(Cents) {
        Some(amount) if amount.is_sane() => Ok(amount),
        None if found.is_null() => Err(wrong("is missing")),
        _ => Err(wrong("is no amount of money that a purchase may have")),
    }
}

/// What was paid before a plan was made: nothing where it says nothing of it.
///
/// # Errors
/// [`NotAPlan`] where it is no amount, or less than nothing.
pub fn already_paid(plan: &Value) -> Result<Cents, NotAPlan> {
    if plan["decisions"]["already_paid_usd_cents"].is_null() {
        return Ok(Cents::ZERO);
    }
    let paid = amount(plan, "decisions", "already_paid_usd_cents")?;
    if paid < Cents::ZERO {
        return Err(NotAPlan("decisions.already_paid_usd_cents is less than nothing".to_owned()));
    }
    Ok(paid)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_beyond_all_purchases_is_refused_and_never_wraps() {
        let plan = |net: &str, paid: &str| {
            let text = format!(
                "{{\"report\":\"plan\",\"summary\":{{\"outlay_usd_cents\":1,\"net_usd_cents\":{net}}},\
                 \"decisions\":{{\"already_paid_usd_cents\":{paid}}},\"crossings\":[]}}"
            );
            Previous::parse(&text)
        };
        assert_eq!(plan("5", "7").map(|plan| (plan.net, plan.paid)), Ok((5, 7)));
        for (net, paid) in [
            ("-9223372036854775808", "0"),
            ("9223372036854775807", "0"),
            ("1e300", "0"),
            ("\"5\"", "0"),
            ("5", "-9223372036854775808"),
            ("5", "-1"),
        ] {
            assert!(plan(net, paid).is_err(), "{net} {paid}");
        }
    }
}
