//! GeoJSON, sheets and CSV tables.

use std::collections::BTreeSet;

use serde_json::Value;
use spanyard::report::{geojson, sheets};

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
    assert_eq!(kinds[0], report.inputs.crossings.len());
    assert_eq!(kinds[1], report.inputs.yards.len());
    let crossings = features.iter().filter(|f| f["properties"]["kind"] == "crossing");
    for (crossing, plan) in crossings.zip(&report.plan.crossings) {
        let cost = crossing["properties"]["cost_usd_cents"].as_i64();
        assert_eq!(cost, plan.served().map(|served| served.total().0));
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
    assert_eq!(count("crew-"), report.plan.served_count());
    assert_eq!(count("table-"), 7);
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
        .map(|file| file.content.matches("class=\"sheet\"").count())
        .sum();
    assert_eq!(forms, placed, "a form for every placed car");
}

#[test]
fn a_request_says_nothing_of_crossings_or_other_dealers() {
    let report = county();
    let files = sheets::all(report, &context(report)).unwrap();
    for (purchase, number) in report.plan.purchases.iter().zip(1..) {
        let own = report.inputs.yard(purchase.yard);
        let start = format!("request-{number}-");
        for file in files.iter().filter(|file| file.name.starts_with(&start)) {
            for crossing in &report.inputs.crossings {
                assert!(!file.content.contains(&crossing.road), "{}", file.name);
            }
            for yard in report.inputs.yards.iter().filter(|yard| yard.dealer != own.dealer) {
                assert!(!file.content.contains(&yard.dealer), "{}", file.name);
            }
        }
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
