//! The form for the inspector at the yard: one page for each car that goes to a crossing, and for each
//! that would take the place of one refused.

mod measures;

use askama::Template;

use measures::{Line, measures};

use crate::confirm::{confirmations, least_thicknesses};
use crate::model::car::{Car, MemberGroup};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{Confirmation, Deck, IfRefused, Served, YardPurchase};
use crate::quantity::feet_inches;
use crate::report::drawing;
use crate::report::facts::PlanReport;
use crate::report::facts::substitutes::{Substitute, at_yard, new_cars};
use crate::report::page::{NotWritten, capital, style};
use crate::report::provenance::PageContext;
use crate::report::text::inches_read;
use crate::words::for_page;

#[derive(Template)]
#[template(path = "sheets/inspection.html")]
struct Inspection<'a> {
    context: &'a PageContext,
    style: String,
    dealer: &'a str,
    yard: &'a str,
    forms: Vec<Form>,
}

/// The form of one car.
struct Form {
    car: String,
    /// `2 of 3` for one of identical cars.
    copy: String,
    lot: String,
    crossing: String,
    measures: Vec<Line>,
    members: Vec<(String, String)>,
    partners: String,
    /// Whether it takes the place of a car that is refused.
    substitute: bool,
    /// What to do where the car is not as needed.
    fails: String,
    /// Thicknesses below which the car is not taken; empty where no plates are listed.
    stops: Vec<String>,
    /// An outline of the car to mark damage on.
    sketch: String,
}

/// The forms of one yard.
pub fn page(
    report: &PlanReport<'_>,
    purchase: &YardPurchase,
    context: &PageContext,
) -> Result<String, NotWritten> {
    let inputs = report.inputs;
    let yard = inputs.yard(purchase.yard);
    let mut forms = Vec::new();
    let mut seen: Vec<CarIx> = Vec::new();
    let served = report.plan.crossings.iter().filter_map(|crossing| crossing.served());
    for (served, deck) in served.flat_map(|served| served.decks.iter().map(move |d| (served, d))) {
        for (place, placed) in deck.cars.iter().enumerate() {
            if inputs.car(placed.car).yard == purchase.yard {
                seen.push(placed.car);
                let copy = seen.iter().filter(|&&car| car == placed.car).count();
                let key = forms.len() + 1;
                let fails = fails(inputs, served, placed.car);
                let mut form = form(inputs, (deck, place, copy), fails, key);
                form.need(&served.confirmations, placed.car);
                forms.push(form);
            }
        }
    }
    for substitute in at_yard(inputs, report.plan, purchase.yard) {
        let Some(car) = substitute.car() else { continue };
        let deck = &substitute.deck;
        let key = forms.len() + 1;
        let mut form = form(inputs, (deck, substitute.place, 1), why(inputs, &substitute), key);
        form.need(&confirmations(inputs, deck), car);
        form.substitute = true;
        form.copy.clear();
        forms.push(form);
    }
    let inspection = Inspection {
        context,
        style: style(context, "inspection before paying"),
        dealer: &yard.dealer,
        yard: &yard.name,
        forms,
    };
    Ok(for_page(inspection.render()?))
}

fn form(
    inputs: &Inputs,
    (deck, place, copy): (&Deck, usize, usize),
    fails: String,
    key: usize,
) -> Form {
    let car = deck.cars.get(place).map(|placed| inputs.car(placed.car));
    let Some(car) = car.map(Car::as_told) else { return Form::empty() };
    let car = &car;
    let crossing = inputs.crossing(deck.site.crossing);
    let copies = if car.quantity > 1 {
        format!("car {copy} of {} alike", car.quantity)
    } else {
        String::new()
    };
    Form {
        car: car.id.clone(),
        copy: copies,
        lot: car.lot.map(|lot| inputs.lot(lot).name.clone()).unwrap_or_default(),
        crossing: format!(
            "{}, {}, span of {}, place {} across",
            crossing.id,
            crossing.road,
            feet_inches(deck.span),
            place + 1
        ),
        measures: measures(inputs, deck, place, car),
        members: MemberGroup::ALL
            .iter()
            .map(|&group| {
                let listed = car.members.of(group);
                let listed = listed.map_or_else(|| "unknown".to_owned(), |state| state.words());
                (capital(group.word()), listed)
            })
            .collect(),
        partners: partners(inputs, deck, place, car),
        substitute: false,
        fails,
        stops: stops(inputs, deck, place),
        sketch: drawing::inspection::draw(car, &format!("sketch-{key}")),
    }
}

