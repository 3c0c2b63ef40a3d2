//! Values of general-purpose libraries, made once by the scripts in `tests/reference`, which name
//! the versions and say how. The tests read the values only.

use spanyard::model::car::{GirderPlates, Plate};
use spanyard::quantity::{Feet, Percent, Ratio};
use spanyard::rate::effects::Live;
use spanyard::rate::envelope;
use spanyard::rate::section::{NetPlates, Section};
use spanyard::rate::vehicles::Vehicle;

use crate::rating::support::plate;

/// A row's name and numbers.
fn rows(text: &'static str) -> Vec<(&'static str, Vec<f64>)> {
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| {
            let (name, numbers) = line.split_once(',').unwrap();
            (name, numbers.split(',').map(|number| number.parse().unwrap()).collect())
        })
        .collect()
}

/// Legal loads, an emergency vehicle and the HS20 truck at spans that are not round numbers.
/// anaStruct's values have three or four decimals and stand beside the bearing by 1e-6 ft; PyCBA's
/// envelope comes in steps of 0.05 ft, so it may lie below by what a step misses and never above.
#[test]
fn moving_loads_as_two_beam_libraries_have_them() {
    let rows = rows(include_str!("../reference/moving_loads.csv"));
    assert_eq!(rows.len(), 35);
    for (name, numbers) in rows {
        let [span, moment_step, shear_step, moment_exact, shear_exact] = numbers[..] else {
            panic!("{name} has {} numbers", numbers.len());
        };
        let train = &Vehicle::built_in(name).unwrap().trains[0];
        let moment = envelope::max_moment(train, Feet(span)).unwrap().moment.0;
        let shear = envelope::end_shear(train, Feet(span), Feet(0.0)).unwrap().shear.0;
        assert!((moment - moment_exact).abs() < 2e-3, "{name}, {span} ft: {moment}");
        assert!((shear - shear_exact).abs() < 2e-4, "{name}, {span} ft: {shear}");
        for (found, step) in [(moment, moment_step), (shear, shear_step)] {
            let missed = (found - step) / found;
            assert!(
                (-1e-5..1.2e-3).contains(&missed),
                "{name}, {span} ft: {found}, {step} in steps"
            );
        }
    }
}

#[test]
fn sections_as_a_finite_element_library_has_them() {
    let rows = rows(include_str!("../reference/sections.csv"));
    assert_eq!(rows.len(), 6);
    for (name, numbers) in rows {
        let (measures, expected) = numbers.split_at(11);
        let Section { area, centroid, inertia, top, bottom, .. } = section(measures);
        let found = [area.0, centroid.0, inertia.0, top.0, bottom.0];
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < 1e-5 * expected, "{name}: {found}, not {expected}");
        }
    }
}

fn section(measures: &[f64]) -> Section {
    let at = |place: usize| plate(measures[place], measures[place + 1]);
    let cover = |place| Some(at(place)).filter(|cover: &Plate| cover.width_in.0 > 0.0);
    let web = plate(measures[1], measures[2]);
    let plates = GirderPlates {
        webs: measures[0] as u8,
        web,
        web_depth_at_trucks_in: None,
        top_flange: at(3),
        bottom_flange: at(5),
        top_cover: cover(7),
        bottom_cover: cover(9),
        web_loss_pct: Percent(0.0),
        top_loss_pct: Percent(0.0),
        bottom_loss_pct: Percent(0.0),
    };
    NetPlates::of(&plates).unwrap().section(web.width_in)
}

/// Gross weight, kip, and wheelbase, ft: read in the tests of the program CivilPy (2026), which names
/// figures D6A-1 and D6A-2 of the Manual for Bridge Evaluation and the FHWA memorandum on emergency
/// vehicles.
#[test]
fn legal_and_emergency_vehicles_as_another_program_has_them() {
    for (name, gross, wheelbase) in [
        ("HS20", 72.0, 28.0),
        ("Type 3", 50.0, 19.0),
        ("Type 3S2", 72.0, 41.0),
        ("Type 3-3", 80.0, 54.0),
        ("SU4", 54.0, 18.0),
        ("SU5", 62.0, 22.0),
        ("SU6", 69.5, 26.0),
        ("SU7", 77.5, 30.0),
        ("EV2", 57.5, 15.0),
        ("EV3", 86.0, 19.0),
    ] {
        let train = &Vehicle::built_in(name).unwrap().trains[0];
        assert_eq!((train.gross().0, train.wheelbase().0), (gross, wheelbase), "{name}");
    }
}

