//! What each crossing gets, and why.

use std::fmt::Display;

use itertools::Itertools;

use super::{costs, marks};
use crate::check::Outcome;
use crate::model::crossing::Crossing;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::plan::{Deck, Fate, Plan, Served, Unserved};
use crate::quantity::feet_inches;
use crate::report::deck_drawing::{DrawnCar, DrawnDeck, draw, joint_words};
use crate::report::facts::board::posting;
use crate::report::facts::other_bridge;
use crate::report::facts::reasons::{self, Said};
use crate::report::facts::structure::{left_words, piers, seasons};
use crate::report::facts::{PlanReport, confirm, count, passing, purchases};
use crate::report::text::{Align, Page, Table, clean};

/// How many of the smallest margins are told.
const MARGINS: usize = 3;

pub fn write(page: &mut Page, report: &PlanReport) {
    page.heading("2. What each crossing gets");
    let all: Vec<CrossingIx> = report.inputs.crossing_indices().collect();
    write_some(page, report, &all);
}

/// The same of some crossings, without a title.
pub fn write_some(page: &mut Page, report: &PlanReport, which: &[CrossingIx]) {
    let plans = report.plan.crossings.iter();
    let wanted = plans.filter(|planned| which.contains(&planned.crossing));
    for (number, planned) in wanted.enumerate() {
        if number > 0 {
            page.blank();
        }
        let crossing = report.inputs.crossing(planned.crossing);
        let amount = planned.served().map(|served| served.total().to_string());
        page.ends(
            &format!("{}  {}", crossing.id, crossing.road),
            &amount.unwrap_or_else(|| marks::NOT_SERVED.to_owned()),
        );
        page.para(2, &demand(report, crossing));
        if let Some(against) = other_bridge::against(report.inputs, planned) {
            page.hanging(2, "Another bridge: ", &format!("{}.", against.words()));
        }
        match &planned.fate {
            Fate::Served(served) => write_served(page, report, crossing, served),
            Fate::Unserved(unserved) => {
                write_unserved(page, report, planned.crossing, unserved);
            }
        }
    }
}

/// What the crossing asks for, in one sentence.
fn demand(report: &PlanReport, crossing: &Crossing) -> String {
    let mut parts = vec![
        format!("clear width {}", feet_inches(crossing.clear_width)),
        crossing.vehicles.iter().join(", "),
        format!("deck: {}", crossing.deck_system),
        format!("at most {} abreast", count(usize::from(crossing.most_abreast), "car")),
        format!("priority {}", crossing.priority),
    ];
    if let Some(date) = crossing.needed_by {
        parts.push(format!("needed by {date}"));
    }
    parts.push(seasons(crossing));
    if let Some(fund) = &crossing.fund {
        let grant = report.inputs.rules.grant.iter().find(|grant| grant.fund == *fund);
        parts.push(match grant {
            None => format!("paid by fund {fund}"),
            Some(grant) => format!(
                "paid by fund {fund}, at most {}, and fund {} for the rest",
                grant.share(),
                grant.match_fund
            ),
        });
    }
    if let Some(posting) = crossing.least_posting {
        parts.push(format!("a posting of {posting} is accepted"));
    }
    format!("Wants: {}.", parts.join("; "))
}

fn write_served(page: &mut Page, report: &PlanReport, crossing: &Crossing, served: &Served) {
    let PlanReport { inputs, plan, .. } = *report;
    let layout = &crossing.layouts[served.layout];
    let one = if layout.piers() == 0 { "one span of " } else { "" };
    page.para(2, &format!("Gets: {one}{}.", layout.describe()));
    if let Some(words) = posting(served) {
        page.hanging(2, "WEIGHT SIGN: ", &format!("{words}."));
    }
    let several = served.decks.len() > 1;
    for (number, deck) in served.decks.iter().enumerate() {
        page.blank();
        let span = feet_inches(deck.span);
        let title = if several {
            format!("Span {}, {span}, across the road from left to right:", number + 1)
        } else {
            format!("Span {span}, across the road from left to right:")
        };
        page.para(2, &title);
        write_deck(page, inputs, deck);
    }
    for words in piers(inputs, served) {
        page.para(2, &format!("{words}."));
    }
    page.blank();
    costs::write(page, inputs, served);
    page.blank();
    if let Some(lowest) = reasons::lowest_rating(inputs, served) {
        let check = &lowest.check;
        page.hanging(
            2,
            "Lowest rating factor: ",
            &format!(
                "{}, {} {} ({})",
                check.measured,
                check.code.id(),
                check.title(),
                lowest.subjects.join(", ")
            ),
        );
    }
    write_said(page, "Least margins:", &reasons::least_margins(inputs, served, MARGINS));
    write_said(page, "Cautions:", &reasons::with_outcome(inputs, served, Outcome::Caution));
    write_confirmations(page, inputs, plan, served);
    page.hanging(2, "Cheapest alternative: ", &alternative(inputs, crossing, served));
}