impl Form {
    /// Says of every measure what the plan needs of it.
    fn need(&mut self, of_deck: &[Confirmation], car: CarIx) {
        for line in &mut self.measures {
            line.need(of_deck, car);
        }
    }

    /// Stands in for a place that no deck has.
    fn empty() -> Self {
        Self {
            car: String::new(),
            copy: String::new(),
            lot: String::new(),
            crossing: String::new(),
            measures: Vec::new(),
            members: Vec::new(),
            partners: String::new(),
            substitute: false,
            fails: String::new(),
            stops: Vec::new(),
            sketch: String::new(),
        }
    }
}

/// The thickness of each plate below which the car is not taken, the others as listed.
fn stops(inputs: &Inputs, deck: &Deck, place: usize) -> Vec<String> {
    let least = least_thicknesses(inputs, deck, place).into_iter();
    least
        .map(|of| {
            let plate = of.plate.word();
            // Up to the thousandth above, never below the limit.
            let [least, listed] = [of.least, of.listed].map(|of| (of.0 * 1e3 - 1e-6).ceil() / 1e3);
            format!("{plate} below {least} in (listed {listed} in)")
        })
        .collect()
}

/// What to do where the car is not as needed. The form lies open at the dealer's yard: it names no car
/// of another dealer, and no price of one.
fn fails(inputs: &Inputs, served: &Served, car: CarIx) -> String {
    let own = &inputs.car(car).dealer;
    let then = match served.if_refused(car) {
        Some(IfRefused::Instead(other)) => {
            let new = new_cars(served, other);
            let here = new.iter().all(|&car| inputs.car(car).dealer == *own);
            let names: Vec<&str> = new.iter().map(|&car| inputs.car(car).id.as_str()).collect();
            match (here, names.is_empty()) {
                (true, true) => format!("substitute an identical car, +{}", other.extra),
                (true, false) => format!("substitute {}, +{}", names.join(" + "), other.extra),
                (false, _) => "the substitute stands at another dealer's".to_owned(),
            }
        }
        Some(IfRefused::Without(_)) => "there is no substitute".to_owned(),
        Some(IfRefused::NotWorkedOut) | None => "the substitute was not worked out".to_owned(),
    };
    format!("call the engineer before you refuse the car; {then}.")
}

/// Why a substitute is looked at.
fn why(inputs: &Inputs, substitute: &Substitute) -> String {
    let own = substitute.car().map(|car| &inputs.car(car).dealer);
    let names: Vec<&str> = (substitute.instead_of.iter())
        .map(|&refused| {
            let refused = inputs.car(refused);
            let here = Some(&refused.dealer) == own;
            if here { refused.id.as_str() } else { "a car of another dealer" }
        })
        .collect();
    let names: Vec<&str> = itertools::Itertools::unique(names.into_iter()).collect();
    format!("not needed unless {} is refused: tell the engineer what you find.", names.join(" or "))
}

/// The neighbors, whose measures this car must match.
fn partners(inputs: &Inputs, deck: &Deck, place: usize, own: &Car) -> String {
    let others = deck.cars.iter().enumerate().filter(|(other, _)| *other != place);
    let names: Vec<String> = others
        .map(|(_, placed)| {
            let car = inputs.car(placed.car);
            let camber = car.camber.map(inches_read).unwrap_or_else(|| "unknown".to_owned());
            // The form lies open at the dealer's yard: it names no car of another dealer.
            let name = if car.dealer == own.dealer { &car.id } else { "a car of another dealer" };
            format!("{name} (camber {camber})")
        })
        .collect();
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}
