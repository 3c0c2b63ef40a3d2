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
            Some((_, other)) if other.check.says_the_same(check) => {
                other.check.rest_on_weaker(check);
                other.subjects.extend(said.subjects);
            }
            Some(_) => {}
            None => least.push((margin, said)),
        }
    }
    // A stable sort: equal margins stay in the order of the checks.
    least.sort_by(|a, b| a.0.total_cmp(&b.0));
    least.into_iter().map(|(_, said)| dedup(said)).take(most).collect()
}

/// The checks that give a rating factor.
const RATINGS: &[Code] =
    &[Code::BendingAllowable, Code::ShearAllowable, Code::BendingFactored, Code::ShearFactored];

/// The lowest rating factor of a bridge, whatever its outcome, with the cars that have it.
#[must_use]
pub fn lowest_rating(inputs: &Inputs, served: &Served) -> Option<Said> {
    let mut lowest: Option<(f64, Said)> = None;
    for (subject, check) in asked(inputs, served) {
        let Value::Ratio(factor) = check.measured else { continue };
        if !RATINGS.contains(&check.code) {
            continue;
        }
        match &mut lowest {
            Some((least, said)) if said.check.says_the_same(check) && *least == factor.0 => {
                said.check.rest_on_weaker(check);
                said.subjects.push(subject);
            }
            Some((least, _)) if factor.0 >= *least => {}
            _ => lowest = Some((factor.0, Said { check: check.clone(), subjects: vec![subject] })),
        }
    }
    lowest.map(|(_, said)| dedup(said))
}

/// What a sign at the bridge must say of a vehicle.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// The vehicle.
    pub vehicle: String,
    /// The weight on the sign.
    pub weight: Tons,
}

/// What each vehicle that rates below 1 may weigh, the least of the bridge's cars: the vehicles that
/// the crossing names, where it accepts a posting, and those that are legal in the state.
#[must_use]
pub fn signs(served: &Served) -> Vec<Sign> {
    let mut signs: Vec<Sign> = Vec::new();
    let checks = served.decks.iter().flat_map(|deck| &deck.cars).flat_map(|placed| &placed.checks);
    for check in checks.filter(|c| matches!(c.code, Code::Posting | Code::LegalTrucks)) {
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
        match merged.iter_mut().find(|said| said.check.says_the_same(check)) {
            Some(said) => {
                said.check.rest_on_weaker(check);
                said.subjects.push(subject);
            }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Limit;
    use crate::model::plan::{Deck, PlacedCar};
    use crate::quantity::{Feet, Inches, Ratio};
    use crate::report::fixture;

    fn ratio(code: Code, vehicle: &str, factor: f64) -> Check {
        Check::at_least(code, Value::Ratio(Ratio(factor)), Value::Ratio(Ratio(1.0))).part(vehicle)
    }

    /// TC-01 of the fixture, with these checks of its two cars and of its deck.
    fn served(first: Vec<Check>, second: Vec<Check>, deck: Vec<Check>) -> Served {
        let plan = fixture::plan();
        let mut served = plan.crossings[0].served().unwrap().clone();
        let cars = served.decks[0].cars.clone();
        let placed = |index: usize, checks| PlacedCar { car: cars[index].car, checks };
        served.decks = vec![Deck {
            cars: vec![placed(0, first), placed(1, second)],
            checks: deck,
            ..served.decks[0].clone()
        }];
        served
    }

    fn said(said: &[Said]) -> Vec<(&str, &str, String)> {
        said.iter()
            .map(|s| (s.check.code.id(), s.check.part.as_str(), s.subjects.join(" ")))
            .collect()
    }

    #[test]
    fn least_margins_rank_by_share_of_the_limit_and_name_the_weakest_car() {
        let span = |centers: f64| {
            Check::at_least(Code::Support, Value::Feet(Feet(centers)), Value::Feet(Feet(40.0)))
        };
        let served = served(
            vec![ratio(Code::BendingAllowable, "HS20", 1.2), span(42.0)],
            vec![ratio(Code::BendingAllowable, "HS20", 1.1), span(42.0)],
            vec![
                // Set by the choice of the joint: not told, small as it is.
                Check::at_least(Code::WidthLeast, Value::Feet(Feet(17.5)), Value::Feet(Feet(17.5))),
                Check::at_most(
                    Code::CamberSpread,
                    Value::Inches(Inches(0.25)),
                    Value::Inches(Inches(1.0)),
                ),
                // Fails and unknowns are not margins.
                Check::unknown(Code::JointGap, Limit::None, ""),
            ],
        );
        let inputs = fixture::inputs();
        let all = least_margins(&inputs, &served, 9);
        assert_eq!(
            said(&all),
            [
                ("S05", "", "DR-10 DR-20".to_owned()), // 2 of 40 ft: 5 %
                ("R03", "HS20", "DR-20".to_owned()),   // 10 %, the other car 20 %
                ("G02", "", "deck".to_owned()),        // 75 %
            ]
        );
        assert_eq!(least_margins(&inputs, &served, 1).len(), 1);
    }

    #[test]
    fn the_lowest_rating_counts_passed_or_not() {
        let served = served(
            vec![ratio(Code::BendingAllowable, "HS20", 1.2), ratio(Code::LoadShare, "", 0.1)],
            vec![ratio(Code::BendingFactored, "EV3", 0.8), ratio(Code::ShearFactored, "EV3", 0.9)],
            vec![],
        );
        let lowest = lowest_rating(&fixture::inputs(), &served);
        let lowest: Vec<Said> = lowest.into_iter().collect();
        assert_eq!(said(&lowest), [("R05", "EV3", "DR-20".to_owned())]);
    }

    #[test]
    fn a_sign_takes_the_weakest_car_and_each_vehicle_has_its_own() {
        let post = |vehicle: &str, tons: f64| {
            Check::at_least(Code::Posting, Value::Tons(Tons(tons)), Value::Tons(Tons(10.0)))
                .part(vehicle)
        };
        let none = Check::words(Code::Posting, "no posting needed", Limit::None, true);
        let posted = served(
            vec![post("HS20", 21.0), post("Type 3", 19.0)],
            vec![post("HS20", 17.0)],
            vec![],
        );
        let found: Vec<(String, f64)> =
            signs(&posted).into_iter().map(|sign| (sign.vehicle, sign.weight.0)).collect();
        assert_eq!(found, [("HS20".to_owned(), 17.0), ("Type 3".to_owned(), 19.0)]);
        assert_eq!(signs(&served(vec![none], vec![], vec![])), []);
    }

    #[test]
    fn equal_cautions_of_several_cars_are_told_once() {
        let lead = || Check::new(Code::Lead, Value::Unknown, Limit::None, Outcome::Caution);
        let paint = Check::new(Code::Coating, Value::Unknown, Limit::None, Outcome::Caution);
        let served = served(vec![lead(), paint], vec![lead()], vec![]);
        assert_eq!(
            said(&with_outcome(&fixture::inputs(), &served, Outcome::Caution)),
            [("S10", "", "DR-10 DR-20".to_owned()), ("S09", "", "DR-10".to_owned())]
        );
    }

    #[test]
    fn what_was_not_checked_names_every_crossing_once() {
        let (inputs, plan) = (fixture::inputs(), fixture::plan());
        assert_eq!(said(&not_checked(&inputs, &plan)), [("R10", "", "TC-01 TC-02".to_owned())]);
    }
}
