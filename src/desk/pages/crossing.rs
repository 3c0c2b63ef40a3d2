//! One crossing of the plan: drawings, cars, checks, costs; every figure leads to where it comes from.

use askama::Template;
use itertools::Itertools;
use spanyard::check::registry::Stage;
use spanyard::check::{Check, Outcome};
use spanyard::model::columns::Columns as _;
use spanyard::model::plan::{CrossingPlan, Fate, Served};
use spanyard::quantity::feet_inches;
use spanyard::report::facts::board::posting;
use spanyard::report::facts::purchases::trailers;
use spanyard::report::facts::reasons::{Said, least_margins, with_outcome};
use spanyard::report::facts::{PlanReport, confirm, passing};
use spanyard::report::page::{Drawn, drawings};

use super::cars::{car_href, rate_href};
use super::{Place, Shown, capital};
use crate::desk::exchange::encoded;
use crate::desk::view::{CHECK, Frame, Table, check_row, figure, head, page, text};

#[derive(Template, Default)]
#[template(path = "desk/crossing.html")]
struct Crossing {
    frame: Frame,
    id: String,
    road: String,
    served: bool,
    posting: String,
    summary: String,
    why: Vec<String>,
    drawings: Vec<Drawn>,
    cars: Table,
    joints: Vec<String>,
    checks: Vec<Table>,
    costs: Table,
    confirm: Table,
    if_refused: Vec<String>,
    decide: Vec<(String, String)>,
    facts: Table,
    all_cars: String,
}

/// The page of one crossing.
pub fn show(at: &Place<'_>) -> Shown {
    let id = at.asked.text("id");
    let made = at.desk.made().ok_or_else(|| at.missing("there is no plan yet"))?;
    let view = made.report(|report| {
        let plan = report.plan.crossings.iter();
        let planned = plan.into_iter().find(|c| report.inputs.crossing(c.crossing).id == id)?;
        Some(view(report, planned))
    });
    let view = view.flatten().ok_or_else(|| at.missing("the plan has no such crossing"))?;
    let frame = at.frame(&id, "Plan");
    Ok(page(&Crossing { frame, all_cars: format!("/cars?crossing={}", encoded(&id)), ..view }))
}

fn view(report: &PlanReport<'_>, planned: &CrossingPlan) -> Crossing {
    let row = report.inputs.crossing(planned.crossing);
    let mut facts =
        Table::new(format!("What {} asks, from {}", row.id, row.place), &["What", "Value"]);
    let place = format!("/source?file={}&line={}", encoded(&row.place.file), row.place.line);
    let unknown = || "not surveyed".to_owned();
    let layouts: Vec<String> = row.layouts.iter().map(|layout| layout.describe()).collect();
    for (what, value) in [
        ("Layouts the site allows", layouts.join("; ")),
        ("Clear width", feet_inches(row.clear_width)),
        ("Vehicles", row.vehicles.join(", ")),
        ("Deck", row.deck_system.clone()),
        ("Longest load on the route", row.haul_length_limit.map_or_else(unknown, feet_inches)),
        (
            "Heaviest car on the route",
            row.haul_weight_limit.map_or_else(unknown, |w| w.to_string()),
        ),
        ("Heaviest pick", row.crane_limit.map_or_else(unknown, |w| w.to_string())),
        ("Priority", row.priority.to_string()),
        ("Needed by", row.needed_by.map_or_else(|| "no date".to_owned(), |day| day.to_string())),
    ] {
        facts.row(vec![head(what), text(value).to(place.clone())]);
    }
    facts.class = "slim";
    let decide = ["changed", "dropped", "built"].map(|kind| {
        let cars = match (kind, &planned.fate) {
            ("built", Fate::Served(served)) => {
                let decks = served.decks.iter().flat_map(|deck| &deck.cars);
                let ids = decks.map(|placed| report.inputs.car(placed.car).id.as_str());
                format!("&cars={}", encoded(&ids.unique().join("; ")))
            }
            _ => String::new(),
        };
        let href = format!("/decide?kind={kind}&crossing={}{cars}", encoded(&row.id));
        (href, format!("Decide: {kind}"))
    });
    let decide = decide.into();
    let view = Crossing {
        id: row.id.clone(),
        road: row.road.clone(),
        facts,
        decide,
        ..Crossing::default()
    };
    match &planned.fate {
        Fate::Served(served) => of_served(report, planned, served, view),
        Fate::Unserved(unserved) => {
            let mut why: Vec<String> = unserved.reasons.iter().map(Check::sentence).collect();
            why.extend(passing::sentences(report, planned.crossing, unserved));
            let mut checks = Vec::new();
            if let Some(miss) = &unserved.nearest {
                let car = report.inputs.car(miss.car);
                let span = feet_inches(report.inputs.span(miss.site));
                let caption = format!("What bars the nearest car, {} on {span}", car.name());
                let mut table = Table::new(caption, &CHECK);
                for check in &miss.barred_by {
                    let found = car_href(&car.dealer, &car.id, &row.id);
                    table.rows.push(check_row(check, &car.id, &found));
                }
                checks.push(table);
            }
            Crossing { summary: "It goes without.".to_owned(), why, checks, ..view }
        }
    }
}

