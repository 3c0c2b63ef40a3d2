//! The sheet of one crossing.

use itertools::Itertools;

use crate::check::{Check, Outcome};
use crate::model::crossing;
use crate::model::inputs::Inputs;
use crate::model::plan::{CostLine, CrossingPlan, Fate, Served};
use crate::quantity::feet_inches;
use crate::report::drawing;
use crate::report::facts::board::{plain_reason, posting};
use crate::report::facts::other_bridge;
use crate::report::facts::purchases::trailers;
use crate::report::facts::reasons::{Said, least_margins, lowest_rating, with_outcome};
use crate::report::facts::structure::{piers, seasons};
use crate::report::facts::{PlanReport, confirm, count, passing};

use super::placed::{Placed, joint, placed};
use super::shopping::capital;
use super::{CheckRow, Drawn};

/// So many checks are shown first.
const TIGHT: usize = 5;

/// The sheet.
#[derive(Default)]
pub struct Crossing {
    pub id: String,
    pub anchor: String,
    pub road: String,
    pub priority: u8,
    pub served: bool,
    /// Number of its sheet among the engineer's.
    pub sheet: usize,
    /// Printed pages of its sheet.
    pub pages: usize,
    /// Whether its tables, and its cautions, begin a page of their own.
    pub tables_apart: bool,
    pub cautions_apart: bool,
    /// Whether its remarks have room for larger print.
    pub roomy: bool,
    /// Its weight posting; empty where it needs none.
    pub posting: String,
    /// The day it is needed, or that there is none.
    pub needed_by: String,
    /// The lowest rating factor in words.
    pub lowest: String,
    pub layout: String,
    pub cars: usize,
    pub cost: String,
    pub alternative_extra: String,
    pub facts: Vec<(&'static str, String)>,
    /// What another bridge would cost; empty: none is stated.
    pub other_bridge: String,
    pub drawings: Vec<Drawn>,
    pub several_spans: bool,
    pub placed: Vec<Placed>,
    pub joints: Vec<String>,
    pub trailers: Vec<String>,
    /// What each pier carries.
    pub piers: Vec<String>,
    pub lines: Vec<Line>,
    pub alternative: String,
    pub tight: Vec<CheckRow>,
    pub cautions: Vec<String>,
    pub unchecked: Vec<String>,
    /// What to confirm before paying, and what follows a refusal; empty: the bridge is firm.
    pub confirm: Vec<String>,
    /// Facts to confirm, or that the bridge is firm.
    pub firm: String,
    pub passed: Vec<CheckRow>,
    pub why: Vec<String>,
    pub nearest_car: String,
    pub nearest: Vec<String>,
    pub what_to_do: String,
    /// Cars that pass every check singly, span by span.
    pub passing: Vec<String>,
}

/// A cost line.
pub struct Line {
    pub item: String,
    pub subject: String,
    pub basis: String,
    pub amount: String,
}

/// The name of the crossing's place in the page.
pub fn anchor(plan: &CrossingPlan) -> String {
    format!("crossing-{}", plan.crossing.0 + 1)
}

pub fn crossing(report: &PlanReport<'_>, plan: &CrossingPlan) -> Crossing {
    let inputs = report.inputs;
    let row = inputs.crossing(plan.crossing);
    let layout = plan.served().map_or(0, |served| served.layout);
    let mut sheet = Crossing {
        id: row.id.clone(),
        anchor: anchor(plan),
        road: row.road.clone(),
        priority: row.priority,
        layout: row.layouts.get(layout).map(|layout| layout.describe()).unwrap_or_default(),
        facts: facts(row),
        needed_by: row.needed_by.map_or_else(|| "no date".to_owned(), |day| day.to_string()),
        ..Crossing::default()
    };
    let against = other_bridge::against(inputs, plan).map(|against| against.words());
    sheet.other_bridge = against.unwrap_or_default();
    match &plan.fate {
        Fate::Served(served) => served_sheet(report, served, plan.crossing.0, sheet),
        Fate::Unserved(unserved) => {
            let mut sheet = Crossing { why: unserved.reasons.iter().map(why).collect(), ..sheet };
            let codes = unserved.reasons.iter().map(|check| check.code).unique();
            sheet.what_to_do = codes.map(|code| code.kind().remedy).join(" ");
            sheet.passing = passing::sentences(report, plan.crossing, unserved);
            if let Some(miss) = &unserved.nearest {
                let span = inputs.span(miss.site);
                sheet.nearest_car = format!(
                    "{}, tried on a span of {}, is barred by:",
                    inputs.car(miss.car).name(),
                    feet_inches(span)
                );
                sheet.nearest = miss.barred_by.iter().map(Check::sentence).collect();
            }
            sheet
        }
    }
}

/// Why a crossing goes without, in words, with the code to look it up by.
fn why(reason: &Check) -> String {
    let note = if reason.note.is_empty() { String::new() } else { format!("; {}", reason.note) };
    format!("{} ({}{note})", plain_reason(reason), reason.code.id())
}

fn facts(row: &crossing::Crossing) -> Vec<(&'static str, String)> {
    let unknown = || "not surveyed".to_owned();
    let layouts: Vec<String> = row.layouts.iter().map(|layout| layout.describe()).collect();
    let mut facts = vec![
        ("Layouts the site allows", layouts.join("; ")),
        ("Clear width", feet_inches(row.clear_width)),
        ("Vehicles", row.vehicles.join(", ")),
        ("Deck", row.deck_system.clone()),
        ("Most cars abreast", row.most_abreast.to_string()),
        (
            "Longest load on the route",
            row.haul_length_limit.map(feet_inches).unwrap_or_else(unknown),
        ),
        (
            "Heaviest car on the route",
            row.haul_weight_limit.map(|w| w.to_string()).unwrap_or_else(unknown),
        ),
        ("Heaviest pick", row.crane_limit.map(|w| w.to_string()).unwrap_or_else(unknown)),
        ("Priority", row.priority.to_string()),
        (
            "Needed by",
            row.needed_by.map(|day| day.to_string()).unwrap_or_else(|| "no date".to_owned()),
        ),
        ("Closed seasons", seasons(row)),
        (
            "Position",
            format!("{:.5}, {:.5}", row.position.latitude_deg, row.position.longitude_deg),
        ),
    ];
    if let Some(least) = row.least_posting {
        facts.push(("Least posting accepted", least.to_string()));
    }
    facts
}

fn served_sheet(
    report: &PlanReport<'_>,
    served: &Served,
    index: usize,
    sheet: Crossing,
) -> Crossing {
    let inputs = report.inputs;
    let several = served.decks.len() > 1;
    let rows = |outcome| remarks(&with_outcome(inputs, served, outcome));
    let tight = least_margins(inputs, served, TIGHT);
    let said = |check: &Check| {
        tight.iter().any(|other| other.check.code == check.code && other.check.says_the_same(check))
    };
    let passed = with_outcome(inputs, served, Outcome::Pass);
    let passed = passed.iter().filter(|other| !said(&other.check)).map(CheckRow::of).collect();
    Crossing {
        served: true,
        cars: served.decks.iter().map(|deck| deck.cars.len()).sum(),
        cost: served.total().to_string(),
        alternative_extra: served.alternative.as_ref().map_or_else(
            || if served.alternative_proven { "none" } else { "not found" }.to_owned(),
            |other| other.extra.to_string(),
        ),
        drawings: drawings(inputs, served, index),
        several_spans: several,
        placed: served.decks.iter().flat_map(|deck| placed(inputs, deck)).collect(),
        joints: served.decks.iter().filter_map(|deck| joint(deck, several)).collect(),
        trailers: served.decks.iter().flat_map(|deck| trailers(inputs, deck)).collect(),
        piers: piers(inputs, served),
        posting: posting(served).unwrap_or_default(),
        lowest: lowest_rating(inputs, served)
            .map(|said| {
                let (check, of) = (&said.check, said.subjects.join(", "));
                format!("{}, {} {} ({of}).", check.measured, check.code.id(), check.title())
            })
            .unwrap_or_default(),
        lines: merged(&served.lines, inputs, served),
        alternative: alternative(inputs, served, index),
        tight: tight.iter().map(CheckRow::of).collect(),
        confirm: confirmations(report, served),
        firm: match served.confirmations.len() {
            0 => "firm".to_owned(),
            facts => count(facts, "fact"),
        },
        cautions: rows(Outcome::Caution),
        unchecked: rows(Outcome::NotChecked),
        passed,
        ..sheet
    }
}

/// Remarks, those of one check on the same cars in one: `R12 Legal trucks: SU5 28.0 tons ...`.
fn remarks(said: &[Said]) -> Vec<String> {
    let key = |said: &&Said| (said.check.code, said.subjects.clone());
    let runs = said.iter().chunk_by(key);
    let runs = runs.into_iter().map(|((code, subjects), run)| {
        let run: Vec<&Check> = run.map(|said| &said.check).collect();
        let tail = run.first().and_then(|check| Some(check.note.rsplit_once("; ")?.1.to_owned()));
        let shared = |tail: &String| run.iter().all(|check| check.note.ends_with(tail.as_str()));
        let tail = tail.filter(|tail| run.len() > 1 && shared(tail)).unwrap_or_default();
        let one = |check: &&Check| {
            let note = check.note.strip_suffix(tail.as_str()).unwrap_or(&check.note);
            let note = note.trim_end_matches("; ");
            let words = [check.part.as_str(), &check.measured.to_string(), note];
            words.iter().filter(|words| !words.is_empty()).join(", ")
        };
        let end = if tail.is_empty() { String::new() } else { format!("; {tail}") };
        let words = run.iter().map(one).filter(|words| !words.is_empty()).join("; ");
        let (id, name) = (code.id(), code.kind().name);
        format!("{id} {name}: {words}{end} ({})", subjects.join(", "))
    });
    runs.collect()
}

/// What to confirm: first what is asked of all cars of the bridge alike, then car by car what is its
/// own; cars of which the same is asked together.
fn confirmations(report: &PlanReport<'_>, served: &Served) -> Vec<String> {
    let inputs = report.inputs;
    let all = confirm::of_bridge(inputs, report.plan, served);
    let mut asked: Vec<(String, Vec<&str>)> = Vec::new();
    let mut refused: Vec<(&str, Vec<&str>)> = Vec::new();
    let mut add = |words: String, id| match asked.iter_mut().find(|(other, _)| *other == words) {
        Some((_, cars)) => cars.push(id),
        None => asked.push((words, vec![id])),
    };
    let ids = || all.iter().map(|of_car| inputs.car(of_car.car).id.as_str());
    let is_shared = |known: &String, fact: &String| {
        all.iter().all(|of_car| {
            of_car.facts.iter().any(|(other, facts)| other == known && facts.contains(fact))
        })
    };
    // What all share is told once, under its grade, as the first car has it.
    for (known, facts) in all.iter().take(1).flat_map(|of_car| &of_car.facts) {
        let shared = facts.iter().filter(|fact| is_shared(known, fact)).join("; ");
        if !shared.is_empty() {
            ids().for_each(|id| add(format!("{known}: {shared}."), id));
        }
    }
    for of_car in &all {
        let id = inputs.car(of_car.car).id.as_str();
        for (known, facts) in &of_car.facts {
            let own = facts.iter().filter(|fact| !is_shared(known, fact)).join("; ");
            if !own.is_empty() {
                add(format!("{known}: {own}."), id);
            }
        }
        match refused.iter_mut().find(|(other, _)| *other == of_car.if_refused) {
            Some((_, cars)) => cars.push(id),
            None => refused.push((&of_car.if_refused, vec![id])),
        }
    }
    let named = |cars: &[&str]| cars.iter().unique().join(", ");
    let asked = asked.iter().map(|(words, cars)| format!("{}, {words}", named(cars)));
    let refused = refused
        .iter()
        .map(|(then, cars)| format!("If {} is refused: {then}", cars.iter().unique().join(" or ")));
    asked.chain(refused).collect()
}

/// The cost lines, those of like cars in one with their number: `2 x $8,300.00`.
fn merged(lines: &[CostLine], inputs: &Inputs, served: &Served) -> Vec<Line> {
    // A car goes by its ID where no other of the bridge has the same.
    let placed = || served.decks.iter().flat_map(|deck| &deck.cars).map(|p| inputs.car(p.car));
    let short = |subject: &str| {
        let car = placed().find(|car| car.name() == subject);
        let car =
            car.filter(|car| placed().filter(|o| o.id == car.id).map(|o| &o.dealer).all_equal());
        car.map_or_else(|| subject.to_owned(), |car| car.id.clone())
    };
    let mut alike: Vec<Vec<&CostLine>> = Vec::new();
    for line in lines {
        let same = |other: &CostLine| {
            (other.item, &other.basis, other.amount) == (line.item, &line.basis, line.amount)
        };
        match alike.iter_mut().find(|lines| lines.first().is_some_and(|first| same(first))) {
            Some(lines) => lines.push(line),
            None => alike.push(vec![line]),
        }
    }
    let one = |lines: Vec<&CostLine>| {
        let first = *lines.first()?;
        let times = lines.len();
        let each = if times > 1 { format!("{times} x {}: ", first.amount) } else { String::new() };
        Some(Line {
            item: capital(first.item.word()),
            subject: lines.iter().map(|line| short(&line.subject)).unique().join(", "),
            basis: format!("{each}{}", first.basis),
            amount: (first.amount * times as i64).to_string(),
        })
    };
    alike.into_iter().filter_map(one).collect()
}

/// The drawings of a bridge; the plan view only where there are several spans. The index makes their
/// names in the page different from those of other crossings.
#[must_use]
pub fn drawings(inputs: &Inputs, served: &Served, index: usize) -> Vec<Drawn> {
    let several = served.decks.len() > 1;
    let mut drawings: Vec<Drawn> = served
        .decks
        .iter()
        .map(|deck| {
            let span = deck.site.span + 1;
            let of = if several { format!(" of span {span}") } else { String::new() };
            Drawn {
                caption: format!("Cross-section{of}, looking along the road"),
                svg: drawing::deck_section::draw(inputs, deck, &format!("x{index}-{span}")),
            }
        })
        .collect();
    drawings.push(Drawn {
        caption: "Elevation".to_owned(),
        svg: drawing::elevation::draw(inputs, served, &format!("e{index}")),
    });
    if several {
        drawings.push(plan_view(inputs, served, index));
    }
    drawings
}

/// The plan view.
pub(crate) fn plan_view(inputs: &Inputs, served: &Served, index: usize) -> Drawn {
    Drawn {
        caption: "Plan view, looking along the road to the right".to_owned(),
        svg: drawing::plan_view::draw(inputs, served, &format!("p{index}")),
    }
}

fn alternative(inputs: &Inputs, served: &Served, index: usize) -> String {
    let Some(other) = &served.alternative else {
        return if served.alternative_proven {
            "No other bridge for this crossing is possible with the cars on offer, all the rest of the plan as it is.".to_owned()
        } else {
            "No other bridge for this crossing was found before the time was up.".to_owned()
        };
    };
    let decks: Vec<String> = other
        .decks
        .iter()
        .map(|cars| {
            let names: Vec<String> = cars.iter().map(|&car| inputs.car(car).name()).collect();
            names.join(", ")
        })
        .collect();
    let layout = inputs.crossings.get(index).and_then(|row| row.layouts.get(other.layout));
    format!(
        "{}: {} with {}; the plan would cost {} more.",
        if served.alternative_proven {
            "Next best"
        } else {
            "Best other found before the time was up"
        },
        layout.map(|layout| layout.describe()).unwrap_or_default(),
        decks.join(" and "),
        other.extra
    )
}
