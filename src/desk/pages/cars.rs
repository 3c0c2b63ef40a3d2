//! Cars: all of them, paged and filtered here, and each with its facts, its sources and its checks.

use askama::Template;
use itertools::Itertools;
use spanyard::check::registry::REGISTRY;
use spanyard::check::{Barred, Code};
use spanyard::model::car::Car;
use spanyard::model::columns::Columns as _;
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs};
use spanyard::model::inventory::Inventory;
use spanyard::quantity::feet_inches;
use spanyard::report::facts::answers::{Answered, answers};
use spanyard::report::facts::count;
use spanyard::report::facts::matching::Matching;

use super::{Place, Shown};
use crate::desk::exchange::{Answer, encoded};
use crate::desk::view::{
    CHECK, Choice, Frame, Notice, Pager, Table, Tables, check_row, figure, head, page, text,
};

/// Cars on a page.
const EACH: usize = 100;

#[derive(Template)]
#[template(path = "desk/cars.html")]
struct Cars {
    frame: Frame,
    title: String,
    q: String,
    crossings: Vec<Choice>,
    codes: Vec<Choice>,
    fits: Vec<Choice>,
    found: String,
    pager: Pager,
    cars: Table,
}

/// Where a car is shown, at a crossing or at all.
pub fn car_href(dealer: &str, car: &str, crossing: &str) -> String {
    let at = if crossing.is_empty() {
        String::new()
    } else {
        format!("&crossing={}", encoded(crossing))
    };
    format!("/car?dealer={}&car={}{at}", encoded(dealer), encoded(car))
}

/// Where the calculation sheet of a car at a crossing is shown.
pub fn rate_href(dealer: &str, car: &str, crossing: &str) -> String {
    format!("/rate?dealer={}&car={}&crossing={}", encoded(dealer), encoded(car), encoded(crossing))
}

/// The crossing of this name.
pub fn crossing_named(inputs: &Inputs, id: &str) -> Option<CrossingIx> {
    inputs.crossing_indices().find(|&crossing| inputs.crossing(crossing).id == id)
}

/// The car that is asked for.
pub fn car_asked(at: &Place<'_>, inputs: &Inputs) -> Option<CarIx> {
    let (dealer, id) = (at.asked.text("dealer"), at.asked.text("car"));
    inputs.car_indices().find(|&car| {
        let car = inputs.car(car);
        car.id == id && (dealer.is_empty() || car.dealer == dealer)
    })
}