fn write_deck(page: &mut Page, inputs: &Inputs, deck: &Deck) {
    // A placed car without width or camber cannot pass the checks; should one come here all the
    // same, it is drawn without width rather than with one made up.
    let cars: Vec<DrawnCar> = deck
        .cars
        .iter()
        .map(|placed| {
            let car = inputs.car(placed.car);
            DrawnCar {
                id: clean(&car.id),
                width: car.width.unwrap_or_default(),
                camber: car.camber.unwrap_or_default(),
            }
        })
        .collect();
    let gap = deck.joint.as_ref().map(|joint| joint.gap).unwrap_or_default();
    let words = deck.joint.as_ref().map(|joint| joint_words(&joint.name, gap, &cars));
    let drawn = DrawnDeck { cars, gap, total: deck.total_width, required: deck.required_width };
    for line in draw(&drawn, page.width().saturating_sub(4)) {
        page.push(&format!("    {line}"));
    }
    page.para(4, &words.unwrap_or_else(|| "one car, no joint".to_owned()));
    write_cars(page, inputs, deck);
    for sentence in purchases::trailers(inputs, deck) {
        page.para(4, &sentence);
    }
}

/// The cars of a deck with what the crew and the hauler want to know of each.
fn write_cars(page: &mut Page, inputs: &Inputs, deck: &Deck) {
    let mut table =
        Table::new(&[Align::Left, Align::Left, Align::Right, Align::Right, Align::Right])
            .header(&["Car", "Section", "Length", "Truck centers", "Weight"]);
    for placed in &deck.cars {
        let car = inputs.car(placed.car);
        table.row([
            car.name(),
            car.section.clone().unwrap_or_else(|| "unknown".to_owned()),
            or_unknown(car.length),
            or_unknown(car.truck_centers),
            or_unknown(car.weight),
        ]);
    }
    page.table(4, &table);
    let left = deck.cars.iter().map(|placed| {
        let (id, left) = (&inputs.car(placed.car).id, left_words(inputs, placed.car, deck.site));
        format!("{id} {left}")
    });
    page.para(4, &format!("Camber left under the deck: {}.", left.unique().join(", ")));
}

fn or_unknown(value: Option<impl Display>) -> String {
    value.map_or_else(|| "unknown".to_owned(), |value| value.to_string())
}

fn write_said(page: &mut Page, title: &str, said: &[Said]) {
    if said.is_empty() {
        return;
    }
    page.para(2, title);
    for said in said {
        page.hanging(4, "- ", &format!("{} ({})", said.check.sentence(), said.subjects.join(", ")));
    }
}

/// What has to be confirmed before money is paid, car by car.
fn write_confirmations(page: &mut Page, inputs: &Inputs, plan: &Plan, served: &Served) {
    if served.is_firm() {
        page.para(2, "Firm: every fact that decides is enough to pay on.");
        return;
    }
    page.para(2, "Confirm before paying:");
    let (all, cars) = confirm::shared(confirm::of_bridge(inputs, plan, served));
    for (known, facts) in all {
        page.hanging(4, "- ", &format!("each car, {known}: {}.", facts.join("; ")));
    }
    for of_car in cars {
        let id = &inputs.car(of_car.car).id;
        for (known, facts) in &of_car.facts {
            page.hanging(4, "- ", &format!("{id}, {known}: {}.", facts.join("; ")));
        }
        page.hanging(6, "if refused: ", &of_car.if_refused);
    }
}

/// What is said of a sum that another way may undercut.
const FOUND: &str = ", the least found before the time was up";

/// The cheapest other way, by what changes where the layout stays.
fn alternative(inputs: &Inputs, crossing: &Crossing, served: &Served) -> String {
    let Some(other) = &served.alternative else {
        return if served.alternative_proven {
            "none with the rest of the plan as it is.".to_owned()
        } else {
            "none was found before the time was up.".to_owned()
        };
    };
    let names = |cars: &[CarIx]| cars.iter().map(|&car| inputs.car(car).name()).join(" + ");
    let now: Vec<CarIx> =
        served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car).collect();
    let then: Vec<CarIx> = other.decks.concat();
    let (out, new) = (without(&now, &then), without(&then, &now));
    let change = if other.layout == served.layout && !out.is_empty() && !new.is_empty() {
        format!("{} in place of {}", names(&new), names(&out))
    } else {
        let decks = other.decks.iter().map(|cars| names(cars)).join("; then ");
        format!("{}, with {decks}", crossing.layouts[other.layout].describe())
    };
    let found = if served.alternative_proven { "" } else { FOUND };
    format!("{change}: {} more{found}.", other.extra)
}

/// The first list without the second, each car taken out as often as it stands there.
fn without(all: &[CarIx], taken: &[CarIx]) -> Vec<CarIx> {
    let mut rest = all.to_vec();
    for car in taken {
        if let Some(place) = rest.iter().position(|other| other == car) {
            rest.remove(place);
        }
    }
    rest
}

fn write_unserved(page: &mut Page, report: &PlanReport, ix: CrossingIx, unserved: &Unserved) {
    let inputs = report.inputs;
    page.para(2, "Why not:");
    for check in &unserved.reasons {
        page.hanging(4, "- ", &format!("{}.", check.sentence()));
    }
    let codes = unserved.reasons.iter().map(|check| check.code).unique().collect_vec();
    for code in &codes {
        page.hanging(2, "What to do: ", code.kind().remedy);
    }
    if let Some(near) = &unserved.nearest {
        let crossing = inputs.crossing(near.site.crossing);
        let span = crossing.layouts[near.site.layout].spans[near.site.span];
        let name = inputs.car(near.car).name();
        page.para(2, &format!("Nearest miss: {name} on {}, barred by:", feet_inches(span)));
        for check in &near.barred_by {
            page.hanging(4, "- ", &check.sentence());
        }
    }
    for (label, names) in passing::labeled(report, ix, unserved) {
        page.hanging(2, &label, &names);
    }
}
