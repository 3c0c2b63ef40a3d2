//! What each crossing gets, and why.

use itertools::Itertools;

use super::buy::full_name;
use crate::check::Outcome;
use crate::model::crossing::Crossing;
use crate::model::inputs::Inputs;
use crate::model::plan::{Alternative, CostItem, CostLine, Deck, Fate, Served, Unserved};
use crate::quantity::feet_inches;
use crate::report::deck_drawing::{DrawnCar, DrawnDeck, draw, joint_words};
use crate::report::facts::reasons::{self, Said};
use crate::report::facts::{PlanReport, count};
use crate::report::text::{Align, Page, Table, clean};

/// How many of the smallest margins are told.
const MARGINS: usize = 3;

pub fn write(page: &mut Page, report: &PlanReport) {
    page.heading("2. What each crossing gets");
    for (number, planned) in report.plan.crossings.iter().enumerate() {
        if number > 0 {
            page.blank();
        }
        let crossing = report.inputs.crossing(planned.crossing);
        let amount = planned.served().map(|served| served.total().to_string());
        page.ends(
            &format!("{}  {}", crossing.id, crossing.road),
            &amount.unwrap_or_else(|| "NOT SERVED".to_owned()),
        );
        page.para(2, &demand(crossing));
        match &planned.fate {
            Fate::Served(served) => write_served(page, report.inputs, crossing, served),
            Fate::Unserved(unserved) => write_unserved(page, report.inputs, unserved),
        }
    }
}

/// What the crossing asks for, in one sentence.
fn demand(crossing: &Crossing) -> String {
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
    if let Some(posting) = crossing.least_posting {
        parts.push(format!("a posting of {posting} is accepted"));
    }
    format!("Wants: {}.", parts.join("; "))
}

fn write_served(page: &mut Page, inputs: &Inputs, crossing: &Crossing, served: &Served) {
    page.para(2, &format!("Gets: {}.", crossing.layouts[served.layout].describe()));
    let signs = reasons::signs(served);
    if !signs.is_empty() {
        let signs =
            signs.iter().map(|sign| format!("{} {:.0}", sign.vehicle, sign.weight)).join(", ");
        page.hanging(2, "MUST BE POSTED: ", &format!("{signs}."));
    }
    let several = served.decks.len() > 1;
    for (number, deck) in served.decks.iter().enumerate() {
        page.blank();
        let span = feet_inches(deck.span);
        let title = if several {
            format!("Span {}, {span}, left to right looking along the road:", number + 1)
        } else {
            format!("Deck, {span}, left to right looking along the road:")
        };
        page.para(2, &title);
        write_deck(page, inputs, deck);
    }
    page.blank();
    write_costs(page, &served.lines);
    page.blank();
    write_said(page, "Least margins:", &reasons::least_margins(inputs, served, MARGINS));
    write_said(page, "Cautions:", &reasons::with_outcome(inputs, served, Outcome::Caution));
    page.hanging(
        2,
        "Cheapest alternative: ",
        &alternative(inputs, crossing, served.alternative.as_ref()),
    );
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
    let names = deck.cars.iter().map(|placed| full_name(inputs, placed.car)).join("; ");
    page.hanging(4, "Cars: ", &names);
}

/// The cost lines, those of one item and one reckoning taken together.
fn write_costs(page: &mut Page, lines: &[CostLine]) {
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Right]);
    for item in CostItem::ALL {
        let of_item: Vec<&CostLine> = lines.iter().filter(|line| line.item == *item).collect();
        let mut groups: Vec<(&CostLine, usize, Vec<&str>)> = Vec::new();
        for line in of_item {
            match groups
                .iter_mut()
                .find(|(first, ..)| first.basis == line.basis && first.amount == line.amount)
            {
                Some((_, times, subjects)) => {
                    *times += 1;
                    if !subjects.contains(&line.subject.as_str()) {
                        subjects.push(&line.subject);
                    }
                }
                None => groups.push((line, 1, vec![&line.subject])),
            }
        }
        for (number, (line, times, subjects)) in groups.into_iter().enumerate() {
            let name = if number == 0 { item.word().to_owned() } else { String::new() };
            let each =
                if times > 1 { format!("{times} times {}, ", line.amount) } else { String::new() };
            let basis = format!("{}: {each}{}", subjects.join(", "), line.basis);
            table.row([name, basis, (line.amount * times as i64).to_string()]);
        }
    }
    let total: crate::quantity::Cents = lines.iter().map(|line| line.amount).sum();
    table.row(["TOTAL".to_owned(), String::new(), total.to_string()]);
    page.table(2, &table);
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

fn alternative(inputs: &Inputs, crossing: &Crossing, other: Option<&Alternative>) -> String {
    let Some(other) = other else {
        return "none with the rest of the plan as it is.".to_owned();
    };
    let decks = other
        .decks
        .iter()
        .map(|cars| cars.iter().map(|&car| full_name(inputs, car)).join(" + "))
        .join("; then ");
    format!("{}, with {decks}: {} more.", crossing.layouts[other.layout].describe(), other.extra)
}

fn write_unserved(page: &mut Page, inputs: &Inputs, unserved: &Unserved) {
    page.para(2, "Why not:");
    for check in &unserved.reasons {
        page.hanging(4, "- ", &format!("{}.", check.sentence()));
        page.hanging(6, "What to do: ", check.code.kind().remedy);
    }
    let Some(near) = &unserved.nearest else {
        page.para(2, "Nearest miss: no car comes near.");
        return;
    };
    let crossing = inputs.crossing(near.site.crossing);
    let span = crossing.layouts[near.site.layout].spans[near.site.span];
    page.para(
        2,
        &format!(
            "Nearest miss: {} on {}, barred by:",
            full_name(inputs, near.car),
            feet_inches(span)
        ),
    );
    for check in &near.barred_by {
        page.hanging(4, "- ", &check.sentence());
    }
}
