//! S25: no bad news in the words of the list that nobody answered.

use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::evidence::news::news;
use crate::model::inputs::{CarIx, Inputs};

/// S25: asked of cars whose ID or remarks have words that tell of harm or of a sale.
pub fn answered(inputs: &Inputs, ix: CarIx) -> Option<Check> {
    let car = inputs.car(ix);
    let texts = [Some(car.id.as_str()), car.notes.as_deref()];
    let found: Vec<_> =
        texts.into_iter().flatten().flat_map(|text| news(text, &inputs.rules.evidence)).collect();
    if found.is_empty() {
        return None;
    }
    let answer = inputs.decided.answered.get(&ix).and_then(|&at| inputs.decided.list.get(at));
    let (outcome, note) = match answer {
        Some(decision) => {
            let said = decision.note.as_deref().unwrap_or_default();
            (Outcome::Caution, format!("answered at {}: {said}", decision.place))
        }
        None if found.iter().all(|news| news.denied) => {
            (Outcome::Caution, "denied by the dealer: stated, not inspected".to_owned())
        }
        None => (Outcome::Unknown, "ask, then answer it or correct the list".to_owned()),
    };
    let words: Vec<_> = found.iter().map(|news| format!("\"{}\"", news.words)).collect();
    let measured = Value::Text(words.join(", "));
    Some(
        Check::new(Code::BadNews, measured, Limit::words("nothing unanswered"), outcome).note(note),
    )
}