/// All cars against all crossings, or against one.
pub fn all(at: &Place<'_>) -> Shown {
    let inputs = at.inputs()?;
    // The first look at a large folder takes seconds: the cars are shown before it is done.
    let Some(everywhere) = at.known.fits_soon() else { return Ok(waiting(at, inputs)) };
    let survey = at.known.survey().ok_or_else(|| at.missing("there is no survey"))?;
    let matching = Matching::new(inputs, survey);
    let (q, fit) = (at.asked.text("q"), at.asked.text("fit"));
    let code: Option<Code> = at.asked.get("code").and_then(|code| code.parse().ok());
    let one = at.asked.get("crossing").and_then(|id| crossing_named(inputs, id));
    // What bars a car on every crossing looked at, and how many it fits.
    let of = |car: CarIx| -> (usize, Barred) {
        let Some(crossing) = one else {
            return everywhere.get(car.0).copied().unwrap_or_default();
        };
        let fit = matching.fit(car, crossing);
        (usize::from(fit.passes()), fit.barred())
    };
    let low = q.to_lowercase();
    let named = |car: &Car| {
        let names = [Some(&car.id), Some(&car.dealer), car.section.as_ref()];
        names.into_iter().flatten().any(|name| name.to_lowercase().contains(&low))
    };
    let found: Vec<(CarIx, usize, Barred)> = inputs
        .car_indices()
        .filter(|&car| low.is_empty() || named(inputs.car(car)))
        .map(|car| {
            let (fits, barred) = of(car);
            (car, fits, barred)
        })
        .filter(|(_, fits, barred)| {
            code.is_none_or(|code| barred.contains(code))
                && match fit.as_str() {
                    "fits" => *fits > 0,
                    "refused" => *fits == 0,
                    _ => true,
                }
        })
        .collect();
    let query = |page: usize| {
        let crossing = one.map(|one| inputs.crossing(one).id.as_str()).unwrap_or_default();
        let code = code.map(Code::id).unwrap_or_default();
        let (q, crossing) = (encoded(&q), encoded(crossing));
        format!("/cars?q={q}&crossing={crossing}&code={code}&fit={fit}&page={page}")
    };
    let (pager, rows) = Pager::of(found.len(), EACH, at.asked.number("page").unwrap_or(1), query);
    let chosen = one.map(|one| inputs.crossing(one).id.clone()).unwrap_or_default();
    let title = one.map_or_else(|| "Cars on offer".to_owned(), |_| format!("Cars for {chosen}"));
    let table = table(inputs, &found[rows], one);
    let codes = REGISTRY
        .iter()
        .filter(|kind| found_somewhere(&found, kind.code) || code == Some(kind.code));
    let asked_code = code.map(Code::id).unwrap_or_default();
    Ok(page(&Cars {
        frame: at.frame(&title, "Cars"),
        title,
        crossings: inputs.crossings.iter().map(|c| Choice::new(&c.id, &c.id, &chosen)).collect(),
        codes: codes
            .map(|kind| Choice::new(kind.id, format!("{} {}", kind.id, kind.name), asked_code))
            .collect(),
        fits: [("", "all"), ("fits", "those that fit"), ("refused", "those that are refused")]
            .map(|(value, words)| Choice::new(value, words, &fit))
            .into(),
        found: format!("{} found.", count(found.len(), "row")),
        q,
        pager,
        cars: table,
    }))
}

/// The first cars by name, while every car is held against every crossing.
fn waiting(at: &Place<'_>, inputs: &Inputs) -> Answer {
    let words = "Every car is being held against every crossing for the first time since the files \
                 changed; which fit where is shown as soon as that is done.";
    let mut frame = at.frame("Cars on offer", "Cars");
    frame.notices.push(Notice::new("notice", words));
    frame.again = true;
    let few: Vec<_> =
        inputs.car_indices().take(EACH).map(|car| (car, 0, Barred::default())).collect();
    let mut cars = table(inputs, &few, None);
    for row in &mut cars.rows {
        row.cells.truncate(8);
    }
    cars.head.truncate(8);
    page(&Cars {
        frame,
        title: "Cars on offer".to_owned(),
        q: String::new(),
        crossings: Vec::new(),
        codes: Vec::new(),
        fits: Vec::new(),
        found: format!("{} listed.", count(inputs.cars.len(), "row")),
        pager: Pager::default(),
        cars,
    })
}

fn found_somewhere(found: &[(CarIx, usize, Barred)], code: Code) -> bool {
    found.iter().any(|(_, _, barred)| barred.contains(code))
}

fn table(inputs: &Inputs, found: &[(CarIx, usize, Barred)], one: Option<CrossingIx>) -> Table {
    let fits = if one.is_some() { "#Fits" } else { "#Fits crossings" };
    let heads = [
        "Car",
        "Dealer",
        "Yard",
        "Section",
        "#Cars",
        "#Length",
        "#Width",
        "#Price",
        fits,
        "Barred everywhere by",
    ];
    let mut table = Table::new("Cars", &heads);
    let crossing = one.map(|one| inputs.crossing(one).id.as_str()).unwrap_or_default();
    for (car, fits, barred) in found {
        let car = inputs.car(*car);
        let href = car_href(&car.dealer, &car.id, crossing);
        let mut why = barred.codes().map(|code| {
            let unknown = if barred.unknown(code) { ", unknown" } else { "" };
            format!("{} {}{unknown}", code.id(), code.kind().name)
        });
        let price = match (car.price, car.lot) {
            (_, Some(lot)) => format!("lot {}", inputs.lot(lot).name),
            (Some(price), None) => price.to_string(),
            (None, None) => "unknown".to_owned(),
        };
        let fits = match (one, fits) {
            (Some(_), 0) => "no".to_owned(),
            (Some(_), _) => "yes".to_owned(),
            (None, fits) => fits.to_string(),
        };
        let length = car.length.map_or_else(|| "unknown".to_owned(), feet_inches);
        let width = car.width.map_or_else(|| "unknown".to_owned(), feet_inches);
        table.row(vec![
            head(car.id.clone()).to(href.clone()),
            text(car.dealer.clone()),
            text(inputs.yard(car.yard).name.clone()),
            text(car.section.clone().unwrap_or_else(|| "unknown".to_owned())),
            figure(car.quantity),
            figure(length),
            figure(width),
            figure(price),
            figure(fits),
            text(why.join("; ")).to(if barred.is_empty() { String::new() } else { href }),
        ]);
    }
    table
}

