//! Flat cars against another bridge: what they save, and where they are dearer.

use crate::check::Code;
use crate::model::inputs::Inputs;
use crate::model::plan::{CrossingPlan, Fate, Plan};
use crate::price;
use crate::quantity::Cents;
use crate::report::facts::count;

/// One crossing where another bridge could be built.
#[derive(Clone, Debug, PartialEq)]
pub struct Against {
    /// The crossing's ID.
    pub crossing: String,
    /// What the other bridge is: `the culvert`.
    pub what: String,
    /// What it would cost.
    pub other: Cents,
    /// What the flat cars cost in place; none: they are not laid.
    pub flat_cars: Option<Cents>,
    /// Years that the other bridge and the flat cars serve, as far as they are stated.
    pub years: (Option<u16>, Option<u16>),
    /// Whether nothing is stated for abutments and approaches, so that the flat cars' cost lacks them.
    pub partial: bool,
    /// Whether no flat cars are laid because the other bridge is cheaper.
    pub left_to_other: bool,
}

impl Against {
    /// What the flat cars save; below zero where they are dearer; none where they are not laid.
    #[must_use]
    pub fn saves(&self) -> Option<Cents> {
        Some(self.other - self.flat_cars?)
    }

    /// What both cost by the year of service, the flat cars first; none where a life is not stated.
    #[must_use]
    pub fn by_the_year(&self) -> Option<(Cents, Cents)> {
        let (other, flat_cars) = self.years;
        let by = |cost: Cents, years: u16| {
            Cents::from_dollars(cost.as_dollars() / f64::from(years.max(1)))
        };
        Some((by(self.flat_cars?, flat_cars?), by(self.other, other?)))
    }

    /// `the culvert, $120,000.00: flat cars save $48,000.00`, and by the year where that is known.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = format!("{}, {}", self.what, self.other);
        match self.saves() {
            Some(saves) if saves >= Cents::ZERO => {
                words.push_str(&format!(": flat cars save {saves}"));
            }
            Some(saves) => words.push_str(&format!(": flat cars cost {} more", -saves)),
            None if self.left_to_other => words.push_str(": cheaper than flat cars"),
            None => {}
        }
        if let (Some((flat_cars, other)), (Some(years), Some(own))) =
            (self.by_the_year(), self.years)
        {
            words.push_str(&format!(
                "; by the year of service {flat_cars} over {own} years against {other} over {years}"
            ));
        }
        if self.partial && self.flat_cars.is_some() {
            words.push_str(
                "; without abutments and approaches of the flat cars, for which no price is stated",
            );
        }
        words
    }
}

/// A crossing against another bridge; none where none is stated.
#[must_use]
pub fn against(inputs: &Inputs, planned: &CrossingPlan) -> Option<Against> {
    let crossing = inputs.crossing(planned.crossing);
    let other = crossing.other_bridge.as_ref()?;
    let left_to_other = match &planned.fate {
        Fate::Served(_) => false,
        Fate::Unserved(unserved) => {
            unserved.reasons.iter().any(|check| check.code == Code::OtherBridge)
        }
    };
    Some(Against {
        crossing: crossing.id.clone(),
        what: other.words(),
        other: other.cost,
        flat_cars: planned
            .served()
            .map(|served| served.total() + price::paid_already(inputs, &served.decks)),
        years: (other.years, inputs.rules.service.life_years),
        partial: crossing.other.is_none(),
        left_to_other,
    })
}

/// All crossings against other bridges, in sentences: the board's first question.
#[must_use]
pub fn sentences(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let all: Vec<Against> =
        plan.crossings.iter().filter_map(|planned| against(inputs, planned)).collect();
    let mut said = Vec::new();
    let served: Vec<&Against> = all.iter().filter(|one| one.flat_cars.is_some()).collect();
    if !served.is_empty() {
        let saves: Cents = served.iter().filter_map(|one| one.saves()).sum();
        let at = count(served.len(), "crossing");
        let partial = served.iter().filter(|one| one.partial).count();
        let mut sentence = if saves >= Cents::ZERO {
            format!("Against other bridges at {at}, flat cars save {saves}")
        } else {
            format!("Against other bridges at {at}, flat cars cost {} more", -saves)
        };
        if partial > 0 {
            sentence.push_str(&format!(
                "; at {partial} of them abutments and approaches are not in the flat cars' cost"
            ));
        }
        said.push(format!("{sentence}."));
    }
    for one in &all {
        match one.saves() {
            Some(saves) if saves < Cents::ZERO => said.push(format!(
                "At {} {} is cheaper by {}, and flat cars are laid all the same.",
                one.crossing, one.what, -saves
            )),
            None if one.left_to_other => said.push(format!(
                "At {} {} at {} is cheaper: no flat cars are laid.",
                one.crossing, one.what, one.other
            )),
            _ => {}
        }
    }
    said
}
