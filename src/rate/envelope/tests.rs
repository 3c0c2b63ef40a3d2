//! Moments, shears and deflections against published tables and sums by hand.

use super::*;
use crate::quantity::KipsPerFoot;
use crate::rate::train::Spacing;
use crate::rate::vehicles::Vehicle;

fn truck(name: &str) -> Train {
    Vehicle::built_in(name).unwrap().trains[0].clone()
}

fn moment(name: &str, span: f64) -> f64 {
    max_moment(&truck(name), Feet(span)).unwrap().moment.0
}

fn shear(name: &str, span: f64) -> f64 {
    end_shear(&truck(name), Feet(span), Feet(0.0)).unwrap().shear.0
}

/// AASHTO Standard Specifications, appendix A (from memory; 627.9 at 50 ft also read in the tests
/// of the program `CivilPy`), for the HS20 truck; spans at which the truck governs over the lane
/// load.
#[test]
fn hs20_truck_moments_of_the_published_table() {
    let table = [(50.0, 627.9), (60.0, 806.5), (70.0, 985.6), (80.0, 1164.9), (100.0, 1524.0)];
    for (span, expected) in table {
        assert!((moment("HS20", span) - expected).abs() < 0.1, "{span} ft: {expected}");
    }
}

/// End shears of the HS20 truck, the same appendix (from memory).
#[test]
fn hs20_truck_end_shears_of_the_published_table() {
    for (span, table) in [(20.0, 41.6), (40.0, 55.2), (60.0, 60.8), (80.0, 63.6), (100.0, 65.3)] {
        assert!((shear("HS20", span) - table).abs() < 0.05, "{span} ft: {table}");
    }
}

/// M. A. Khan, Bridge and Highway Structure Rehabilitation and Repair, McGraw-Hill 2010, table
/// 6.7, H20 (read). The table has 147.92 at 20 ft, which is less than 160.0 with the 32-kip axle
/// at mid-span and the 8-kip axle off the span, so the axle alone is taken here: 32 x 20 / 4.
#[test]
fn h20_truck_moments_of_the_published_table() {
    assert!((moment("H20", 20.0) - 160.0).abs() < 1e-9);
    for (span, table) in [(30.0, 246.6), (40.0, 346.0), (50.0, 445.6)] {
        assert!((moment("H20", span) - table).abs() < 0.06, "{span} ft: {table}");
    }
    // Shear at 20 ft by hand: 32 + 8 x 6 / 20.
    assert!((shear("H20", 20.0) - 34.4).abs() < 1e-9);
}

/// The three forms of the HS20 moment by hand: one axle, two axles, the whole truck.
#[test]
fn hs20_truck_moment_is_the_largest_of_its_three_forms() {
    for tenths in 80..1200 {
        let l = f64::from(tenths) / 10.0;
        let one = 8.0 * l;
        let two = if l > 14.0 { 64.0 * (l / 2.0 - 3.5).powi(2) / l } else { 0.0 };
        let all = if l > 28.0 { 72.0 * (l / 2.0 - 7.0 / 3.0).powi(2) / l - 112.0 } else { 0.0 };
        let most = one.max(two).max(all);
        assert!((moment("HS20", l) - most).abs() < 1e-9 * most, "{l} ft");
    }
}

/// Barker and Puckett, Design of Highway Bridges, 35-ft span, and MBE example A1, 65-ft span
/// (both from memory, arithmetic redone): moments at mid-span.
#[test]
fn midspan_moments_of_two_worked_examples() {
    let hl93 = Vehicle::built_in("HL-93").unwrap();
    for (span, truck, tandem) in [(35.0, 350.0, 387.5), (65.0, 890.0, 762.5)] {
        for (train, expected) in hl93.trains.iter().zip([truck, tandem]) {
            let found = moment_at(train, Feet(span), Feet(span / 2.0)).unwrap();
            assert!((found.0 - expected).abs() < 1e-9, "{span} ft {}: {found}", train.name());
        }
    }
}

#[test]
fn the_fifteens_are_three_quarters_of_the_twenties() {
    for span in [13.0, 29.3, 56.0, 66.0, 88.8] {
        assert!((moment("H15", span) - 0.75 * moment("H20", span)).abs() < 1e-9);
        assert!((moment("HS15", span) - 0.75 * moment("HS20", span)).abs() < 1e-9);
        assert!((shear("HS15", span) - 0.75 * shear("HS20", span)).abs() < 1e-9);
    }
}

