//! S09 coating, S10 lead: never a bar, and the unknown is taken as the worst.

use spanyard::check::{Code, Outcome, Value};
use spanyard::model::car::{Coating, LeadStatus};

use crate::testkit::fixture::asked_of;

#[test]
fn coating_is_a_caution_with_its_rate() {
    for (coating, outcome, note) in [
        (Some(Coating::Sound), Outcome::Pass, ""),
        (Some(Coating::Worn), Outcome::Caution, "blasted and painted at $28.00/ft"),
        (Some(Coating::Failed), Outcome::Caution, "blasted and painted at $62.00/ft"),
        (None, Outcome::Caution, "taken as failed: blasted and painted at $62.00/ft"),
    ] {
        let check = asked_of(Code::Coating, |car| car.coating = coating);
        assert_eq!((check.outcome, check.note.as_str()), (outcome, note));
        let measured = coating.map_or(Value::Unknown, |c| Value::Text(c.word().to_owned()));
        assert_eq!(check.measured, measured);
        let verb = if outcome == Outcome::Pass { "must be sound" } else { "should be sound" };
        assert!(check.sentence().contains(verb), "{}", check.sentence());
    }
}

#[test]
fn lead_is_assumed_until_a_test_says_otherwise() {
    let (found, assumed) = ("lead found", "not tested, so lead is assumed");
    let priced = "containment and disposal priced at $1,800.00";
    let left = "not blasted, so no lead work is priced; protect whoever cuts or grinds";
    for (lead, coating, outcome, note) in [
        (Some(LeadStatus::Free), None, Outcome::Pass, String::new()),
        (
            Some(LeadStatus::Present),
            Some(Coating::Worn),
            Outcome::Caution,
            format!("{found}; {priced}"),
        ),
        (
            Some(LeadStatus::Present),
            Some(Coating::Sound),
            Outcome::Caution,
            format!("{found}; {left}"),
        ),
        (None, None, Outcome::Caution, format!("{assumed}; {priced}")),
        (None, Some(Coating::Sound), Outcome::Caution, format!("{assumed}; {left}")),
    ] {
        let check = asked_of(Code::Lead, |car| (car.lead, car.coating) = (lead, coating));
        assert_eq!((check.outcome, check.note), (outcome, note));
    }
}