/// One car: what is known of it and where that stands, and how it fares.
pub fn one(at: &Place<'_>) -> Shown {
    let inputs = at.inputs()?;
    let ix = car_asked(at, inputs).ok_or_else(|| at.missing("no list has such a car"))?;
    let car = inputs.car(ix);
    let mut view = Tables::new(at.frame(&car.id, "Cars"), car.name());
    view.words.push(format!(
        "In the yard {}; listed in {}.",
        inputs.yard(car.yard).name,
        car.place
    ));
    for (kind, words) in [
        ("bought", "bought"),
        ("reserved", "reserved"),
        ("sold", "sold to others"),
        ("measured", "measured"),
        ("refused", "refused"),
        ("fixed", "bound to a crossing"),
    ] {
        let (dealer, id) = (encoded(&car.dealer), encoded(&car.id));
        let crossing = at.asked.get("crossing").map(encoded).unwrap_or_default();
        let href = format!("/decide?kind={kind}&dealer={dealer}&car={id}&crossing={crossing}");
        view.links.push((href, format!("Decide: {words}")));
    }
    if let Some((fate, decision)) = inputs.decided.of_car(ix) {
        view.words.push(format!("It is {fate}: {}", decision.sentence()));
    }
    if let Some(notes) = &car.notes {
        view.words.push(format!("Remarks of the list: {notes}"));
    }
    if let Some(crossing) = at.asked.get("crossing").and_then(|id| crossing_named(inputs, id)) {
        let id = inputs.crossing(crossing).id.clone();
        for answered in answers(inputs, &[ix], &[crossing]) {
            view.tables.push(checks(car, &id, &answered));
        }
    }
    view.tables.push(everywhere(at, inputs, ix)?);
    view.tables.push(facts(car));
    Ok(page(&view))
}

/// Every check of a car on one span, those that bar first.
fn checks(car: &Car, crossing: &str, answered: &Answered) -> Table {
    let bars = answered.codes_that_bar();
    let ends =
        if bars.is_empty() { "fits".to_owned() } else { format!("barred by {}", bars.join(", ")) };
    let caption = format!("{} at {crossing} on {}: {ends}", car.id, feet_inches(answered.span));
    let mut table = Table::new(caption, &CHECK);
    for check in answered.checks.iter().sorted_by_key(|check| !check.outcome.bars()) {
        let rated = check.code.kind().stage == spanyard::check::registry::Stage::Rate;
        let found = if rated { rate_href(&car.dealer, &car.id, crossing) } else { source(car) };
        table.rows.push(check_row(check, check.outcome.word(), &found));
    }
    table
}

/// Where a car's row stands.
fn source(car: &Car) -> String {
    format!("/source?file={}&line={}", encoded(&car.place.file), car.place.line)
}

