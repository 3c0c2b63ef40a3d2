//! R12: the vehicles that are legal in the state, rated whatever a crossing names.

use spanyard::check::{Check, Code, Outcome};
use spanyard::quantity::{Feet, Tons};
use spanyard::rate::{Rating, rate_checks};

use crate::rating::support::{car, crossing, rules};

const LEGAL: [&str; 7] = ["Type 3", "Type 3S2", "Type 3-3", "SU4", "SU5", "SU6", "SU7"];

fn asked(
    least: Option<f64>,
    change: impl FnOnce(&mut spanyard::model::rules::Rules),
) -> Vec<Check> {
    let mut rules = rules();
    change(&mut rules);
    let mut x = crossing(60.0, &["H15"]);
    x.least_posting = least.map(Tons);
    let checks = rate_checks(&car(), &x, Feet(60.0), &rules);
    checks.into_iter().filter(|check| check.code == Code::LegalTrucks).collect()
}

/// The crossing names H15 alone; what the sign says is what the crossing would get if it named each.
#[test]
fn the_sign_is_by_the_legal_trucks_and_not_by_those_that_the_crossing_names() {
    let named = Rating::of(&car(), &crossing(60.0, &LEGAL), Feet(60.0), &rules()).unwrap();
    let asked = asked(None, |_| {});
    let posted: Vec<_> = named.vehicles.iter().filter(|v| v.posting.sign().is_some()).collect();
    assert!(!posted.is_empty(), "a span on which the car needs a sign");
    assert_eq!(asked.len(), posted.len());
    for (check, vehicle) in asked.iter().zip(posted) {
        assert_eq!(check.part, vehicle.on_span.vehicle.name);
        assert_eq!(check.measured.number(), vehicle.posting.sign().map(|tons| tons.0));
        assert_eq!(check.outcome, Outcome::Caution);
    }
}

#[test]
fn what_the_crossing_accepts_bars_and_the_rules_say_what_is_legal() {
    let bars = |checks: Vec<Check>| checks.iter().any(|check| check.outcome.bars());
    assert!(!bars(asked(Some(3.0), |_| {})));
    assert!(bars(asked(Some(80.0), |_| {})));
    assert!(bars(asked(None, |rules| rules.posting.close_below_tons = Tons(50.0))));
    let parts =
        |checks: Vec<Check>| -> Vec<String> { checks.into_iter().map(|c| c.part).collect() };
    let only = parts(asked(None, |rules| rules.posting.legal_vehicles = vec!["SU7".to_owned()]));
    assert_eq!(only, ["SU7"]);
    let emergency = parts(asked(None, |rules| rules.posting.emergency_vehicles = true));
    assert!(emergency.contains(&"EV3".to_owned()), "{emergency:?}");
    let none = asked(None, |rules| rules.posting.legal_vehicles.clear());
    assert_eq!(none[0].outcome, Outcome::NotChecked);
}
