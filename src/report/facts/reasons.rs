//! The checks worth saying of a bridge: what passed with least margin, what wants attention, what
//! was not checked.

use itertools::Itertools;

use crate::check::{Check, Code, Outcome, Value};
use crate::model::inputs::Inputs;
use crate::model::plan::{Plan, Served};
use crate::quantity::Tons;

/// A check together with the cars (or spans) it was asked of, where several gave the same sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The check.
    pub check: Check,
    /// The subjects, in order.
    pub subjects: Vec<String>,
}

/// Checks whose value the choice of joint and gap sets: a deck is made just as wide as required, so
/// their margins tell nothing of the cars. The drawing shows them.
const SET_BY_THE_DECK: &[Code] =
    &[Code::Abreast, Code::WidthLeast, Code::WidthMost, Code::JointGap, Code::WidthPossible];

/// The checks of a bridge that passed with the least margin relative to their limits, least first,
/// at most `most`; of several cars' answers to one question the least.
#[must_use]
pub fn least_margins(inputs: &Inputs, served: &Served, most: usize) -> Vec<Said> {
    let mut least: Vec<(f64, Said)> = Vec::new();
    for (subject, check) in asked(inputs, served) {
        if check.outcome != Outcome::Pass
            || SET_BY_THE_DECK.contains(&check.code)
            || matches!(check.measured, Value::Money(_) | Value::Count(_))
        {
            continue;
        }
        let Some(margin) = check.relative_margin() else { continue };
        let said = Said { check: check.clone(), subjects: vec![subject] };
        match least
            .iter_mut()
            .find(|(_, other)| other.check.code == check.code && other.check.part == check.part)
        {
            Some((smallest, other)) if margin < *smallest => {
                *smallest = margin;
                *other = said;
            }
            Some((_, other)) if other.check == *check => other.subjects.extend(said.subjects),
            Some(_) => {}
            None => least.push((margin, said)),
        }
    }
    // A stable sort: equal margins stay in the order of the checks.
    least.sort_by(|a, b| a.0.total_cmp(&b.0));
    least.into_iter().map(|(_, said)| dedup(said)).take(most).collect()
}

/// What a sign at the bridge must say of a vehicle.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// The vehicle.
    pub vehicle: String,
    /// The weight on the sign.
    pub weight: Tons,
}

/// The signs that the bridge needs: for every vehicle that rates below 1 the least of the weights
/// that its cars may carry.
#[must_use]
pub fn signs(served: &Served) -> Vec<Sign> {
    let mut signs: Vec<Sign> = Vec::new();
    let checks = served.decks.iter().flat_map(|deck| &deck.cars).flat_map(|placed| &placed.checks);
    for check in checks.filter(|check| check.code == Code::Posting) {
        let Value::Tons(weight) = check.measured else { continue };
        match signs.iter_mut().find(|sign| sign.vehicle == check.part) {
            Some(sign) => sign.weight = sign.weight.min(weight),
            None => signs.push(Sign { vehicle: check.part.clone(), weight }),
        }
    }
    signs
}

/// All answers of this outcome of a bridge, equal ones merged, in the order asked.
#[must_use]
pub fn with_outcome(inputs: &Inputs, served: &Served, outcome: Outcome) -> Vec<Said> {
    merge(asked(inputs, served).filter(|(_, check)| check.outcome == outcome))
}

/// What could not be checked, over the whole plan: one entry per question, part and remark, with the
/// crossings it concerns.
#[must_use]
pub fn not_checked(inputs: &Inputs, plan: &Plan) -> Vec<Said> {
    let mut merged: Vec<Said> = Vec::new();
    for crossing in &plan.crossings {
        let Some(served) = crossing.served() else { continue };
        let id = &inputs.crossing(crossing.crossing).id;
        for said in with_outcome(inputs, served, Outcome::NotChecked) {
            match merged.iter_mut().find(|other| same_question(&other.check, &said.check)) {
                Some(other) if other.subjects.contains(id) => {}
                Some(other) => other.subjects.push(id.clone()),
                None => merged.push(Said { check: said.check, subjects: vec![id.clone()] }),
            }
        }
    }
    merged.sort_by_key(|said| said.check.code);
    merged
}

fn same_question(a: &Check, b: &Check) -> bool {
    a.code == b.code && a.part == b.part && a.note == b.note
}

/// Every check of a bridge with its subject: the car, or the deck's span where there are several.
fn asked<'a>(
    inputs: &'a Inputs,
    served: &'a Served,
) -> impl Iterator<Item = (String, &'a Check)> + 'a {
    let spans = served.decks.len();
    served.decks.iter().enumerate().flat_map(move |(number, deck)| {
        let deck_name = if spans > 1 { format!("span {}", number + 1) } else { "deck".to_owned() };
        deck.cars
            .iter()
            .flat_map(|placed| {
                let id = inputs.car(placed.car).id.clone();
                placed.checks.iter().map(move |check| (id.clone(), check))
            })
            .chain(deck.checks.iter().map(move |check| (deck_name.clone(), check)))
    })
}

fn merge<'a>(asked: impl Iterator<Item = (String, &'a Check)>) -> Vec<Said> {
    let mut merged: Vec<Said> = Vec::new();
    for (subject, check) in asked {
        match merged.iter_mut().find(|said| said.check == *check) {
            Some(said) => said.subjects.push(subject),
            None => merged.push(Said { check: check.clone(), subjects: vec![subject] }),
        }
    }
    merged.into_iter().map(dedup).collect()
}

/// Two cars of one row have one name.
fn dedup(mut said: Said) -> Said {
    said.subjects = said.subjects.into_iter().unique().collect();
    said
}
