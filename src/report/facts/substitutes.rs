//! Cars that take the place of one that is refused, in the decks that they would then lie in: they are
//! looked at on the same trip.

use itertools::Itertools;

use crate::group::order_across;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site, YardIx};
use crate::model::plan::{Alternative, Deck, IfRefused, JointUse, PlacedCar, Plan, Served};
use crate::quantity::{Cents, Feet, Inches};

/// A car in the deck that follows a refusal.
#[derive(Clone, Debug)]
pub struct Substitute {
    /// The deck with it. Its checks and loads are left out: it is measured for, not built.
    pub deck: Deck,
    /// Where in the deck it lies.
    pub place: usize,
    /// The cars whose refusal brings it in.
    pub instead_of: Vec<CarIx>,
    /// What the plan then costs more, at least.
    pub extra: Cents,
}

impl Substitute {
    /// The car.
    #[must_use]
    pub fn car(&self) -> Option<CarIx> {
        self.deck.cars.get(self.place).map(|placed| placed.car)
    }
}

/// The substitutes that stand at a yard, by crossing, each car once for a crossing.
#[must_use]
pub fn at_yard(inputs: &Inputs, plan: &Plan, yard: YardIx) -> Vec<Substitute> {
    let mut all: Vec<Substitute> = Vec::new();
    let served = plan.crossings.iter().filter_map(|planned| Some((planned, planned.served()?)));
    for (planned, served) in served {
        let from = all.len();
        let now = cars(served);
        for (refused, then) in &served.if_refused {
            let IfRefused::Instead(other) = then else { continue };
            for deck in decks(inputs, served, planned.crossing, other) {
                for (place, placed) in deck.cars.iter().enumerate() {
                    let car = inputs.car(placed.car);
                    if car.yard != yard || car.owned || now.contains(&placed.car) {
                        continue;
                    }
                    let known = all.iter_mut().skip(from).find(|s| s.car() == Some(placed.car));
                    match known {
                        Some(known) if known.instead_of.contains(refused) => {}
                        Some(known) => {
                            known.instead_of.push(*refused);
                            known.extra = known.extra.min(other.extra);
                        }
                        None => all.push(Substitute {
                            deck: deck.clone(),
                            place,
                            instead_of: vec![*refused],
                            extra: other.extra,
                        }),
                    }
                }
            }
        }
    }
    all
}

/// The cars that another deck has and the present one has not, each once.
#[must_use]
pub fn new_cars(served: &Served, other: &Alternative) -> Vec<CarIx> {
    let now = cars(served);
    other.decks.iter().flatten().copied().filter(|car| !now.contains(car)).unique().collect()
}

fn cars(served: &Served) -> Vec<CarIx> {
    served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car).collect()
}

/// The decks of another bridge, as far as an inspector needs them.
fn decks(inputs: &Inputs, served: &Served, crossing: CrossingIx, other: &Alternative) -> Vec<Deck> {
    let row = inputs.crossing(crossing);
    let required_width = inputs.rules.width_required(row.clear_width);
    // The joint is that of the deck there now; where there is none now, none is asked for.
    let joint = |span: usize, cars: usize| -> Option<JointUse> {
        let now = served.decks.get(span).or(served.decks.first())?;
        now.joint.clone().filter(|_| cars > 1)
    };
    let spans = other.decks.iter().enumerate();
    spans
        .map(|(span, cars)| {
            let site = Site { crossing, layout: other.layout, span };
            let mut cars = cars.clone();
            order_across(&mut cars, |car| inputs.car(*car).camber.unwrap_or(Inches(f64::NAN)));
            Deck {
                site,
                span: inputs.span(site),
                joint: joint(span, cars.len()),
                cars: cars.into_iter().map(|car| PlacedCar { car, checks: Vec::new() }).collect(),
                total_width: Feet::default(),
                required_width,
                checks: Vec::new(),
                loads: Vec::new(),
            }
        })
        .collect()
}
