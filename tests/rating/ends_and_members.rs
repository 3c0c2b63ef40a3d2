//! Ends beyond the bearings, bearings inside the bolsters, and the secondary members.

use spanyard::check::{Code, Outcome};
use spanyard::model::car::MemberCondition;
use spanyard::quantity::{CubicInches, Feet, Inches, Percent};
use spanyard::rate::factors::Zone;
use spanyard::rate::{Rating, rate_checks};

use crate::rating::support::{car, crossing, rules};

fn close(found: f64, by_hand: f64) {
    assert!((found - by_hand).abs() <= 6e-4 * by_hand.abs().max(1.0), "{found}, by hand {by_hand}");
}

/// Statics of free ends of 11.5 ft on 66 ft under a uniform load w (recomputed, reactions confirmed
/// with the package PyCBA): -66.125 w over the bearing, reaction 44.5 w.
#[test]
fn dead_load_of_the_ends_beyond_the_bearings() {
    let mut car = car();
    car.length = Some(Feet(89.0));
    car.truck_centers = Some(Feet(66.0));
    let mut rules = rules();
    rules.screen.max_overhang_ft = Feet(20.0);
    let rating = Rating::of(&car, &crossing(66.0, &["HS20"]), Feet(66.0), &rules).unwrap();
    let load = rating.dead.components() + rating.dead.surfacing();
    assert_eq!((rating.overhang, rating.trimmed), (Feet(11.5), Feet(0.0)));
    close(rating.dead_reaction.0, 44.5 * load.0);
    close(spanyard::rate::uniform::hogging(load, rating.overhang).0, 66.125 * load.0);
    // HS20 on 11.5 ft: one axle of 32 kips at the end, with the cap on impact: 32 x 11.5 x 1.30.
    close(rating.vehicles[0].hogging.0, 32.0 * 11.5 * 1.30);
}

/// Bearings inside the bolsters: the ends grow until they are trimmed to what the rules leave.
#[test]
fn ends_are_trimmed_to_the_rules_longest() {
    for (span, overhang, trimmed) in [(46.0, 6.0, 1.0), (50.0, 5.0, 0.0), (40.0, 6.0, 4.0)] {
        let rating = Rating::of(&car(), &crossing(span, &["HS20"]), Feet(span), &rules()).unwrap();
        assert_eq!((rating.overhang, rating.trimmed), (Feet(overhang), Feet(trimmed)));
    }
}

/// A girder that is shallow at its bearings rates least there once its ends are long enough.
#[test]
fn a_shallow_end_governs_over_the_bearing() {
    let mut car = car();
    car.length = Some(Feet(60.0));
    car.truck_centers = Some(Feet(40.0));
    let mut rules = rules();
    rules.screen.max_overhang_ft = Feet(12.0);
    if let Some(plates) = &mut car.girder.plates {
        plates.web_depth_at_trucks_in = Some(Inches(6.0));
    }
    let rating = Rating::of(&car, &crossing(40.0, &["HS20"]), Feet(40.0), &rules).unwrap();
    let factor = rating.vehicles[0].bending.by_allowable();
    assert_eq!((factor.zone, factor.section), (Zone::OverBearing, Feet(0.0)));
    // Live 32 x 10 x 1.30; the section with webs 6 in deep, depth 7.5: by hand I = 24 x 7.5^3 / 12 -
    // 23 x 6^3 / 12 = 429.75, S = 114.6, C = 0.55 x 36 x 114.6 / 12 = 189.09.
    close(factor.live.0, 416.0);
    close(factor.capacity.0, 189.09);
    // A shorter end takes the load off: 5 ft carry 208, and the span governs again or rates more.
    car.length = Some(Feet(50.0));
    let short = Rating::of(&car, &crossing(40.0, &["HS20"]), Feet(40.0), &rules).unwrap();
    assert!(short.vehicles[0].bending.by_allowable().factor > factor.factor);
}

