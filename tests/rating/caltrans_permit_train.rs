//! An agency's own axle train of fifteen axles, as a transportation department publishes its effects.
//!
//! Source: California Department of Transportation, Bridge Design Aids, "LRFD 9-81 Table of maximum
//! moments and shears for P-15 load", February 2008, "simple spans, one lane without dynamic load
//! allowance", read in a copy on a document site; figures as printed. They are "based on groups of two
//! 27 kip axles spaced 4'-6" apart".
//!
//! Layout inferred from the table, since no drawing of the train could be read: 27 kip, then, 18 ft
//! behind, seven such groups, 18 ft from group to group. The moments printed are the greatest at the
//! tenth points of the span, inferred likewise: at 20 ft 210.6, where anywhere it is 212.7. Left out:
//! 33 ft, where 422.3 is printed between 416.3 and 468.2 and should be 442.3, a misprint; and spans
//! above 100 ft, where several moments differ by up to 0.7 %.

use spanyard::model::rules::OwnVehicle;
use spanyard::quantity::{Feet, Kips};
use spanyard::rate::envelope;
use spanyard::rate::vehicles::Vehicle;

/// Span, ft, greatest moment, kip-ft, greatest shear, kip; in the order of the table.
const TABLE: &str = "\
    1 6.8 27.0; 2 13.5 27.0; 3 20.3 27.0; 4 27.0 27.0; 5 33.8 29.6; 6 40.5 33.7; \
    7 47.3 36.6; 8 55.1 38.8; 9 68.0 40.5; 10 81.0 41.8; 11 94.0 42.9; 12 106.9 43.8; \
    13 119.9 44.6; 14 132.8 45.3; 15 145.8 45.9; 16 158.8 46.4; 17 171.7 46.8; 18 184.7 47.2; \
    19 197.6 49.0; 20 210.6 50.6; 21 223.6 52.0; 22 236.5 53.4; 23 249.8 55.1; 24 263.3 57.3; \
    25 276.8 59.4; 26 290.3 61.2; 27 306.2 63.0; 28 325.6 64.6; 29 345.1 66.1; 30 364.5 67.5; \
    31 390.4 68.8; 32 416.3 70.0; 34 468.2 72.2; 35 494.1 73.3; 36 520.0 74.2; \
    37 545.9 75.9; 38 571.9 77.4; 39 597.8 78.9; 40 623.7 80.3; 42 688.5 83.9; 44 756.0 87.4; \
    46 830.3 90.7; 48 911.3 93.6; 50 992.3 96.4; 52 1073.3 98.9; 54 1154.3 101.2; 56 1235.3 104.4; \
    58 1316.3 107.3; 60 1397.3 110.7; 62 1478.3 114.1; 64 1566.0 117.3; 66 1660.5 120.2; \
    68 1755.0 123.1; 70 1849.5 125.7; 75 2126.3 132.8; 80 2430.0 140.9; 85 2760.8 148.5; \
    90 3098.3 155.2; 95 3435.8 162.8; 100 3780.0 170.9";

/// The table's last place is 0.1, and its figures are within one of it.
const OFF: f64 = 0.11;

#[test]
fn moments_at_tenth_points_and_end_shears_of_sixty_spans() {
    let mut spacings = vec![Feet(18.0)];
    for _ in 1..7 {
        spacings.extend([Feet(4.5), Feet(13.5)]);
    }
    spacings.push(Feet(4.5));
    let vehicle = Vehicle::own(&OwnVehicle {
        name: "permit train".to_owned(),
        axles_kip: vec![Kips(27.0); 15],
        spacings_ft: spacings,
        source: "California Department of Transportation".to_owned(),
    })
    .unwrap();
    let train = &vehicle.trains[0];
    let rows: Vec<Vec<f64>> = TABLE
        .split(';')
        .map(|row| row.split_whitespace().map(|number| number.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 60);
    for row in rows {
        let (span, moment, shear) = (row[0], row[1], row[2]);
        let at = |tenth: i32| Feet(span * f64::from(tenth) / 10.0);
        let most = (1..10)
            .map(|tenth| envelope::moment_at(train, Feet(span), at(tenth)).unwrap().0)
            .fold(0.0, f64::max);
        assert!((most - moment).abs() < OFF, "{span} ft: {most}, printed {moment}");
        let anywhere = envelope::max_moment(train, Feet(span)).unwrap().moment.0;
        assert!((most..1.03 * most).contains(&anywhere), "{span} ft: {anywhere} anywhere");
        let found = envelope::end_shear(train, Feet(span), Feet(0.0)).unwrap().shear.0;
        assert!((found - shear).abs() < OFF, "{span} ft: {found}, printed {shear}");
    }
}
