//! Screens one car against one span of a crossing, without strength: every rule asked, not only
//! the first that fails.
//!
//! Each file holds one family of questions. A question always gives its check, whatever the others
//! found, so that a refusal names everything that is wrong with the car and nothing has to be found
//! out twice. Strength is the rating's business; which cars match is the grouping's.

mod agreed;
mod bad_news;
mod coating;
mod dates;
mod decided;
mod deck;
mod enough_to_plan;
mod geometry;
mod kind_and_history;
mod listed_once;
mod members;
mod price_known;
mod support;
mod transport;
mod width;

use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::check::{Barred, Check};
use crate::evidence;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::rules::Rules;
use crate::quantity::Feet;

/// One car: what the questions are asked of that no span changes.
#[derive(Clone, Copy)]
struct Alone<'a> {
    inputs: &'a Inputs,
    rules: &'a Rules,
    car: &'a Car,
}

/// One car before one span: what all other questions are asked of.
#[derive(Clone, Copy)]
struct Pair<'a> {
    screening: &'a Screening<'a>,
    rules: &'a Rules,
    car: &'a Car,
    crossing: &'a Crossing,
    site: Site,
    span: Feet,
    /// Whether remarks are wanted; they cost most of the time of a screening.
    remarks: bool,
}

/// The screening of many pairs: what the cars on offer have in common is gathered once.
pub struct Screening<'a> {
    inputs: &'a Inputs,
    widths: OnceLock<width::OfSections>,
    weights: OnceLock<agreed::WeightsOfSections>,
    /// Per car, by what a crossing asks for: whether all that decides is known to be enough to plan with.
    enough: OnceLock<Vec<[AtomicBool; evidence::ASKED]>>,
}

impl<'a> Screening<'a> {
    /// The screening of these inputs.
    #[must_use]
    pub fn new(inputs: &'a Inputs) -> Self {
        let (widths, weights, enough) = (OnceLock::new(), OnceLock::new(), OnceLock::new());
        Self { inputs, widths, weights, enough }
    }

    /// Every check of a car on a span, in the order of the registry.
    #[must_use]
    pub fn all(&self, car: CarIx, site: Site) -> Vec<Check> {
        self.with_remarks(car, site, true)
    }

    /// The same, with or without the remarks on how the car and the span fit each other.
    #[must_use]
    pub fn with_remarks(&self, car: CarIx, site: Site, remarks: bool) -> Vec<Check> {
        let mut checks = self.of_car(car);
        checks.extend(self.at_site(car, site, remarks));
        checks.sort_by_key(|check| check.code);
        checks
    }

    /// The checks of a car that are the same on every span.
    #[must_use]
    pub fn of_car(&self, car: CarIx) -> Vec<Check> {
        let alone = self.alone(car);
        let mut checks = Vec::with_capacity(15);
        checks.push(kind_and_history::kind(&alone));
        checks.push(kind_and_history::wreck(&alone));
        checks.push(kind_and_history::underframe(&alone));
        checks.extend(kind_and_history::shape_and_history(&alone));
        checks.extend(members::all(&alone));
        checks.push(coating::coating(&alone));
        checks.push(coating::lead(&alone));
        checks.push(dates::quote(&alone));
        checks.push(price_known::price(&alone));
        checks.push(geometry::section(&alone));
        checks.push(geometry::camber(&alone));
        checks.push(geometry::sag(&alone));
        checks.push(transport::weight_known(&alone));
        checks.extend(decided::still_to_be_had(self.inputs, car));
        checks.extend(bad_news::answered(self.inputs, car));
        checks.extend(listed_once::once(self.inputs, car));
        checks.extend(agreed::facts(self, car));
        checks
    }

    /// What bars a car that depends on the span or its crossing.
    #[must_use]
    pub fn barred_at_site(&self, car: CarIx, site: Site) -> Barred {
        Barred::by(&self.at_site(car, site, false))
    }

    /// The checks of a car that depend on the span or its crossing, with or without remarks.
    fn at_site(&self, car: CarIx, site: Site, remarks: bool) -> Vec<Check> {
        let pair = Pair {
            screening: self,
            rules: &self.inputs.rules,
            car: self.inputs.car(car),
            crossing: self.inputs.crossing(site.crossing),
            site,
            span: self.inputs.span(site),
            remarks,
        };
        let mut checks = vec![
            support::support(&pair),
            support::bearing_inside(&pair),
            support::bolster_kept(&pair),
            geometry::joint_depth(&pair),
            deck::own_deck(&pair),
            transport::length(&pair),
            transport::weight(&pair),
            transport::width(&pair),
            transport::height(&pair),
            transport::pick(&pair),
            dates::ready(&pair),
            width::possible(&pair),
        ];
        checks.extend(self.enough(&pair, car));
        checks
    }

    /// S26, asked once of each car for all crossings that ask alike.
    fn enough(&self, pair: &Pair, car: CarIx) -> Option<Check> {
        let cars = self.inputs.cars.len();
        let known = self.enough.get_or_init(|| (0..cars).map(|_| Default::default()).collect());
        let known = known.get(car.0)?.get(evidence::asked(pair.crossing, pair.rules))?;
        if known.load(Ordering::Relaxed) {
            return None;
        }
        let check = enough_to_plan::enough(pair);
        known.store(check.is_none(), Ordering::Relaxed);
        check
    }

    fn alone(&self, car: CarIx) -> Alone<'a> {
        Alone { inputs: self.inputs, rules: &self.inputs.rules, car: self.inputs.car(car) }
    }
}

/// Every screening check of this car on this span, in the order of the registry.
#[must_use]
pub fn screen(inputs: &Inputs, car: CarIx, site: Site) -> Vec<Check> {
    Screening::new(inputs).all(car, site)
}