fn everywhere(at: &Place<'_>, inputs: &Inputs, ix: CarIx) -> Result<Table, Answer> {
    if at.known.fits_soon().is_none() {
        let caption = "At every crossing: being worked out; load the page again in a moment";
        let mut table = Table::new(caption, &["Crossing"]);
        table.row(vec![text("not known yet")]);
        return Ok(table);
    }
    let survey = at.known.survey().ok_or_else(|| at.missing("there is no survey"))?;
    let matching = Matching::new(inputs, survey);
    let car = inputs.car(ix);
    let heads = ["Crossing", "Road", "Span", "Fits", "Barred by"];
    let mut table = Table::new("At every crossing", &heads);
    for (crossing, fit) in inputs.crossing_indices().zip(matching.car(ix)) {
        let row = inputs.crossing(crossing);
        for span in &fit.spans {
            let why = span.barred.codes().map(|code| format!("{} {}", code.id(), code.kind().name));
            let why = why.collect::<Vec<_>>().join("; ");
            let fits = if span.barred.is_empty() { "yes" } else { "no" };
            table.row(vec![
                head(row.id.clone()).to(car_href(&car.dealer, &car.id, &row.id)),
                text(row.road.clone()),
                text(feet_inches(span.span)),
                text(fits),
                text(why),
            ]);
        }
    }
    Ok(table)
}

/// What is known of a car, what it rests on and where that stands.
fn facts(car: &Car) -> Table {
    let mut table = Table::new(
        "What is known, and what it rests on",
        &["Fact", "Value", "Rests on", "Stands in"],
    );
    for (column, value) in values(car) {
        let evidence = car.evidence.of(column);
        let rests = evidence.map_or_else(|| "stated by the dealer".to_owned(), ToString::to_string);
        let place = evidence.map_or(&car.place, |evidence| &evidence.place);
        let known = value.is_some();
        let source = format!(
            "/source?file={}&line={}&column={}",
            encoded(&place.file),
            place.line,
            column.column().name
        );
        table.classed(
            if known { "" } else { "quiet" },
            vec![
                head(super::capital(column.fact().label)),
                text(value.unwrap_or_else(|| format!("unknown: {}", column.column().blank))),
                text(if known { rests } else { String::new() }),
                text(place.to_string()).to(source),
            ],
        );
    }
    table
}

/// The facts that a purchase turns on, in the order of the list's columns.
fn values(car: &Car) -> Vec<(Inventory, Option<String>)> {
    let words = |value: Option<spanyard::model::car::MemberCondition>| value.map(|c| c.words());
    let yes_no = |value: Option<bool>| value.map(|yes| if yes { "yes" } else { "no" }.to_owned());
    let girder = &car.girder;
    vec![
        (Inventory::Kind, car.kind.map(|kind| kind.word().to_owned())),
        (Inventory::Section, car.section.clone()),
        (Inventory::Length, car.length.map(feet_inches)),
        (Inventory::TruckCenters, car.truck_centers.map(feet_inches)),
        (Inventory::Width, car.width.map(feet_inches)),
        (Inventory::Camber, car.camber.map(|camber| camber.to_string())),
        (Inventory::YearBuilt, car.year_built.map(|year| year.to_string())),
        (Inventory::Yield, car.steel_yield.map(|strength| strength.to_string())),
        (Inventory::Modulus, girder.stated_modulus.map(|modulus| modulus.to_string())),
        (Inventory::ModulusSource, girder.modulus_source.clone()),
        (Inventory::WebDepth, girder.plates.map(|_| "plates measured".to_owned())),
        (Inventory::ExteriorDepth, car.exterior_depth.map(|depth| depth.to_string())),
        (Inventory::Weight, car.weight.map(|weight| weight.to_string())),
        (Inventory::Deck, car.deck.map(|deck| deck.word().to_owned())),
        (Inventory::DeckCondition, car.deck_condition.map(|state| state.word().to_owned())),
        (Inventory::Coating, car.coating.map(|coating| coating.word().to_owned())),
        (Inventory::Lead, car.lead.map(|lead| lead.word().to_owned())),
        (Inventory::MainGirder, words(car.members.main_girder)),
        (Inventory::ExteriorGirders, words(car.members.exterior_girders)),
        (Inventory::Bolsters, words(car.members.bolsters)),
        (Inventory::CrossMembers, words(car.members.cross_members)),
        (Inventory::Stringers, words(car.members.stringers)),
        (Inventory::Wrecked, yes_no(car.wrecked)),
        (Inventory::Price, car.price.map(|price| price.to_string())),
        (Inventory::QuoteExpires, car.quote_expires.map(|day| day.to_string())),
    ]
}