/// Deep thin webs at mid-span may carry less shear than shallow ones at the bearing: the weaker count.
#[test]
fn webs_that_buckle_at_midspan_count_with_what_they_carry_there() {
    let mut car = car();
    if let Some(plates) = &mut car.girder.plates {
        (plates.web.width_in, plates.web.thickness_in) = (Inches(40.0), Inches(0.3125));
        plates.web_depth_at_trucks_in = Some(Inches(22.0));
    }
    let rating = Rating::of(&car, &crossing(46.0, &["HS20"]), Feet(46.0), &rules()).unwrap();
    // At the bearing 22 / 0.3125 = 70.4, below 71.08: 2 x 0.3125 x 22 = 13.75 in2, whole. At mid-span
    // 128: 1.57 x 29000 x 5 / 36 / 128^2 = 0.38596 of 25 in2 is 9.649; x 0.33 x 36 = 114.63 kip.
    let webs = rating.webs.unwrap();
    close(webs.depth_over_thickness, 128.0);
    close(webs.buckling.0, 0.385_96);
    let inventory = rating.vehicles[0].shear.as_ref().unwrap().by_allowable();
    close(inventory.capacity.0, 114.63);
    // Thicker webs buckle at neither place, and the smaller area at the bearing counts.
    if let Some(plates) = &mut car.girder.plates {
        plates.web.thickness_in = Inches(0.625);
    }
    let rating = Rating::of(&car, &crossing(46.0, &["HS20"]), Feet(46.0), &rules()).unwrap();
    close(rating.webs.unwrap().area.0, 2.0 * 0.625 * 22.0);
}

/// A girder that tapers is rated all along: never better than its section at mid-span alone, and
/// where the taper is strong the governing section lies off mid-span.
#[test]
fn a_tapering_girder_is_rated_along_its_length() {
    let x = crossing(46.0, &["HS20", "Type 3S2"]);
    let straight = Rating::of(&car(), &x, Feet(46.0), &rules()).unwrap();
    let mut car = car();
    let mut last = straight.vehicles[0].bending.by_factored().factor;
    for depth in [24.0, 18.0, 12.0, 6.0] {
        if let Some(plates) = &mut car.girder.plates {
            plates.web_depth_at_trucks_in = Some(Inches(depth));
        }
        let tapering = Rating::of(&car, &x, Feet(46.0), &rules()).unwrap();
        let factor = tapering.vehicles[0].bending.by_factored();
        assert!(factor.factor <= last, "{depth} in at the trucks");
        last = factor.factor;
        if depth < 10.0 {
            assert!(factor.section < Feet(15.0), "governs at {}", factor.section);
        }
    }
}

/// Dense scan of a tapering girder: the stations miss less than a thousandth.
#[test]
fn the_stations_are_close_enough() {
    let mut car = car();
    if let Some(plates) = &mut car.girder.plates {
        plates.web_depth_at_trucks_in = Some(Inches(13.0));
    }
    let rules = rules();
    for name in ["HS20", "Type 3", "Type 3-3", "NRL"] {
        let rating = Rating::of(&car, &crossing(46.0, &[name]), Feet(46.0), &rules).unwrap();
        let vehicle = &rating.vehicles[0];
        let trains = &vehicle.on_span.vehicle.trains;
        let load = rating.dead.components();
        let scan = (1..=2300).map(|i| {
            let x = Feet(f64::from(i) / 100.0);
            let modulus = rating.girder.modulus_at(x - Feet(23.0));
            let capacity = 0.55 * 36.0 * modulus.0 / 12.0;
            let dead = load.0 * x.0 * (46.0 - x.0) / 2.0;
            let live = trains
                .iter()
                .map(|t| spanyard::rate::envelope::moment_at(t, Feet(46.0), x).unwrap().0)
                .fold(0.0, f64::max);
            (capacity - dead) / (live * (1.0 + 50.0 / 171.0))
        });
        let least = scan.fold(f64::INFINITY, f64::min);
        let found = vehicle.bending.by_allowable().factor.0;
        assert!(found < least * 1.001 && found > least * 0.99, "{name}: {found} against {least}");
    }
}

