//! The measures to take of a car: what the list says, and what the plan needs.

use crate::model::car::{Car, GirderPlates};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory;
use crate::model::plan::{Confirmation, Deck};
use crate::price;
use crate::quantity::{CubicInches, Feet, Inches, feet_inches};
use crate::report::facts::confirm::needed;
use crate::report::page::capital;
use crate::report::sheets::request::{plates, pounds};
use crate::report::text::inches_read;

/// A measure to take.
pub(super) struct Line {
    pub what: String,
    /// The column that it fills; of several the first.
    column: Option<Inventory>,
    pub listed: String,
    /// What the plan needs of it.
    pub needed: String,
}

impl Line {
    /// Says of strength what the plan needs: a number to compare with.
    pub fn need(&mut self, of_deck: &[Confirmation], car: CarIx) {
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

/// What to measure, what the list says, and what the plan needs.
pub(super) fn measures(inputs: &Inputs, deck: &Deck, place: usize, car: &Car) -> Vec<Line> {
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