/// The argument at [`Train`]: the least spacing governs. All spacings are tried at every span.
#[test]
fn no_longer_rear_spacing_of_an_hs_truck_governs() {
    for span in (10..=130).map(|l| f64::from(l) * 0.97) {
        let most = (moment("HS20", span), shear("HS20", span));
        for step in 0..=64 {
            let rear = Feet(14.0 + f64::from(step) * 0.25);
            let spacings = [Spacing::fixed(Feet(14.0)), Spacing::fixed(rear)];
            let longer =
                Train::new("truck", &[Kips(8.0), Kips(32.0), Kips(32.0)], &spacings).unwrap();
            let m = max_moment(&longer, Feet(span)).unwrap().moment.0;
            let v = end_shear(&longer, Feet(span), Feet(0.0)).unwrap().shear.0;
            assert!(m <= most.0 + 1e-9 && v <= most.1 + 1e-9, "{span} ft, {rear}");
        }
    }
}

#[test]
fn a_uniform_load_beside_the_train_moves_the_section_toward_midspan() {
    let train = truck("HS20");
    let alone = max_moment(&train, Feet(60.0)).unwrap();
    let both = max_moment_with(&train, 1.33, KipsPerFoot(0.64), Feet(60.0)).unwrap();
    assert!((both.section.0 - 30.0).abs() < (alone.section.0 - 30.0).abs());
    assert!(both.moment <= alone.moment);
    // By hand: s = (k W - k B / L + w L / 2) / (2 k W / L + w), the middle axle as the section:
    // B = 32 x 14 - 8 x 14 = 336, so s = 30 - 1.33 x 336 / 60 / (2 x 1.33 x 72 / 60 + 0.64).
    let s = 30.0 - 1.33 * 336.0 / 60.0 / (2.0 * 1.33 * 72.0 / 60.0 + 0.64);
    assert!((both.section.0 - s).abs() < 1e-9);
}

/// P L^3 / 48 for one axle at mid-span; two equal axles a apart stand symmetrically on a long
/// span: 2 P b (3 L^2 - 4 b^2) / 48 with b = (L - a) / 2.
#[test]
fn deflections_by_hand() {
    let one = Train::new("truck", &[Kips(10.0)], &[]).unwrap();
    let found = max_midspan_deflection(&one, Feet(40.0)).unwrap();
    assert!((found.stiffness_times - 10.0 * 40.0_f64.powi(3) / 48.0).abs() < 1e-6);
    assert_eq!(found.front, Feet(20.0));
    let two =
        Train::new("tandem", &[Kips(25.0), Kips(25.0)], &[Spacing::fixed(Feet(4.0))]).unwrap();
    let b: f64 = 28.0;
    let hand = 2.0 * 25.0 * b * (3.0 * 60.0 * 60.0 - 4.0 * b * b) / 48.0;
    let found = max_midspan_deflection(&two, Feet(60.0)).unwrap();
    assert!((found.stiffness_times - hand).abs() < 1e-6 * hand);
    assert!((found.front - Feet(28.0)).abs() < Feet(1e-6));
}

/// By hand, a tandem of 25 kips at 4 ft on 50 ft with 6 ft of deck beyond the bearing: shear with
/// the second axle at the bearing and the first 4 ft out, 25 (1 + 4 / 50) = 27, less than both on
/// the span, 25 (1 + 46 / 50) = 48; three axles: 25 + 25 x 46 / 50 + 25 x 4 / 50 = 50.
#[test]
fn axles_beyond_the_bearing() {
    let tandem = Train::new("tandem", &[Kips(25.0); 2], &[Spacing::fixed(Feet(4.0))]).unwrap();
    let three = Train::new("truck", &[Kips(25.0); 3], &[Spacing::fixed(Feet(4.0)); 2]).unwrap();
    let (span, out) = (Feet(50.0), Feet(6.0));
    assert!((end_shear(&tandem, span, out).unwrap().shear.0 - 48.0).abs() < 1e-9);
    // All three on the span: 25 (1 + 46 / 50 + 42 / 50) = 69; one out: 50.
    assert!((end_shear(&three, span, out).unwrap().shear.0 - 69.0).abs() < 1e-9);
    // Reaction with the first axle at the end of the deck: 25 (56 + 52 + 48) / 50 = 78.
    let most = reaction(&three, span, out).unwrap();
    assert!((most.shear.0 - 78.0).abs() < 1e-9 && most.at_end);
    // Moment over the bearing: 25 x 6 + 25 x 2.
    assert_eq!(hogging(&three, out).moment, KipFeet(200.0));
    assert_eq!(hogging(&three, Feet(0.0)).moment, KipFeet(0.0));
    // A light axle 3 ft outside the bearing adds 1 x 3 / 50 to what stands inside.
    let loads = [Kips(1.0), Kips(30.0), Kips(30.0), Kips(1.0)];
    let spacings = [3.0, 4.0, 3.0].map(|s| Spacing::fixed(Feet(s)));
    let truck = Train::new("truck", &loads, &spacings).unwrap();
    let inside = end_shear(&truck, span, Feet(0.0)).unwrap().shear.0;
    assert!((inside - (30.0 + 30.0 * 46.0 / 50.0 + 43.0 / 50.0)).abs() < 1e-9);
    assert!((end_shear(&truck, span, out).unwrap().shear.0 - inside - 0.06).abs() < 1e-9);
}

