//! S08: the car's own deck, where the crossing keeps it.

use super::Pair;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::{CarDeck, DeckCondition};

/// S08.
pub fn own_deck(pair: &Pair) -> Check {
    let name = &pair.crossing.deck_system;
    let Some(system) = pair.rules.deck_system(name) else {
        let note = format!("deck system `{name}` is not in the rules");
        return Check::unknown(Code::CarDeck, Limit::words("a deck system of the rules"), note);
    };
    let (deck, condition) = (pair.car.deck, pair.car.deck_condition);
    let words = || match (deck, condition) {
        _ if !pair.remarks => String::new(),
        (Some(CarDeck::NoDeck), _) => "no deck".to_owned(),
        (Some(deck), Some(condition)) => format!("{deck}, {condition}"),
        (Some(deck), None) => format!("{deck}, condition unknown"),
        (None, Some(condition)) => format!("surface unknown, {condition}"),
        (None, None) => "unknown".to_owned(),
    };
    if !system.keeps_car_deck {
        return Check::new(Code::CarDeck, Value::Text(words()), Limit::None, Outcome::Pass)
            .note_if(pair.remarks, || format!("the crossing gets a new deck: {name}"));
    }
    let limit = Limit::words("a sound deck");
    match (deck, condition) {
        // One bad answer is enough, whatever the other is.
        (Some(CarDeck::NoDeck), _) | (_, Some(DeckCondition::Worn | DeckCondition::Failed)) => {
            Check::words(Code::CarDeck, words(), limit, false)
        }
        (Some(_), Some(DeckCondition::Sound)) => Check::words(Code::CarDeck, words(), limit, true),
        _ => Check::unknown(Code::CarDeck, limit, format!("deck: {}", words())),
    }
}