/// Stringers and cross-members: not checked without dimensions, rated with them.
#[test]
fn secondary_members_are_rated_where_they_are_measured() {
    let outcome = |car: &_, part: &str| {
        let checks = rate_checks(car, &crossing(40.0, &["HS20"]), Feet(40.0), &rules());
        let found = checks.iter().find(|c| c.code == Code::LocalMembers && c.part == part).unwrap();
        (found.outcome, found.measured.number(), found.note.clone())
    };
    let mut car = car();
    assert_eq!(outcome(&car, "stringer").0, Outcome::NotChecked);
    car.secondary.stringer_modulus = Some(CubicInches(20.0));
    car.secondary.stringer_spacing = Some(Feet(2.0));
    car.secondary.cross_member_spacing = Some(Feet(6.0));
    assert_eq!(
        outcome(&car, "stringer").2,
        "stringers not inspected; they often control in flat cars: have them checked"
    );
    car.members.stringers = Some(MemberCondition::Corroded(Percent(10.0)));
    // By hand: wheel 16 kips on 6 ft, 22.333 kip-ft; dead 45000 / 60 / 9 + 17 = 100.33 psf x 2 ft on
    // 6 ft: 0.903. S = 18: C = 0.85 x 36 x 18 / 12 = 45.9; (45.9 - 1.25 x 0.903) / (1.75 x 1.2 x 1.33
    // x 22.333) = 0.718. Allowable: (29.7 - 0.903) / (1.30 x 22.333) = 0.992.
    let (found, factor, _) = outcome(&car, "stringer");
    assert_eq!(found, Outcome::Fail);
    close(factor.unwrap(), 0.7178);
    assert_eq!(outcome(&car, "cross-member").0, Outcome::NotChecked);
    car.secondary.cross_member_modulus = Some(CubicInches(40.0));
    car.members.cross_members = Some(MemberCondition::Sound);
    // By hand: 16 kips handed on whole; on 4.5 ft 16 (1.125 - 0.20833) = 14.667; dead 100.33 psf x 6
    // ft on 4.5 ft: 1.524; (102 - 1.905) / (2.1 x 1.33 x 14.667) = 2.4435.
    let (found, factor, _) = outcome(&car, "cross-member");
    assert_eq!(found, Outcome::Pass);
    close(factor.unwrap().min(9.0), 2.4435_f64.min((66.0 - 1.524) / (1.3 * 14.667)));
    // A posting of the bridge does not excuse a wheel on a stringer.
    let mut posted = crossing(40.0, &["HS20"]);
    posted.least_posting = Some(spanyard::quantity::Tons(5.0));
    let checks = rate_checks(&car, &posted, Feet(40.0), &rules());
    let local = checks.iter().find(|c| c.code == Code::LocalMembers).unwrap();
    assert_eq!(local.outcome, Outcome::Fail);
}

/// Camber left under what is laid on the bare car: 5 w L4 / (384 E I) of the added load, and the
/// camber's own share of a shorter span.
#[test]
fn camber_left_under_the_dead_load() {
    let rating = Rating::of(&car(), &crossing(40.0, &["HS20"]), Feet(40.0), &rules()).unwrap();
    // Added: 1.1385 - 0.750 = 0.3885 kip/ft; 5 x 0.3885 x 40^4 x 1728 / (384 x 29000 x 9630.844).
    let added: f64 = 5.0 * 0.3885 * 2_560_000.0 * 1728.0 / (384.0 * 29_000.0 * 9630.844);
    close(rating.added_dead_deflection.unwrap().0, added);
    close(rating.camber_left.unwrap().0, (40.0_f64 / 46.0).powi(2) - added);
}