/// An end longer than the least distance lets a longer one ask more. HS20 on 30 ft with ends of 20 ft,
/// by hand: an axle of 32 kip right inside the bearing, the other 20 ft out at the end of the deck,
/// which the least distance of 14 ft does not reach: 32 + 32 x 20 / 30, and the steering axle
/// 14 ft inside, 8 x 16 / 30: 57.6; with ends of 30 ft 68.3. The notional load on 40 ft with ends of
/// 14 ft: steering axle at the end of the deck, 6 x 14 / 40, the others from the bearing on, 8 + 8 x 36 /
/// 40 + 17 (32 + 28) / 40 + 8 (24 + 20 + 16) / 40: 54.8; at its least of 6 ft it counts 6 x 6 / 40, 1.2
/// less.
#[test]
fn a_distance_that_may_vary_reaches_for_the_end_of_the_deck() {
    let of = |name: &str, span: f64, end: f64| {
        let peak = end_shear(&truck(name), Feet(span), Feet(end)).unwrap();
        (peak.shear.0, peak.spacing)
    };
    let (shear, spacing) = of("HS20", 30.0, 20.0);
    assert!((shear - (32.0 + 32.0 * 20.0 / 30.0 + 8.0 * 16.0 / 30.0)).abs() < 1e-9, "{shear}");
    assert_eq!(spacing, Some(Feet(20.0)));
    assert!((of("HS20", 30.0, 30.0).0 - 68.267).abs() < 1e-3);
    let rear = 8.0 + 8.0 * 0.9 + 17.0 * (0.8 + 0.7) + 8.0 * (0.6 + 0.5 + 0.4);
    let (shear, spacing) = of("NRL", 40.0, 14.0);
    assert!((shear - (rear + 6.0 * 14.0 / 40.0)).abs() < 1e-9, "{shear}");
    assert_eq!(spacing, Some(Feet(14.0)));
}

/// All distances and positions in small steps, any number of rear axles: never more.
#[test]
fn no_distance_position_or_number_of_rear_axles_gives_more_shear() {
    for (name, least, most, front) in [("HS20", 14.0, 30.0, 1), ("NRL", 6.0, 14.0, 0)] {
        let train = truck(name);
        for (span, end) in [(12.0, 3.0), (25.0, 6.0), (31.0, 9.3), (44.0, 12.1), (30.0, 20.0)] {
            let exact = end_shear(&train, Feet(span), Feet(end)).unwrap().shear.0;
            let mut brute = 0.0_f64;
            for step in 0..=80 {
                let gap = least + (most - least) * f64::from(step) / 80.0;
                let places: Vec<f64> = (train.axles().iter().enumerate())
                    .map(|(i, a)| a.offset.0 + if i > front { gap - least } else { 0.0 })
                    .collect();
                for kept in front + 2..=places.len() {
                    for (sign, position) in (-600..600)
                        .flat_map(|p| [(1.0, f64::from(p) * 0.1), (-1.0, f64::from(p) * 0.1)])
                    {
                        let of = |(axle, place): (&Axle, &f64)| {
                            let x = position + sign * place;
                            let ordinate = match x {
                                x if (0.0..=span).contains(&x) => (span - x) / span,
                                x if (-end..0.0).contains(&x) => -x / span,
                                _ => 0.0,
                            };
                            axle.load.0 * ordinate
                        };
                        let all = train.axles()[..kept].iter().zip(&places);
                        brute = brute.max(all.map(of).sum());
                    }
                }
            }
            assert!(
                brute <= exact + 1e-9 && brute > exact * 0.97,
                "{name} {span} {end}: {brute} {exact}"
            );
        }
    }
}

#[test]
fn no_span_no_number() {
    let train = truck("H20");
    for span in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(max_moment(&train, Feet(span)).is_none());
        assert!(moment_at(&train, Feet(span), Feet(0.0)).is_none());
        assert!(end_shear(&train, Feet(span), Feet(0.0)).is_none());
        assert!(max_midspan_deflection(&train, Feet(span)).is_none());
    }
    assert!(moment_at(&train, Feet(20.0), Feet(20.5)).is_none());
}
