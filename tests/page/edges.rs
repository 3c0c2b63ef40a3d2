//! Plans at the edges: nothing bought, a bridge of a single car, cars of unlike shapes.

use roxmltree::Document;
use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::model::inputs::Inputs;
use spanyard::quantity::{Cents, Feet};
use spanyard::report::drawing::{deck_section, elevation, plan_view};
use spanyard::report::facts::PlanReport;
use spanyard::report::{geojson, page, sheets, tables, workbook};
use spanyard::survey::Survey;

use super::county::{context, county, report};

fn planned(inputs: Inputs, budget: Option<Cents>) -> PlanReport<'static> {
    let options = PlanOptions { budget, ..PlanOptions::default() };
    let plan = make_plan(&inputs, &Survey::new(&inputs), &options).unwrap();
    report(inputs, plan)
}

#[test]
fn a_plan_that_buys_nothing_is_reported_all_the_same() {
    let report = planned(county().inputs.clone(), Some(Cents::ZERO));
    assert_eq!(report.plan.served_count(), 0);
    let context = context(&report);
    let text = page::plan(&report, &context).unwrap();
    assert!(text.contains("Nothing is bought.") && text.contains("None of 12 crossings"));
    let tables = tables::all(&report, &context);
    assert!(workbook::workbook(&tables, &context, report.inputs.order_date).is_ok());
    let files = sheets::all(&report, &context).unwrap();
    assert!(files.iter().all(|file| file.name.starts_with("table-")));
    assert!(!geojson::plan(&report, &context).contains("LineString"));
}

#[test]
fn a_bridge_of_one_car_has_no_joint_and_one_width() {
    let mut inputs = county().inputs.clone();
    inputs.crossings.retain(|crossing| crossing.id == "B-03");
    let crossing = &mut inputs.crossings[0];
    (crossing.most_abreast, crossing.clear_width) = (1, Feet(7.0));
    let report = planned(inputs, None);
    let served = report.plan.crossings[0].served().unwrap();
    assert_eq!(served.decks[0].cars.len(), 1);
    let svg = deck_section::draw(report.inputs, &served.decks[0], "s");
    let document = Document::parse(&svg).unwrap();
    let of = |what: &str| {
        document.descendants().filter(|n| n.attribute("data-what") == Some(what)).count()
    };
    assert_eq!((of("car"), of("gap"), of("total")), (1, 0, 1));
    let files = sheets::all(&report, &context(&report)).unwrap();
    let crew = files.iter().find(|file| file.name.starts_with("crew-")).unwrap();
    assert!(crew.content.contains("No joint: one car."));
    assert!(page::plan(&report, &context(&report)).is_ok());
}

#[test]
fn cars_of_unlike_length_stand_one_below_the_other() {
    let mut inputs = county().inputs.clone();
    let served = county().plan.crossings.iter().find_map(|c| {
        c.served()
            .filter(|s| s.decks.len() == 1 && s.decks[0].cars[0].car != s.decks[0].cars[1].car)
    });
    let served = served.expect("a bridge of two different cars");
    let second = served.decks[0].cars[1].car;
    let length = inputs.cars[second.0].length.unwrap() + Feet(2.0);
    inputs.cars[second.0].length = Some(length);
    let svg = elevation::draw(&inputs, served, "e");
    let document = Document::parse(&svg).unwrap();
    let lengths: Vec<f64> = document
        .descendants()
        .filter(|n| n.attribute("data-what") == Some("length"))
        .map(|n| n.attribute("data-ft").unwrap().parse().unwrap())
        .collect();
    assert_eq!(lengths, [length.0 - 2.0, length.0]);
    assert!(Document::parse(&plan_view::draw(&inputs, served, "p")).is_ok());
}
