//! The calculation sheet of a rating, line by line; and what a check asks.

use spanyard::check::registry::REGISTRY;
use spanyard::check::{Code, Kind};
use spanyard::quantity::Feet;
use spanyard::rate::Rating;
use spanyard::rate::sheet::{Amount, Sheet, sheet};

use super::cars::{car_asked, car_href, crossing_named};
use super::{Place, Shown, capital};
use crate::desk::view::{Table, Tables, figure, head, page, text};

/// The sheet on each different span of a crossing.
pub fn show(at: &Place<'_>) -> Shown {
    let inputs = at.inputs()?;
    let id = at.asked.text("crossing");
    let car = car_asked(at, inputs).ok_or_else(|| at.missing("no list has such a car"))?;
    let crossing =
        crossing_named(inputs, &id).ok_or_else(|| at.missing("there is no such crossing"))?;
    let (car, crossing) = (inputs.car(car), inputs.crossing(crossing));
    let title = format!("Calculation sheet: {} at {}, {}", car.name(), crossing.id, crossing.road);
    let mut view = Tables::new(at.frame(&car.id, "Cars"), title);
    let mut spans: Vec<Feet> = Vec::new();
    for &span in crossing.layouts.iter().flat_map(|layout| &layout.spans) {
        if spans.contains(&span) {
            continue;
        }
        spans.push(span);
        match Rating::of(car, crossing, span, &inputs.rules) {
            Ok(rating) => told(&mut view, &sheet(&rating, car, crossing, &inputs.rules)),
            Err(unrateable) => {
                view.words.push(format!("Span {}: {unrateable}.", Amount::from(span)));
            }
        }
    }
    let mut see = Table::new("See too", &["What"]);
    see.row(vec![head(format!("{} at {}: every check", car.id, crossing.id)).to(car_href(
        &car.dealer,
        &car.id,
        &crossing.id,
    ))]);
    view.tables.push(see);
    Ok(page(&view))
}

fn told(view: &mut Tables, sheet: &Sheet) {
    view.words.push(format!("Span {}: {}", Amount::from(sheet.span), sheet.governs));
    let heads = [
        "Vehicle",
        "#Bending, ASR",
        "#Bending, LRFR",
        "#Shear, ASR",
        "#Shear, LRFR",
        "#Least",
        "#Sign",
    ];
    let caption = format!("Rating factors on {}", Amount::from(sheet.span));
    let mut table = Table::new(caption, &heads);
    for row in &sheet.summary {
        let some = |value: Option<_>| {
            value.map_or_else(|| "not checked".to_owned(), |value| format!("{value:.3}"))
        };
        table.row(vec![
            head(row.vehicle.clone()),
            figure(format!("{:.3}", row.bending_allowable)),
            figure(format!("{:.3}", row.bending_factored)),
            figure(some(row.shear_allowable)),
            figure(some(row.shear_factored)),
            figure(format!("{:.3}", row.least)),
            figure(row.posting.clone()),
        ]);
    }
    view.tables.push(table);
    for part in &sheet.parts {
        let heads = ["What", "Symbol", "Formula", "In numbers", "#Result", "Source", "Stands in"];
        let mut table = Table::new(part.title.clone(), &heads);
        for line in &part.lines {
            table.classed(
                if line.governs { "marked" } else { "" },
                vec![
                    head(line.label.clone()),
                    text(line.symbol.clone()),
                    text(line.formula.clone()),
                    text(line.numbers.clone()),
                    figure(&line.result),
                    text(line.source.clone()),
                    text(line.place.clone()).to(super::files::href_of(&line.place)),
                ],
            );
        }
        view.tables.push(table);
    }
    view.closing.extend(sheet.not_checked.iter().map(|words| format!("Not checked: {words}")));
    view.closing.extend(sheet.limits.iter().cloned());
}

/// What a check asks, why, where it comes from, and what to do.
pub fn why(at: &Place<'_>) -> Shown {
    let Some(code) = at.asked.get("code").and_then(|code| code.parse::<Code>().ok()) else {
        let mut view = Tables::new(at.frame("Checks", ""), "Every check");
        let mut table = Table::new("By stage of the work", &["Check", "Stage"]);
        for kind in REGISTRY {
            let href = format!("/why?code={}", kind.id);
            table.row(vec![
                head(format!("{} {}", kind.id, kind.name)).to(href),
                text(kind.stage.title()),
            ]);
        }
        view.tables.push(table);
        return Ok(page(&view));
    };
    let Kind { id, stage, name, basis, about, remedy, examples, .. } = code.kind();
    let mut view = Tables::new(at.frame(id, ""), format!("{id} {name}"));
    let mut table = Table::new("What it asks", &["", ""]);
    for (what, words) in [
        ("Asked when", stage.title().to_owned()),
        ("About", (*about).to_owned()),
        ("What to do", (*remedy).to_owned()),
        ("Source", basis.to_string()),
    ] {
        table.row(vec![head(what), text(capital(&words))]);
    }
    for example in *examples {
        table.row(vec![head("Example"), text(example.words())]);
    }
    view.tables.push(table);
    Ok(page(&view))
}
