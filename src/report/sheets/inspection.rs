//! The form for the inspector at the yard: one page for each car that goes to a crossing, and for each
//! that would take the place of one refused.

use askama::Template;

use crate::confirm::{confirmations, least_thicknesses};
use crate::model::car::{Car, GirderPlates, MemberGroup};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory;
use crate::model::plan::{Confirmation, Deck, IfRefused, Served, YardPurchase};
use crate::price;
use crate::quantity::{CubicInches, Feet, Inches, feet_inches};
use crate::report::drawing;
use crate::report::facts::PlanReport;
use crate::report::facts::confirm::needed;
use crate::report::facts::substitutes::{Substitute, at_yard, new_cars};
use crate::report::page::{NotWritten, capital, style};
use crate::report::provenance::PageContext;
use crate::report::text::inches_read;
use crate::words::for_page;

use super::request::{plates, pounds};

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

/// A measure to take.
struct Line {
    what: String,
    /// The column that it fills; of several the first.
    column: Option<Inventory>,
    listed: String,
    /// What the plan needs of it.
    needed: String,
}

impl Line {
    /// Says of strength what the plan needs: a number to compare with.
    fn need(&mut self, of_deck: &[Confirmation], car: CarIx) {
        let of = |column| needed(of_deck, car, column);
        let of = match self.column {
            Some(Inventory::Webs) => match (of(Inventory::Modulus), of(Inventory::Webs)) {
                (Some(modulus), Some(webs)) => Some(format!("{modulus}, net; {webs}")),
                (None, webs) => webs.map(|modulus| format!("{modulus}, net")),
                (modulus, None) => modulus.map(|modulus| format!("{modulus}, net")),
            },
            Some(
                column @ (Inventory::StringerModulus
                | Inventory::CrossMemberModulus
                | Inventory::Unbraced),
            ) => of(column),
            _ => None,
        };
        match of {
            Some(least)
                if self.column == Some(Inventory::Webs) && least.starts_with("at least") =>
            {
                self.needed = format!("section modulus {least}");
            }
            Some(value) => self.needed = value,
            None => {}
        }
    }
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

/// What to measure, what the list says, and what the plan needs.
fn measures(inputs: &Inputs, deck: &Deck, place: usize, car: &Car) -> Vec<Line> {
    let rules = &inputs.rules;
    let unknown = || "unknown".to_owned();
    let others = |value: fn(&Car) -> Option<f64>| -> Option<(f64, f64)> {
        let others = deck.cars.iter().enumerate().filter(|(other, _)| *other != place);
        let values = others.filter_map(|(_, placed)| value(inputs.car(placed.car)));
        values.fold(None, |ends: Option<(f64, f64)>, v| {
            Some(ends.map_or((v, v), |(low, high)| (low.min(v), high.max(v))))
        })
    };
    let (tolerance, step) = (rules.group.camber_tolerance_in, rules.group.camber_step_in);
    let beside = |at: Option<usize>| Some(inputs.car(deck.cars.get(at?)?.car).camber?.0);
    let neighbors = [beside(place.checked_sub(1)), beside(Some(place + 1))];
    let camber = others(|car| car.camber.map(|camber| camber.0)).map(|(low, high)| {
        // Within the spread of all cars, and within a step of each neighbor.
        let (mut least, mut most) = (Inches(high) - tolerance, Inches(low) + tolerance);
        for beside in neighbors.into_iter().flatten() {
            (least, most) = (least.max(Inches(beside) - step), most.min(Inches(beside) + step));
        }
        format!("{} to {}", inches_read(least), inches_read(most))
    });
    let joint = deck.joint.as_ref().and_then(|joint| rules.joint_type(&joint.name));
    let crossing = inputs.crossing(deck.site.crossing);
    // A car that comes with others is held to what each car of its load may measure.
    let load = deck.shared_load(place);
    let of_load = load.and_then(|load| price::each_at_most(inputs, deck.site, load.len()));
    // A car whose ends are cut before it is hauled may be longer.
    let length_most = of_load.map(|each| each.length).or(crossing.haul_length_limit);
    let cut = price::is_cut_at_yard(inputs, deck.cars[place].car, deck.site);
    let length_most = length_most.filter(|_| !cut);
    let weight_most = of_load.map(|each| each.weight).or(crossing.haul_weight_limit);
    let plates_of = |depth: fn(&GirderPlates) -> Option<Inches>| {
        car.girder.plates.as_ref().and_then(depth).map(inches_read)
    };
    let member = |modulus: Option<CubicInches>, spacing: Option<Feet>| {
        let modulus = modulus.map(|modulus| format!("modulus {modulus}"));
        let spacing = spacing.map(|spacing| format!("spacing {}", feet_inches(spacing)));
        (modulus.is_some() || spacing.is_some())
            .then(|| modulus.into_iter().chain(spacing).collect::<Vec<_>>().join(", "))
    };
    let secondary = car.secondary;
    let members = (
        member(secondary.stringer_modulus, secondary.stringer_spacing),
        member(secondary.cross_member_modulus, secondary.cross_member_spacing),
    );
    let lines =
        |what: &str, first: Option<Inventory>, listed: Option<String>, needed: String| Line {
            what: what.to_owned(),
            column: first,
            listed: listed.unwrap_or_else(unknown),
            needed,
        };
    // What a column is called stands in the table of columns; here only how to measure it.
    let line = |column: Inventory, how: &str, listed: Option<String>, needed: String| {
        let what = format!("{}{how}", capital(column.fact().label));
        lines(&what, Some(column), listed, needed)
    };
    vec![
        line(
            Inventory::Section,
            " or series, as stencilled",
            car.section.clone(),
            "as its neighbors".to_owned(),
        ),
        line(
            Inventory::TruckCenters,
            "",
            car.truck_centers.map(feet_inches),
            format!("at least {}", feet_inches(deck.span)),
        ),
        line(
            Inventory::Length,
            "",
            car.length.map(feet_inches),
            length_most.map(|limit| format!("at most {}", feet_inches(limit))).unwrap_or_default(),
        ),
        line(Inventory::Width, "", car.width.map(feet_inches), width_needed(deck)),
        line(
            Inventory::WidthOverAll,
            ", over the stake pockets",
            car.width_over_all.map(feet_inches),
            crossing
                .haul_width_limit
                .map(|limit| format!("at most {}", feet_inches(limit)))
                .unwrap_or_default(),
        ),
        line(
            Inventory::Camber,
            ": line between bolsters, rise at mid-length",
            car.camber.map(inches_read),
            camber.unwrap_or_default(),
        ),
        line(
            Inventory::ExteriorDepth,
            ", of the shallower",
            car.exterior_depth.map(|depth| depth.to_string()),
            joint
                .map(|joint| format!("at least {}", joint.exterior_depth_min_in))
                .unwrap_or_default(),
        ),
        lines(
            "Main girder's plates at mid-length, with calipers",
            Some(Inventory::Webs),
            car.girder.plates.as_ref().map(plates),
            "not thinner".to_owned(),
        ),
        line(
            Inventory::WebDepthAtTrucks,
            "",
            plates_of(|p| p.web_depth_at_trucks_in),
            String::new(),
        ),
        line(Inventory::CoverLength, ": their ends, from mid-length", None, String::new()),
        line(
            Inventory::Unbraced,
            " of the compression flange, greatest",
            car.girder.unbraced_ft.map(feet_inches),
            String::new(),
        ),
        lines(
            "Stringers: depth, flange, web, spacing, span",
            Some(Inventory::StringerModulus),
            members.0,
            "for the engineer".to_owned(),
        ),
        lines(
            "Cross-members: depth, flange, web, spacing, span",
            Some(Inventory::CrossMemberModulus),
            members.1,
            "for the engineer".to_owned(),
        ),
        line(Inventory::Sweep, ", and twist end to end", None, "for the engineer".to_owned()),
        line(
            Inventory::Weight,
            ", scale or stencil",
            car.weight.map(pounds),
            weight_most.map(|limit| format!("at most {}", pounds(limit))).unwrap_or_default(),
        ),
        lines("Weight with wheel trucks", None, None, String::new()),
        line(Inventory::YearBuilt, "", car.year_built.map(|year| year.to_string()), String::new()),
        line(Inventory::Coating, "", car.coating.map(|coating| coating.to_string()), String::new()),
        line(
            Inventory::Lead,
            " in the paint, tested",
            car.lead.map(|lead| lead.to_string()),
            String::new(),
        ),
        line(
            Inventory::Deck,
            "",
            car.deck.map(|deck| deck.to_string()),
            if rules.deck_system(&crossing.deck_system).is_some_and(|deck| deck.keeps_car_deck) {
                "sound: it stays".to_owned()
            } else {
                String::new()
            },
        ),
    ]
}

/// The width that the deck was made for.
fn width_needed(deck: &Deck) -> String {
    let required = feet_inches(deck.required_width);
    match deck.cars.len() {
        1 => format!("at least {required}"),
        n => format!("the {n} cars and their joints {required} together"),
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