fn of_served(
    report: &PlanReport<'_>,
    planned: &CrossingPlan,
    served: &Served,
    view: Crossing,
) -> Crossing {
    let inputs = report.inputs;
    let row = inputs.crossing(planned.crossing);
    let heads = [
        "#Span",
        "#No.",
        "Car",
        "From",
        "Section",
        "#Length",
        "#Truck centers",
        "#Width",
        "#Camber",
        "Rating",
    ];
    let mut cars = Table::new("Cars, numbered from left to right looking along the road", &heads);
    let known = |value: Option<String>| value.unwrap_or_else(|| "unknown".to_owned());
    for deck in &served.decks {
        for (number, placed) in (1..).zip(&deck.cars) {
            let car = inputs.car(placed.car);
            let own = car_href(&car.dealer, &car.id, &row.id);
            cars.row(vec![
                figure(format!("{} ({})", deck.site.span + 1, feet_inches(deck.span))),
                figure(number),
                head(car.name()).to(own.clone()),
                text(inputs.yard(car.yard).name.clone()),
                text(known(car.section.clone())),
                figure(known(car.length.map(feet_inches))).to(own.clone()),
                figure(known(car.truck_centers.map(feet_inches))).to(own.clone()),
                figure(known(car.width.map(feet_inches))).to(own.clone()),
                figure(known(car.camber.map(|camber| camber.to_string()))).to(own),
                text("calculation sheet").to(rate_href(&car.dealer, &car.id, &row.id)),
            ]);
        }
    }
    let mut joints: Vec<String> = served
        .decks
        .iter()
        .filter_map(|deck| {
            let joint = deck.joint.as_ref()?;
            Some(format!("Joint: {}, gap {}.", joint.name, joint.gap))
        })
        .collect();
    joints.extend(served.decks.iter().flat_map(|deck| trailers(inputs, deck)));
    let mut costs = Table::new("What it costs in place", &["What", "Of", "How", "#Amount"]);
    for line in &served.lines {
        costs.row(vec![
            head(capital(line.item.word())),
            text(line.subject.clone()),
            text(line.basis.clone()),
            figure(line.amount),
        ]);
    }
    costs.row(vec![head("In place"), text(""), text(""), figure(served.total())]);
    let rows = |caption: &str, said: Vec<Said>| {
        let mut table = Table::new(caption, &CHECK);
        for said in said {
            let found = source_of(report, &said, served, &row.id);
            table.rows.push(check_row(&said.check, &said.subjects.join(", "), &found));
        }
        table
    };
    let tight = least_margins(inputs, served, 5);
    let layout = row.layouts.get(served.layout).map(|layout| layout.describe()).unwrap_or_default();
    let other = served.alternative.as_ref().map_or_else(
        || {
            if served.alternative_proven {
                "there is no other".to_owned()
            } else {
                "none was found".to_owned()
            }
        },
        |other| format!("the cheapest other costs {} more", other.extra),
    );
    Crossing {
        served: true,
        posting: posting(served).unwrap_or_default(),
        summary: format!("{layout}; {} in place; of other bridges here, {other}.", served.total()),
        drawings: drawings(inputs, served, planned.crossing.0),
        cars,
        joints,
        checks: vec![
            rows("Checks with the least to spare", tight),
            rows("Cautions", with_outcome(inputs, served, Outcome::Caution)),
            rows("Not checked here", with_outcome(inputs, served, Outcome::NotChecked)),
            rows("All checks passed", with_outcome(inputs, served, Outcome::Pass)),
        ],
        costs,
        confirm: to_confirm(report, served, &row.id),
        if_refused: confirm::of_bridge(inputs, report.plan, served)
            .into_iter()
            .map(|of| format!("If {} is refused: {}", inputs.car(of.car).name(), of.if_refused))
            .collect(),
        ..view
    }
}

/// What has to be confirmed before money is paid, fact by fact: how it is known and where that stands,
/// what it must be, how it is found out.
fn to_confirm(report: &PlanReport<'_>, served: &Served, crossing: &str) -> Table {
    let heads = ["Car", "Fact", "Now", "Must be known", "Must be", "How"];
    let mut table = Table::new("To confirm before money is paid", &heads);
    for one in &served.confirmations {
        let car = report.inputs.car(one.car);
        let place = car.evidence.of(one.fact).map_or(&car.place, |evidence| &evidence.place);
        let source = format!(
            "/source?file={}&line={}&column={}",
            encoded(&place.file),
            place.line,
            one.fact.column().name
        );
        table.row(vec![
            head(car.name()).to(car_href(&car.dealer, &car.id, crossing)),
            text(confirm::fact(one)),
            text(confirm::known(one.now)).to(source),
            text(one.needed.words()),
            text(one.value.to_string()),
            text(one.kind.asked()),
        ]);
    }
    table
}

/// Where the figure of a check comes from: a rating from its calculation sheet, a fact from its cell.
fn source_of(report: &PlanReport<'_>, said: &Said, served: &Served, crossing: &str) -> String {
    let cars = served.decks.iter().flat_map(|deck| &deck.cars);
    let cars = cars.map(|placed| report.inputs.car(placed.car));
    let Some(car) =
        cars.into_iter().find(|car| said.subjects.iter().any(|subject| subject.contains(&car.id)))
    else {
        return String::new();
    };
    if said.check.code.kind().stage == Stage::Rate {
        rate_href(&car.dealer, &car.id, crossing)
    } else {
        car_href(&car.dealer, &car.id, crossing)
    }
}
