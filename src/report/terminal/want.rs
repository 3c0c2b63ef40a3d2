//! Near misses and the wanted list, crossing by crossing.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::after::relax::{NearMisses, Relaxation};
use crate::after::want::{Needed, Wanted, Widths};
use crate::check::Code;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::quantity::Cents;
use crate::report::facts::want::{NEVER_OFFERED, cars, change, partner};
use crate::report::text::{Align, Page, Table};

/// Most cars to match that are named for one span.
const PARTNERS: usize = 8;

/// What would serve the crossings.
#[must_use]
pub fn want(inputs: &Inputs, near: &[NearMisses], wanted: &[Wanted], width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "NEAR MISSES AND WANTED CARS");
    if near.is_empty() {
        page.para(0, "Every crossing is served; name one with --crossing to ask what it lacks.");
    }
    for misses in near {
        crossing(&mut page, inputs, misses.crossing);
        relaxations(&mut page, inputs, misses);
        for wanted in wanted.iter().filter(|wanted| wanted.crossing == misses.crossing) {
            page.blank();
            car_wanted(&mut page, inputs, wanted);
        }
    }
    page.blank();
    page.para(0, NEVER_OFFERED);
    page.finish()
}

fn crossing(page: &mut Page, inputs: &Inputs, crossing: CrossingIx) {
    let at = inputs.crossing(crossing);
    page.heading(&format!("{}  {}", at.id, at.road));
}

fn relaxations(page: &mut Page, inputs: &Inputs, misses: &NearMisses) {
    let tried = misses.tried.iter().map(|limit| limit.words()).join(", ");
    if misses.stopped {
        let tried = if tried.is_empty() { "none" } else { &tried };
        page.para(
            0,
            &format!(
                "Not every limit could be tried to its end in time; those that were: {tried}."
            ),
        );
    } else if misses.list.is_empty() {
        page.para(0, &format!("No single limit would serve it. Tried to their ends: {tried}."));
    }
    if misses.list.is_empty() {
        return;
    }
    page.para(0, "One limit relaxed, all others as they are:");
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Right, Align::Left, Align::Left])
        .header(&["Limit", "Change", "Plan's net cost", "Who decides", "Then"]);
    for relaxation in &misses.list {
        table.row([
            format!("{} {}", relaxation.limit.code().id(), relaxation.limit.words()),
            change(relaxation),
            extra(relaxation),
            relaxation.limit.decider().word().to_owned(),
            then(inputs, relaxation),
        ]);
    }
    page.table(2, &table);
}

fn extra(relaxation: &Relaxation) -> String {
    let sign = if relaxation.extra >= Cents::ZERO { "+" } else { "" };
    let proven = if relaxation.proven { "" } else { ", NOT PROVEN" };
    let caveat = relaxation.caveat.map(|text| format!("; {text}")).unwrap_or_default();
    format!("{sign}{}{proven}{caveat}", relaxation.extra)
}

fn then(inputs: &Inputs, relaxation: &Relaxation) -> String {
    format!("{}: {}", relaxation.layout, cars(inputs, &relaxation.decks))
}

fn car_wanted(page: &mut Page, inputs: &Inputs, wanted: &Wanted) {
    let times =
        if wanted.spans > 1 { format!(", {} spans alike", wanted.spans) } else { String::new() };
    page.para(0, &format!("Wanted for {} ({}{times}):", wanted.span, wanted.layout));
    if let Some(why) = &wanted.impossible {
        page.para(2, &format!("no such car can be asked for: {why}."));
        return;
    }
    let mut line = |label: &str, text: String, code: Code| {
        page.hanging(2, &format!("{label:<18}"), &format!("{text} ({})", code.id()));
    };
    line("truck centers", format!("{} at least", wanted.centers_least), Code::Support);
    if let Some(most) = wanted.length_most {
        line("length", format!("{most} at most"), Code::HaulLength);
    }
    if let Some(most) = wanted.weight_most {
        line("weight", format!("{most} at most, by route and crane"), Code::HaulWeight);
    }
    for (number, widths) in wanted.widths.iter().enumerate() {
        let label = if number == 0 { "width of each" } else { "or" };
        line(label, width_of_each(widths), Code::WidthPossible);
    }
    let deep = format!("{} deep at least", wanted.exterior_depth_least);
    line("exterior girders", deep, Code::JointDepth);
    for needed in &wanted.modulus {
        let code = needed.decided_by.as_ref().map_or(Code::Rateable, |check| check.code);
        line("section modulus", modulus(needed), code);
    }
    line(
        "condition",
        "main and exterior girders and bolsters sound".to_owned(),
        Code::PrimaryMembers,
    );
    if let Some(day) = wanted.leaves_by {
        // The yard is not known yet, so its own closed days cannot be in the date.
        let leaves = format!("{day}, earlier where the yard has closed days");
        line("ready to leave by", leaves, Code::NeedDate);
    }
    matching(page, inputs, wanted);
}

fn width_of_each(widths: &Widths) -> String {
    let joint = widths.joint.iter().map(|joint| format!(" with {joint} joints"));
    let deep =
        widths.depth_least.iter().map(|depth| format!(", exterior girders {depth} deep at least"));
    let (joint, deep): (String, String) = (joint.collect(), deep.collect());
    format!("{} abreast{joint}: {} to {}{deep}", widths.cars, widths.least, widths.most)
}

fn modulus(needed: &Needed) -> String {
    let assumed = &needed.assumed;
    let of = format!(
        "with steel of {}, for a car of {} between truck centers, {} long, {} wide, {}",
        needed.steel, assumed.centers, assumed.length, assumed.width, assumed.weight
    );
    match needed.modulus {
        None => format!("no girder of the trade is enough, {of}"),
        Some(modulus) => {
            let by = needed.decided_by.as_ref().map(|check| format!("; {}", check.sentence()));
            format!("{modulus} at least {of}{}", by.unwrap_or_default())
        }
    }
}

fn matching(page: &mut Page, inputs: &Inputs, wanted: &Wanted) {
    if wanted.partners.is_empty() {
        page.hanging(
            2,
            &format!("{:<18}", "to match"),
            "no car passes here yet: a set that matches in itself",
        );
        return;
    }
    for (number, other) in wanted.partners.iter().take(PARTNERS).enumerate() {
        let label = if number == 0 { "to match" } else { "or" };
        page.hanging(2, &format!("{label:<18}"), &partner(inputs, other));
    }
    if wanted.partners.len() > PARTNERS {
        let rest: Vec<CarIx> = wanted.partners[PARTNERS..].iter().map(|other| other.car).collect();
        let names = rest.iter().map(|car| inputs.car(*car).name()).join(", ");
        page.hanging(2, &format!("{:<18}", "or the like of"), &names);
    }
}
