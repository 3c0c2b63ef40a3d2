//! A previous plan, read back from its JSON: which car lay where.

use crate::schema::{NotAPlan, Status, read_plan};

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

impl Previous {
    /// Reads a plan's JSON.
    ///
    /// # Errors
    /// [`NotAPlan`] with what is missing.
    pub fn parse(text: &str) -> Result<Self, NotAPlan> {
        let plan = read_plan(text)?;
        let mut previous = Self {
            outlay: plan.summary.outlay_usd_cents.0,
            net: plan.summary.net_usd_cents.0,
            paid: plan.decisions.map_or(0, |decisions| decisions.already_paid_usd_cents.0),
            ..Self::default()
        };
        for crossing in plan.crossings {
            let Status::Served { decks, .. } = crossing.status else { continue };
            for placed in decks.into_iter().flat_map(|deck| deck.cars_left_to_right) {
                previous.assignments.push(Assignment {
                    crossing: crossing.crossing.clone(),
                    dealer: placed.name.dealer,
                    // Of a car that got a name of its own since it was listed, the name it had.
                    car: placed.first_listed_as.unwrap_or(placed.name.car),
                });
            }
            previous.served.push(crossing.crossing);
        }
        previous.assignments.sort();
        previous.served.sort();
        Ok(previous)
    }
}
