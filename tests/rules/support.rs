//! S05 support at the truck centers, S06 bearings inside the bolsters, S22 bolster kept.

use spanyard::check::{Check, Code, Outcome};
use spanyard::quantity::Feet;

use crate::testkit::fixture::{asked, margin};

fn on_span(code: Code, span: f64, centers: Option<f64>, length: Option<f64>) -> Check {
    asked(code, |inputs| {
        inputs.crossings[0].layouts[0].spans[0] = Feet(span);
        inputs.cars[0].truck_centers = centers.map(Feet);
        inputs.cars[0].length = length.map(Feet);
    })
}

#[test]
fn the_span_is_at_most_the_truck_centers() {
    for (span, centers, outcome, by) in [
        (64.0, Some(66.0), Outcome::Pass, Some(2.0)),
        (66.5, Some(66.0), Outcome::Fail, Some(-0.5)),
        (64.0, None, Outcome::Unknown, None),
    ] {
        let check = on_span(Code::Support, span, centers, Some(89.0));
        assert_eq!((check.outcome, margin(&check)), (outcome, by), "{span} on {centers:?}");
    }
}

/// Seats are set with a tolerance of 2 in, 0.167 ft: nearer to the truck centers it is a caution.
#[test]
fn a_span_from_bolster_to_bolster_is_a_caution() {
    for (span, outcome, by) in [
        (65.8, Outcome::Pass, 0.2),
        (65.9, Outcome::Caution, 0.1 - 2.0 / 12.0),
        (66.0, Outcome::Caution, -2.0 / 12.0),
    ] {
        let check = on_span(Code::Support, span, Some(66.0), Some(89.0));
        assert_eq!(check.outcome, outcome, "{span}");
        assert!((margin(&check).unwrap() - by).abs() < 1e-9, "{span}: {:?}", check.margin);
    }
}

/// Car of 100 ft on truck centers of 90 ft: its ends are cut to 6 ft. On 60 ft the bolsters stand 15 ft
/// beyond the bearings and come off with the ends; on 78 ft they stand just at the cut.
#[test]
fn an_end_cut_back_behind_its_bolster_bars() {
    let kept = |span, allowed: bool| {
        asked(Code::BolsterKept, |inputs| {
            inputs.crossings[0].layouts[0].spans[0] = Feet(span);
            inputs.cars[0].truck_centers = Some(Feet(90.0));
            inputs.cars[0].length = Some(Feet(100.0));
            inputs.rules.screen.bolsters_may_be_cut = allowed;
        })
    };
    for (span, outcome, by) in [
        (60.0, Outcome::Fail, -9.0),
        (77.0, Outcome::Fail, -0.5),
        (78.0, Outcome::Pass, 0.0),
        (88.0, Outcome::Pass, 1.5), // from here on the cut is 1.5 ft behind the bolster
        (90.0, Outcome::Pass, 1.5),
    ] {
        let check = kept(span, false);
        assert_eq!((check.outcome, margin(&check)), (outcome, Some(by)), "{span}");
    }
    assert_eq!(kept(60.0, true).outcome, Outcome::Caution);
    for (centers, length) in [(None, Some(100.0)), (Some(90.0), None)] {
        let check = on_span(Code::BolsterKept, 60.0, centers, length);
        assert_eq!(check.outcome, Outcome::Unknown);
    }
}

/// Published geometry: 89-ft cars carried at the bolsters gave a main span of 66 ft and end spans of
/// 10 ft. J. D. Doornink, Demonstration project using railroad flatcars for low-volume road bridges,
/// Iowa State University, 2003 (abstract, read).
#[test]
fn an_89_ft_car_with_66_ft_truck_centers_spans_66_ft_and_not_67() {
    for (span, bars) in [(66.0, false), (67.0, true)] {
        let check = on_span(Code::Support, span, Some(66.0), Some(89.0));
        assert_eq!(check.outcome.bars(), bars, "{span} ft");
    }
}

#[test]
fn the_span_that_counts_is_the_one_of_the_site() {
    use crate::testkit::fixture::{CAR, SITE, inputs};
    use spanyard::model::crossing::Layout;
    use spanyard::model::inputs::Site;
    use spanyard::quantity::Cents;

    let mut inputs = inputs();
    inputs.crossings[0].layouts = vec![
        Layout { spans: vec![Feet(90.0)], piers_cost: Cents::ZERO },
        Layout { spans: vec![Feet(50.0), Feet(70.0)], piers_cost: Cents::dollars(20_000) },
    ];
    for (layout, span, by) in [(0, 0, -24.0), (1, 0, 16.0), (1, 1, -4.0)] {
        let checks = spanyard::screen::screen(&inputs, CAR, Site { layout, span, ..SITE });
        let support = checks.iter().find(|check| check.code == Code::Support).unwrap();
        assert_eq!(margin(support), Some(by));
    }
}

#[test]
fn bearings_inside_the_bolsters_are_a_caution_with_their_distance() {
    // Distance to each bolster is half of truck centers less span; overhang half of length less span.
    for (span, centers, length, outcome, measured, note) in [
        (
            64.0,
            66.0,
            Some(76.0),
            Outcome::Caution,
            1.0,
            "bears this far inside each bolster; ends overhang by 6.00 ft: cut back to 2.50 ft, priced",
        ),
        (
            62.0,
            66.0,
            Some(76.0),
            Outcome::Caution,
            2.0,
            "bears this far inside each bolster, over 1.00 ft: stiffeners and a diaphragm over the bearing, priced; ends overhang by 7.00 ft: cut back to 3.50 ft, priced",
        ),
        (
            66.0,
            66.0,
            Some(89.0),
            Outcome::Pass,
            0.0,
            "bears at the bolsters; ends overhang by 11.50 ft: cut back to 1.50 ft, priced",
        ),
        (
            65.992,
            66.0,
            Some(76.0),
            Outcome::Pass,
            0.004,
            "bears at the bolsters; ends overhang by 5.00 ft: cut back to 1.50 ft, priced",
        ),
        (
            70.0,
            66.0,
            None,
            Outcome::Pass,
            -2.0,
            "bearings would lie outside the bolsters, see S05; length not known, so neither is the overhang of the ends",
        ),
    ] {
        let check = on_span(Code::BearingInside, span, Some(centers), length);
        assert_eq!(check.outcome, outcome, "{span} on {centers}");
        assert!(
            (check.measured.number().unwrap() - measured).abs() < 1e-9,
            "{span} on {centers}: {}",
            check.measured
        );
        assert_eq!(check.note, note);
    }
    assert_eq!(on_span(Code::BearingInside, 64.0, None, Some(76.0)).outcome, Outcome::Unknown);
}
