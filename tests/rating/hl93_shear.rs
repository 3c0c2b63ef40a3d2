//! End shears of HL-93 from 70 to 130 ft, and the moments of its lane load.
//!
//! Source: M. A. Khan, Bridge and Highway Structure Rehabilitation and Repair, McGraw-Hill 2010, p. 167,
//! columns "max lane midspan moment", "max lane shear / reaction" and "total shear including governing
//! truck", read; figures as printed. Without impact, as the figures show (the footnotes were not
//! readable). Its total moments are left out: they are those of the tandem, not of the truck that
//! governs.

use spanyard::quantity::{Feet, Ratio};
use spanyard::rate::effects::{self, Governs, Live};
use spanyard::rate::vehicles::Vehicle;

/// Span, ft; lane moment, kip-ft; lane shear and total shear, kip.
const TABLE: [(f64, f64, f64, f64); 12] = [
    (70.0, 392.0, 22.4, 84.8),
    (75.0, 450.0, 24.0, 87.04),
    (80.0, 512.0, 25.6, 89.2),
    (85.0, 578.0, 27.2, 91.29),
    (90.0, 648.0, 28.8, 93.33),
    (95.0, 722.0, 30.4, 95.32),
    (100.0, 800.0, 32.0, 97.28),
    (105.0, 882.0, 33.6, 99.2),
    (110.0, 968.0, 35.2, 101.09),
    (115.0, 1058.0, 36.8, 102.95),
    (120.0, 1152.0, 38.4, 104.8),
    (130.0, 1352.0, 41.6, 108.43),
];

#[test]
fn hl93_end_shears_and_lane_moments_of_a_published_table() {
    let hl93 = Vehicle::built_in("HL-93").unwrap();
    let axles_alone = Vehicle { lane: None, ..hl93.clone() };
    for (span, lane_moment, lane_shear, total) in TABLE {
        let (none, still) = (Feet(0.0), Ratio(0.0));
        let shear = Live::of(&hl93, Feet(span), none, still, still).unwrap().shear;
        assert_eq!((shear.governs, shear.train), (Governs::TruckAndLane, 0));
        assert!((shear.lane.0 - lane_shear).abs() < 1e-9, "{span} ft: {}", shear.lane);
        // Rounded to 0.01, at 95 and 115 ft down instead of up.
        assert!((shear.total.0 - total).abs() < 0.01, "{span} ft: {}, not {total}", shear.total);
        let middle = |vehicle| effects::moment_at(vehicle, Feet(span), Feet(span / 2.0), 1.0);
        let lane = middle(&hl93).unwrap().0 - middle(&axles_alone).unwrap().0;
        assert!((lane - lane_moment).abs() < 1e-9, "{span} ft: {lane}");
    }
}
