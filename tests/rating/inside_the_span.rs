//! Moments at sections away from mid-span, as girders that taper are rated with.

use spanyard::quantity::{Feet, Ratio};
use spanyard::rate::effects::{self, Live};
use spanyard::rate::envelope;
use spanyard::rate::vehicles::Vehicle;

/// Closed forms of the HS20 truck and of the tandem at a section: PCI Bridge Design Manual, tables of
/// chapter 8, read as another program has them; its 9.33 and 4.67 ft are 28 / 3 and 14 / 3. They hold
/// where the whole truck stands on the span, from 42 ft on.
#[test]
fn closed_forms_of_a_design_manual() {
    let hl93 = Vehicle::built_in("HL-93").unwrap();
    let lane = hl93.lane.unwrap().uniform.0;
    for span in (42..=130).map(f64::from) {
        for part in 1..=20 {
            let x = span * f64::from(part) / 40.0;
            let beyond = span - x;
            let rear = 72.0 * x * (beyond - 28.0 / 3.0) / span;
            let middle = 72.0 * x * (beyond - 14.0 / 3.0) / span - 112.0;
            let truck = if x / span <= 1.0 / 3.0 { rear } else { middle };
            let tandem = 50.0 * x * (beyond - 2.0) / span;
            for (train, form) in hl93.trains.iter().zip([truck, tandem]) {
                let found = envelope::moment_at(train, Feet(span), Feet(x)).unwrap().0;
                assert!((found - form).abs() < 1e-9 * form, "{span} ft, {x} ft: {found}, {form}");
            }
            let both = effects::moment_at(&hl93, Feet(span), Feet(x), 1.33).unwrap().0;
            let form = 1.33 * truck.max(tandem) + lane * x * beyond / 2.0;
            assert!((both - form).abs() < 1e-9 * form, "{span} ft, {x} ft: {both}, {form}");
        }
    }
}

/// 100 ft: read in the verification notes of another program, its author's own hand calculation.
#[test]
fn a_hand_calculation_at_100_ft() {
    let (span, middle) = (Feet(100.0), Feet(50.0));
    let hl93 = Vehicle::built_in("HL-93").unwrap();
    for (train, moment) in hl93.trains.iter().zip([1520.0, 1200.0]) {
        assert!((envelope::moment_at(train, span, middle).unwrap().0 - moment).abs() < 1e-9);
    }
    let both = effects::moment_at(&hl93, span, middle, 1.0).unwrap().0;
    assert!((both - 2320.0).abs() < 1e-9);
    let lane = Vehicle { trains: vec![], ..hl93.clone() };
    let quarter = effects::moment_at(&lane, span, Feet(25.0), 1.0).unwrap().0;
    assert!((quarter - 600.0).abs() < 1e-9);
}

/// The HS20 truck anywhere on the span, `18 L + 392 / L - 280` from 33.8 ft on, and 627.9 kip-ft at
/// 50 ft: both read in the tests of the program `CivilPy` (2026), which names no book.
#[test]
fn the_greatest_moment_of_hs20_in_a_closed_form() {
    let hs20 = Vehicle { lane: None, ..Vehicle::built_in("HS20").unwrap() };
    for tenths in 338..=1300 {
        let span = f64::from(tenths) / 10.0;
        let (none, still) = (Feet(0.0), Ratio(0.0));
        let moment = Live::of(&hs20, Feet(span), none, still, still).unwrap().moment;
        let form = 18.0 * span + 392.0 / span - 280.0;
        assert!((moment.total.0 - form).abs() < 1e-4 * form, "{span} ft: {}", moment.total);
        if tenths == 500 {
            assert!((moment.total.0 - 627.9).abs() < 0.1);
            assert!(((moment.section.0 - 25.0).abs() - 7.0 / 3.0).abs() < 1e-9);
        }
    }
}
