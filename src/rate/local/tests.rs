//! Wheels on stringers and cross-members, by hand.

use super::*;
use crate::rate::vehicles::Vehicle;

fn of(part: Part, span: f64, spacing: f64) -> LocalMember {
    let modulus = CubicInches(20.0);
    LocalMember { part, measured: modulus, net: modulus, span: Feet(span), spacing: Feet(spacing) }
}

fn live(member: LocalMember, vehicle: &str, lanes: usize) -> f64 {
    member.live_moment(&Vehicle::built_in(vehicle).unwrap().trains, lanes).0
}

/// By hand: a wheel of 16 kips on 6 ft, 16 x 6 / 4 - 16 x (10 / 12) / 8 = 22.333; two wheels of
/// 12.5 kips 4 ft apart on 10 ft, 25 (5 - 1)2 / 10 = 40 against one alone at 31.25 - 1.302.
#[test]
fn wheels_on_a_stringer() {
    assert!((live(of(Part::Stringer, 6.0, 2.0), "HS20", 1) - 22.3333).abs() < 1e-4);
    assert!((live(of(Part::Stringer, 10.0, 2.0), "HL-93", 1) - 40.0).abs() < 1e-9);
    // Stringers 5 ft apart and two trucks 4 ft apart: two lines, each 2 ft off: 2 (1 - 2 / 5).
    assert!((live(of(Part::Stringer, 6.0, 5.0), "HS20", 2) - 1.2 * 22.3333).abs() < 1e-3);
}

/// By hand, lines at 0, 6, 10 and 16 ft: with stringers 8 ft apart a line stands on one, others 4 and
/// 6 ft beside it: 1 + 4 / 8 + 2 / 8; 12 ft apart also 10 ft beside: 1 + 8 / 12 + 6 / 12 + 2 / 12. One
/// truck: 1 + 2 / 8. Against every position in steps of half an inch.
#[test]
fn three_wheel_lines_where_stringers_stand_far_apart() {
    for (trucks, spacing, lines) in [
        (2, 8.0, 1.75),
        (2, 12.0, 1.0 + 16.0 / 12.0),
        (2, 5.0, 1.2),
        (2, 3.0, 1.0),
        (1, 8.0, 1.25),
        (1, 5.0, 1.0),
    ] {
        let found = wheel_lines(trucks, Feet(spacing));
        assert!((found - lines).abs() < 1e-12, "{trucks} at {spacing}: {found}");
    }
    for trucks in 1..=4 {
        for spacing in [2.0, 3.9, 4.1, 5.9, 6.1, 7.7, 9.4, 11.0, 15.5] {
            let places: Vec<f64> =
                (0..trucks).flat_map(|n| [10.0 * n as f64, 10.0 * n as f64 + 6.0]).collect();
            let stepped = (-480..=960).map(|step| {
                let stringer = f64::from(step) / 24.0;
                let part = |x: &f64| (1.0 - (x - stringer).abs() / spacing).max(0.0);
                places.iter().map(part).sum::<f64>()
            });
            let most = stepped.fold(0.0, f64::max);
            let found = wheel_lines(trucks, Feet(spacing));
            assert!((found - most).abs() < 1e-9, "{trucks} at {spacing}: {found}, {most}");
        }
    }
}

/// By hand: cross-members 5 ft apart take of HL-93's tandem one axle and 1/5 of the other, 15
/// kips a wheel line; of its truck 16. On 4.5 ft: 16 (4.5 / 4 - 20 / 96) = 14.667.
#[test]
fn wheels_on_a_cross_member() {
    assert!((live(of(Part::CrossMember, 4.5, 5.0), "HL-93", 1) - 14.6667).abs() < 1e-3);
    // 3 ft apart: the truck's 16 against one wheel of the tandem, 12.5: nothing to add.
    assert!((live(of(Part::CrossMember, 4.5, 3.0), "HL-93", 1) - 14.6667).abs() < 1e-3);
    // Ten feet apart: the tandem hands on 12.5 (1 + 6 / 10) = 20.
    let tandem = live(of(Part::CrossMember, 4.5, 10.0), "HL-93", 1);
    assert!((tandem - 20.0 * (4.5 / 4.0 - 20.0 / 96.0)).abs() < 1e-3);
}
