//! GeoJSON, sheets and CSV tables.

use std::collections::BTreeSet;

use serde_json::Value;
use spanyard::model::car::LeadStatus;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::CostItem;
use spanyard::report::facts::sign::put_up;
use spanyard::report::provenance::{HashedFile, PageContext, Paper};
use spanyard::report::sheets::SheetFile;
use spanyard::report::{geojson, page, sheets};

use super::county::{context, county, hostile};

#[test]
fn geojson_is_as_rfc_7946_wants_it() {
    let report = county();
    let value: Value = serde_json::from_str(&geojson::plan(report, &context(report))).unwrap();
    // RFC 7946, 3.3, 3.2, 3.1.2 and 3.1.4, from memory: no `crs`, positions as longitude, latitude.
    assert_eq!(value["type"], "FeatureCollection");
    assert!(value.get("crs").is_none());
    let features = value["features"].as_array().unwrap();
    let mut kinds = [0; 3];
    for feature in features {
        assert_eq!(feature["type"], "Feature");
        let coordinates = &feature["geometry"]["coordinates"];
        let kind = feature["properties"]["kind"].as_str().unwrap();
        let points: Vec<&Value> = match feature["geometry"]["type"].as_str().unwrap() {
            "Point" => vec![coordinates],
            "LineString" => coordinates.as_array().unwrap().iter().collect(),
            other => panic!("{other}"),
        };
        for point in points {
            let (lon, lat) = (point[0].as_f64().unwrap(), point[1].as_f64().unwrap());
            // Tessarow County and its dealers lie about 44 N, 40 W.
            assert!((-44.0..-38.0).contains(&lon) && (42.0..46.0).contains(&lat), "{point}");
        }
        kinds[["crossing", "yard", "haul"].iter().position(|k| *k == kind).unwrap()] += 1;
    }
    let ids: BTreeSet<&str> = features.iter().map(|f| f["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), features.len(), "every feature has an ID of its own");
    assert_eq!(kinds[0], report.inputs.crossings.len());
    assert_eq!(kinds[1], report.inputs.yards.len());
    let crossings = features.iter().filter(|f| f["properties"]["kind"] == "crossing");
    for (crossing, plan) in crossings.zip(&report.plan.crossings) {
        let cost = crossing["properties"]["cost_usd_cents"].as_i64();
        assert_eq!(cost, plan.served().map(|served| served.total().0));
        let posted = plan.served().map(|served| !put_up(served).is_empty());
        assert_eq!(crossing["properties"]["posted"].as_bool(), posted);
    }
    // All hauls together are the plan's.
    let hauls = features.iter().filter_map(|f| f["properties"]["haul_usd"].as_f64()).sum::<f64>();
    let lines = report.plan.crossings.iter().filter_map(|c| c.served()).flat_map(|s| &s.lines);
    let paid: i64 =
        lines.filter(|line| line.item == CostItem::Haul).map(|line| line.amount.0).sum();
    assert_eq!((hauls * 100.0).round() as i64, paid);
    let documented = include_str!("../../docs/json.md");
    for name in features.iter().flat_map(|f| f["properties"].as_object().unwrap().keys()) {
        assert!(documented.contains(&format!("`{name}`")), "{name} is not in docs/json.md");
    }
}

#[test]
fn there_is_a_sheet_for_every_yard_and_bridge_and_a_file_for_every_table() {
    let report = county();
    let files = sheets::all(report, &context(report)).unwrap();
    let names: BTreeSet<&str> = files.iter().map(|file| file.name.as_str()).collect();
    assert_eq!(names.len(), files.len(), "every name once");
    let count = |start: &str| names.iter().filter(|name| name.starts_with(start)).count();
    assert_eq!(count("request-"), 2 * report.plan.purchases.len());
    assert_eq!(count("inspection-"), report.plan.purchases.len());
    assert_eq!(count("order-"), report.plan.purchases.len());
    assert_eq!(count("crew-"), report.plan.served_count());
    assert_eq!(count("table-"), 8);
    let placed: usize = report
        .plan
        .crossings
        .iter()
        .filter_map(|c| c.served())
        .flat_map(|served| &served.decks)
        .map(|deck| deck.cars.len())
        .sum();
    let forms: usize = files
        .iter()
        .filter(|file| file.name.starts_with("inspection-"))
        .map(|file| file.content.matches("class=\"sheet engineer\"").count())
        .sum();
    assert_eq!(forms, placed, "a form for every placed car");
}

#[test]
fn a_request_says_nothing_of_crossings_or_other_dealers() {
    let report = county();
    let files = ["drumfell.csv", "sallowby.csv", "orlhaven.xlsx", "crossings.csv"];
    let hashed = files.map(|name| HashedFile::new(&format!("bids/{name}"), b"rows")).to_vec();
    let command = format!("spanyard plan --inventory bids/{}", files.join(" bids/"));
    let context = PageContext::new(report, hashed, &command, Paper::Letter);
    let files = sheets::all(report, &context).unwrap();
    for (purchase, number) in report.plan.purchases.iter().zip(1..) {
        let own = report.inputs.yard(purchase.yard);
        let starts = [format!("request-{number}-"), format!("order-{number}-")];
        let of_dealer = |name: &str| starts.iter().any(|start| name.starts_with(start));
        for file in files.iter().filter(|file| of_dealer(&file.name)) {
            for crossing in &report.inputs.crossings {
                assert!(!file.content.contains(&crossing.road), "{}", file.name);
            }
            no_word_of_other_dealers(report.inputs, &own.dealer, file);
            for word in ["spanyard plan", "bids/", ".csv", ".xlsx", "--inventory"] {
                assert!(!file.content.contains(word), "{}: {word}", file.name);
            }
        }
    }
}

/// The inspector's form lies open at the dealer's yard.
#[test]
fn an_inspection_form_says_nothing_of_other_dealers() {
    let report = county();
    let files = sheets::all(report, &context(report)).unwrap();
    for (purchase, number) in report.plan.purchases.iter().zip(1..) {
        let own = report.inputs.yard(purchase.yard);
        let start = format!("inspection-{number}-");
        let of_yard: Vec<_> = files.iter().filter(|file| file.name.starts_with(&start)).collect();
        assert_eq!(of_yard.len(), 1);
        no_word_of_other_dealers(report.inputs, &own.dealer, of_yard[0]);
    }
}

/// Names of dealers, yards, lots and cars, and what the others' lists remark.
fn no_word_of_other_dealers(inputs: &Inputs, own: &str, file: &SheetFile) {
    // A word of the style sheet is no word of the letter.
    let text = file.content.rsplit("</style>").next().unwrap();
    let says = |word: &str| {
        let mut parts = text.split(word);
        let before = parts.next().and_then(|part| part.chars().next_back());
        parts.next().is_some_and(|rest| {
            let apart = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '-');
            apart(before) && apart(rest.chars().next())
        })
    };
    let others = inputs.yards.iter().filter(|yard| yard.dealer != own);
    let mut words: Vec<&str> =
        others.flat_map(|yard| [yard.dealer.as_str(), yard.name.as_str()]).collect();
    for car in inputs.cars.iter().filter(|car| car.dealer != own) {
        words.push(&car.id);
        words.extend(car.notes.as_deref());
    }
    words.extend(
        inputs
            .lots
            .iter()
            .filter(|lot| inputs.car(lot.cars[0]).dealer != own)
            .map(|lot| lot.name.as_str()),
    );
    assert!(words.len() > 20);
    for word in words {
        assert!(!says(word), "{}: {word}", file.name);
    }
}

#[test]
fn a_crew_sheet_says_of_every_car_whether_its_paint_holds_lead() {
    let report = county();
    let files = sheets::all(report, &context(report)).unwrap();
    let (mut known, mut assumed) = (0, 0);
    for planned in &report.plan.crossings {
        let Some(served) = planned.served() else { continue };
        let start = format!("crew-{}-", planned.crossing.0 + 1);
        let sheet = files.iter().find(|file| file.name.starts_with(&start)).unwrap();
        let text = &sheet.content;
        for placed in served.decks.iter().flat_map(|deck| &deck.cars) {
            let car = report.inputs.car(placed.car);
            let row = text
                .split("<tr>")
                .find(|row| row.contains(&format!("<th scope=\"row\">{}</th>", car.id)));
            let (word, warning) = match car.lead {
                Some(LeadStatus::Present) => ("YES", "LEAD in the paint of "),
                Some(LeadStatus::Free) => ("NO, tested", ""),
                None => ("ASSUMED", "LEAD ASSUMED"),
            };
            known += usize::from(car.lead == Some(LeadStatus::Present));
            assumed += usize::from(car.lead.is_none());
            assert!(row.unwrap().contains(&format!("<strong>{word}</strong>")), "{}", car.id);
            let line = text.lines().find(|line| line.contains(warning) && line.contains(&car.id));
            assert!(line.is_some(), "{}: {warning}", car.id);
        }
    }
    assert!(known > 0 && assumed > 0);
}

/// The crew cuts where the drawing cuts: at a pier short of the next span's car, in words and in the
/// description of the drawing alike.
#[test]
fn a_crew_sheet_cuts_ends_at_a_pier_as_its_drawing_does() {
    let report = county();
    let files = sheets::all(report, &context(report)).unwrap();
    let mut piers = 0;
    for planned in &report.plan.crossings {
        let Some(served) = planned.served().filter(|served| served.decks.len() == 2) else {
            continue;
        };
        let start = format!("crew-{}-", planned.crossing.0 + 1);
        let sheet = files.iter().find(|file| file.name.starts_with(&start)).unwrap();
        let cars: usize = served.decks.iter().map(|deck| deck.cars.len()).sum();
        // 5.5 ft between the bearings less a gap of 1 in, halved: 2 ft 8 1/2 in; never half of it.
        let at_pier = sheet.content.matches("cut back to 2&#39;-8 1/2").count();
        assert!(at_pier > cars, "{at_pier} times for {cars} cars, in words and drawing");
        assert!(!sheet.content.contains("decides how they are cut"));
        piers += 1;
    }
    assert!(piers > 0);
}

#[test]
fn no_footer_has_a_command_line_or_a_path() {
    let report = county();
    let context = context(report);
    let mut pages = vec![page::plan(report, &context).unwrap()];
    pages.extend(sheets::all(report, &context).unwrap().into_iter().map(|file| file.content));
    for text in pages.iter().filter(|text| text.starts_with("<!DOCTYPE")) {
        let footer =
            text.split("@bottom-left").nth(1).unwrap().split("@bottom-right").next().unwrap();
        assert!(footer.contains(&context.plan_id) && footer.contains("2026-06-01"), "{footer}");
        assert!(footer.contains("Tessarow County Road Department"), "{footer}");
        assert!(!footer.contains("spanyard") && !footer.contains("data-demo"), "{footer}");
    }
}

#[test]
fn no_cell_of_a_table_is_a_formula() {
    let report = hostile();
    let files = sheets::all(&report, &context(&report)).unwrap();
    let mut seen = 0;
    for file in files.iter().filter(|file| file.name.ends_with(".csv")) {
        let mut rows = csv::Reader::from_reader(file.content.as_bytes());
        for row in rows.records() {
            for cell in row.unwrap().iter() {
                let number = cell.parse::<f64>().is_ok();
                assert!(number || !cell.starts_with(['=', '+', '-', '@']), "{cell}");
                seen += usize::from(cell.starts_with("'="));
            }
        }
    }
    assert!(seen > 3);
}
