//! Live-load effects against published tables and worked examples.

use super::*;
use crate::model::rules::DEFAULT_RULES;

fn live(name: &str, span: f64, impact: f64) -> Live {
    let (vehicle, none) = (Vehicle::built_in(name).unwrap(), Feet(0.0));
    Live::of(&vehicle, Feet(span), none, Ratio(impact), Ratio(impact)).unwrap()
}

/// Standard Specifications 3.8.2 (from memory): values of the formula.
#[test]
fn impact_by_span() {
    for (span, impact) in
        [(30.0, 0.30), (41.6, 0.30), (56.0, 0.2762), (66.0, 0.2618), (89.0, 0.2336)]
    {
        assert!((impact_allowable(Feet(span)).0 - impact).abs() < 5e-5, "{span} ft");
    }
}

/// Governing H20 moment and end shear, truck or lane: M. A. Khan, Bridge and Highway Structure
/// Rehabilitation and Repair, McGraw-Hill 2010, table 6.7 (read); without impact.
#[test]
fn h20_governing_moments_and_shears_of_the_published_table() {
    for (span, moment, governs) in [
        (30.0, 246.6, Governs::Truck),
        (40.0, 346.0, Governs::Truck),
        (50.0, 445.6, Governs::Truck),
        (60.0, 558.0, Governs::Lane),
        (80.0, 872.0, Governs::Lane),
        (100.0, 1250.0, Governs::Lane),
    ] {
        let found = live("H20", span, 0.0).moment;
        assert!((found.total.0 - moment).abs() < 0.06, "{span} ft: {}", found.total);
        assert_eq!(found.governs, governs);
    }
    for (span, shear) in [(40.0, 38.8), (60.0, 45.2), (100.0, 58.0)] {
        let found = live("H20", span, 0.0).shear;
        assert!((found.total.0 - shear).abs() < 0.05, "{span} ft: {}", found.total);
    }
}

/// The H lane load governs moment from 57 ft on: H15 at 57 ft 387.3 against 386.5 (recomputed).
#[test]
fn the_lane_load_of_h_governs_from_57_ft() {
    assert_eq!(live("H15", 56.0, 0.0).moment.governs, Governs::Truck);
    let lane = live("H15", 57.0, 0.0).moment;
    assert_eq!(lane.governs, Governs::Lane);
    assert!((lane.total.0 - 387.3).abs() < 0.05);
    assert!((lane.truck.moment.0 - 386.5).abs() < 0.05);
}

/// Barker and Puckett, Design of Highway Bridges, 35-ft span: 1.33 x 387.5 + 98 = 613.4, and MBE
/// example A1, 65-ft span: 1.33 x 890 + 338 = 1,521.7; both from memory and both at mid-span.
#[test]
fn hl93_at_midspan_of_two_worked_examples() {
    let hl93 = Vehicle::built_in("HL-93").unwrap();
    for (span, expected) in [(35.0, 613.4), (65.0, 1521.7)] {
        let found = moment_at(&hl93, Feet(span), Feet(span / 2.0), 1.33).unwrap();
        assert!((found.0 - expected).abs() < 0.06, "{span} ft: {found}");
        let most = live("HL-93", span, 0.33).moment.total;
        assert!(most >= found && most.0 < 1.02 * found.0, "{most} anywhere, {found} midway");
    }
}

/// LRFD 3.6.1.3.2: at 60 ft the truck alone deflects more than a quarter of it with the lane;
/// by hand the lane alone: 5 x 0.64 x 60^4 / 384 = 108,000 kip-ft3.
#[test]
fn deflection_of_hl93_is_the_larger_of_two_cases() {
    let hl93 = Vehicle::built_in("HL-93").unwrap();
    let hs20 = Vehicle { lane: None, ..Vehicle::built_in("HS20").unwrap() };
    let truck = deflection(&hs20, Feet(60.0), Ratio(0.33)).unwrap();
    let both = deflection(&hl93, Feet(60.0), Ratio(0.33)).unwrap();
    assert!((both - truck.max(truck / 4.0 + 108_000.0)).abs() < 1e-6 * both);
}

#[test]
fn stations_never_exceed_the_greatest_moment_and_the_last_is_midspan() {
    for name in crate::model::vehicles::BUILT_IN.iter().map(|known| known.name) {
        for span in [17.3, 48.9, 66.0, 88.8] {
            let found = live(name, span, 0.33);
            let most = found.stations.iter().copied().fold(KipFeet(0.0), KipFeet::max);
            assert!(most.0 <= found.moment.total.0 + 1e-9, "{name} at {span} ft");
            assert!(most.0 > 0.97 * found.moment.total.0, "{name} at {span} ft");
        }
    }
    assert_eq!(station(Feet(60.0), STATIONS - 1), Feet(30.0));
}

#[test]
fn what_cannot_be_rated_is_said() {
    let rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
    let of = |span, names: &[&str]| {
        let names: Vec<_> = names.iter().map(|&n| n.to_owned()).collect();
        Effects::for_span(Feet(span), Feet(6.0), &names, &rules)
            .map(|_| ())
            .map_err(|e| e.to_string())
    };
    assert_eq!(of(60.0, &["HS20", "type 3"]), Ok(()));
    for (span, names, words) in [
        (
            0.0,
            &["HS20", "H20"][..],
            "cannot be rated: a span of 0 ft with ends of up to 6 ft beyond it is none",
        ),
        (
            f64::NAN,
            &["HS20"],
            "cannot be rated: a span of NaN ft with ends of up to 6 ft beyond it is none",
        ),
        (60.0, &[], "cannot be rated: the crossing names no vehicle"),
        (
            60.0,
            &["HS99"],
            "cannot be rated: no vehicle is named `HS99`; `spanyard vehicles` lists them all",
        ),
    ] {
        assert_eq!(of(span, names), Err(words.to_owned()));
    }
}
