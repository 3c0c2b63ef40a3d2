//! Great circles and road miles.

use spanyard::model::place::Position;
use spanyard::price::road_miles;
use spanyard::quantity::Miles;

use crate::testkit::fixture::rules;

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position { latitude_deg, longitude_deg }
}

/// Mean radius of the Earth, 6,371.0088 km: H. Moritz, Geodetic Reference System 1980, Journal of
/// Geodesy 74 (2000), R1 (from memory). Statute mile, 1.609344 km: by definition.
const RADIUS_MI: f64 = 6_371.008_8 / 1.609_344;

/// Corners of regular solids on the sphere: the angles between them are known from geometry (edges
/// seen from the center: tetrahedron arccos(-1/3), octahedron a right angle, icosahedron arctan 2)
/// and owe nothing to the haversine formula.
#[test]
fn corners_of_regular_solids_are_as_far_apart_as_geometry_says() {
    let tetrahedron = (-1.0_f64 / 3.0).acos();
    let icosahedron = 2.0_f64.atan();
    let below = -(1.0_f64 / 3.0).asin().to_degrees(); // latitude of a tetrahedron's lower corners
    let ring = 0.5_f64.atan().to_degrees(); // latitude of an icosahedron's rings
    for (a, b, angle) in [
        (at(90.0, 0.0), at(below, 0.0), tetrahedron),
        (at(below, -120.0), at(below, 120.0), tetrahedron),
        (at(0.0, 0.0), at(0.0, 90.0), std::f64::consts::FRAC_PI_2),
        (at(0.0, -40.0), at(-90.0, 0.0), std::f64::consts::FRAC_PI_2),
        (at(90.0, 0.0), at(ring, -40.0), icosahedron),
        (at(ring, -40.0), at(ring, 32.0), icosahedron),
        (at(ring, -40.0), at(-ring, -4.0), icosahedron),
        (at(ring, 170.0), at(ring, -118.0), icosahedron), // across the date line
        (at(45.0, 10.0), at(-45.0, -170.0), std::f64::consts::PI), // the other side of the Earth
        (at(44.0, -40.0), at(44.0, -40.0), 0.0),
    ] {
        let found = a.distance(b);
        assert!((found.0 - angle * RADIUS_MI).abs() < 1e-4, "{a:?} to {b:?}: {found}");
        assert!((found.0 - b.distance(a).0).abs() < 1e-9, "there and back");
    }
}

/// A minute of arc is a nautical mile within a part in a thousand: 1,852 m, International
/// Hydrographic Conference, Monaco 1929 (from memory).
#[test]
fn a_minute_of_arc_is_a_nautical_mile() {
    let nautical_mile = 1.852 / 1.609_344;
    for (a, b) in [
        (at(44.0, -40.0), at(44.0 + 1.0 / 60.0, -40.0)),
        (at(0.0, -40.0), at(0.0, -40.0 - 1.0 / 60.0)),
    ] {
        let found = a.distance(b).0;
        assert!((found / nautical_mile - 1.0).abs() < 1e-3, "{found}");
    }
}

#[test]
fn road_miles_are_rounded_to_a_tenth_before_they_are_priced() {
    // Half a degree of a meridian: pi / 360 x 3,958.761 mi = 34.5467 mi, x 1.25 = 43.183.
    // Two degrees: 138.1867 mi, x 1.25 = 172.733.
    let haul = rules().haul;
    for (latitude, miles) in [(44.5, 43.2), (46.0, 172.7), (44.0, 0.0)] {
        assert_eq!(road_miles(at(44.0, -40.0), at(latitude, -40.0), &haul), Miles(miles));
    }
}