/// AISC W33X130 with a cover plate of 10 1/2 by 5/8 in under it. The shape's area 38.3, depth 33.1 and
/// inertia 6,710 are read in the tables of the bridge library WBFL; the plate is added by hand. Three
/// plates leave out the shape's fillets, so they come out a little low and never high.
#[test]
fn a_rolled_beam_with_a_cover_plate() {
    let (area, depth, inertia): (f64, f64, f64) = (38.3, 33.1, 6710.0);
    let (width, thickness): (f64, f64) = (10.5, 0.625);
    let cover = width * thickness;
    let middle = thickness + depth / 2.0;
    let centroid = (area * middle + cover * thickness / 2.0) / (area + cover);
    let by_hand = inertia
        + area * (middle - centroid).powi(2)
        + width * thickness.powi(3) / 12.0
        + cover * (centroid - thickness / 2.0).powi(2);
    let (flange, thick, web) = (11.5, 0.855, 0.58);
    let clear = depth - 2.0 * thick;
    let found =
        section(&[1.0, clear, web, flange, thick, flange, thick, 0.0, 0.0, width, thickness]);
    for (ours, hand) in [
        (found.inertia.0, by_hand),
        (found.bottom.0, by_hand / centroid),
        (found.top.0, by_hand / (depth + thickness - centroid)),
    ] {
        assert!(ours < hand && ours > 0.98 * hand, "{ours} for {hand}");
    }
}

/// The published tables of H and HS loads (AASHTO Standard Specifications, appendix A, from memory)
/// are the greatest of a few closed forms; here at every foot of their range for simple spans that a
/// car can have, without impact. Single values of the tables stand beside the code.
#[test]
fn h_and_hs_loads_over_the_range_of_their_tables() {
    let most = |forms: &[f64]| forms.iter().copied().fold(0.0, f64::max);
    // Weight of the axles on the span, distance of their resultant from the axle in question.
    let moment = |weight: f64, arm: f64, l: f64, before: f64| {
        weight * (l / 2.0 - arm / 2.0).powi(2) / l - before
    };
    for l in (10..=130).map(f64::from) {
        // In units of the 20s: the 15s are three quarters of them.
        let h_moment = most(&[
            8.0 * l,
            if l > 14.0 { moment(40.0, 2.8, l, 0.0) } else { 0.0 },
            0.64 * l * l / 8.0 + 18.0 * l / 4.0,
        ]);
        let h_shear = most(&[32.0 + 8.0 * (l - 14.0).max(0.0) / l, 0.32 * l + 26.0]);
        let hs_moment = most(&[
            8.0 * l,
            if l > 14.0 { moment(64.0, 7.0, l, 0.0) } else { 0.0 },
            if l > 28.0 { moment(72.0, 14.0 / 3.0, l, 112.0) } else { 0.0 },
            0.64 * l * l / 8.0 + 18.0 * l / 4.0,
        ]);
        let hs_shear = most(&[
            32.0 + 32.0 * (l - 14.0).max(0.0) / l + 8.0 * (l - 28.0).max(0.0) / l,
            0.32 * l + 26.0,
        ]);
        for (name, part, moment, shear) in [
            ("H15", 0.75, h_moment, h_shear),
            ("H20", 1.0, h_moment, h_shear),
            ("HS15", 0.75, hs_moment, hs_shear),
            ("HS20", 1.0, hs_moment, hs_shear),
        ] {
            let vehicle = Vehicle::built_in(name).unwrap();
            let (none, still) = (Feet(0.0), Ratio(0.0));
            let live = Live::of(&vehicle, Feet(l), none, still, still).unwrap();
            let (m, v) = (live.moment.total.0, live.shear.total.0);
            assert!((m - part * moment).abs() < 1e-9 * m, "{name}, {l} ft: {m}");
            assert!((v - part * shear).abs() < 1e-9 * v, "{name}, {l} ft: {v}");
        }
    }
}
