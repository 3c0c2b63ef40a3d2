//! S08 the car's own deck.

use spanyard::check::{Check, Code, Limit, Outcome};
use spanyard::model::car::{CarDeck, DeckCondition};

use crate::testkit::fixture::asked;

fn on(system: &str, deck: Option<CarDeck>, condition: Option<DeckCondition>) -> Check {
    asked(Code::CarDeck, |inputs| {
        inputs.crossings[0].deck_system = system.to_owned();
        (inputs.cars[0].deck, inputs.cars[0].deck_condition) = (deck, condition);
    })
}

#[test]
fn a_deck_that_is_kept_must_be_sound() {
    use CarDeck::{NoDeck, SteelPlate, Timber};
    use DeckCondition::{Failed, Sound, Worn};
    for (deck, condition, outcome) in [
        (Some(Timber), Some(Sound), Outcome::Pass),
        (Some(SteelPlate), Some(Sound), Outcome::Pass),
        (Some(Timber), Some(Worn), Outcome::Fail),
        (Some(Timber), Some(Failed), Outcome::Fail),
        (Some(NoDeck), None, Outcome::Fail),
        (Some(NoDeck), Some(Sound), Outcome::Fail),
        (None, Some(Failed), Outcome::Fail), // bad, whatever it is made of
        (None, Some(Sound), Outcome::Unknown),
        (Some(Timber), None, Outcome::Unknown),
        (None, None, Outcome::Unknown),
    ] {
        assert_eq!(on("car deck", deck, condition).outcome, outcome, "{deck:?} {condition:?}");
    }
}

#[test]
fn under_a_new_deck_the_old_one_does_not_matter() {
    for (deck, condition) in [(Some(CarDeck::Timber), Some(DeckCondition::Failed)), (None, None)] {
        let check = on("timber", deck, condition);
        assert_eq!((check.outcome, &check.limit), (Outcome::Pass, &Limit::None));
        assert_eq!(check.note, "the crossing gets a new deck: timber");
    }
}

#[test]
fn a_deck_system_that_no_rule_knows_is_unknown() {
    assert_eq!(on("bamboo", Some(CarDeck::Timber), None).outcome, Outcome::Unknown);
}
