//! The rating as a page for the engineer's file.

use spanyard::quantity::{Feet, Tons};
use spanyard::rate::Rating;
use spanyard::rate::sheet::sheet;
use spanyard::report::rating::{Rated, page};

use crate::rating::support::{car, crossing, rules};

fn made(spans: &[f64]) -> String {
    let rules = rules();
    let mut car = car();
    car.place.file = "/home/pat/county/lists/cars.csv".into();
    let mut crossing = crossing(spans[0], &["H15"]);
    crossing.layouts[0].spans = spans.iter().copied().map(Feet).collect();
    crossing.least_posting = Some(Tons(3.0));
    let span = Feet(spans[0]);
    let rating = Rating::of(&car, &crossing, span, &rules).unwrap();
    let sheet = sheet(&rating, &car, &crossing, &rules);
    let rated = Rated { car: car.name(), span, made: Ok(Box::new((rating, sheet))) };
    page(&crossing, &rules, &[rated]).unwrap()
}

#[test]
fn it_names_every_legal_truck_the_remarks_and_no_folder() {
    let page = made(&[60.0]);
    for words in [
        "summary for the posting letter",
        "Type 3S2",
        "SU7",
        "Nonredundant steel tension members (NSTM)",
        "Fatigue: not part of this rating",
        "Not rated, to confirm before a sign is put up: stringers and cross-members.",
        "A licensed engineer checks this rating",
        "cars.csv",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(!page.contains("/home/"), "a whole path");
    assert!(!page.contains("Pier 1"));
}

/// By hand, two spans of 45 ft, bearings 2 ft apart, ends of 11.5 in. Type 3, 16, 17, 17 at 15 and 4 ft: one
/// axle of 17 at an end counts (45 + 11.5 / 12) / 45 = 1.021296, the other 4 ft from it across the gap, 3.958333
/// from the middle, (46 - 3.958333) / 45 = 0.934259; the steering axle 15 ft from the first on its own
/// side, 15.041667 from the middle, 0.687963: 17 x 1.955556 + 16 x 0.687963 = 44.25 kip. The other way
/// round it stands 19 ft behind and counts less.
#[test]
fn a_pier_has_its_reactions_by_vehicle() {
    let page = made(&[45.0, 45.0]);
    let at = page.find("Pier 1 of 45 + 45 ft, 1 pier").unwrap();
    let row = &page[at + page[at..].find("Type 3<").unwrap()..][..120];
    assert!(row.contains("44.3 kip") || row.contains("44.25 kip"), "{row}");
}
