//! The questions in words.

use itertools::Itertools;

use super::count;
use crate::after::ask::{Asked, Question, RouteQuestion};
use crate::model::inputs::{CrossingIx, Inputs, YardIx};
use crate::model::inventory::Inventory as C;
use crate::model::plan::{Fate, Plan};
use crate::model::rules::FactKind;

/// What stands on every page of a conditional plan.
pub const CONDITIONAL: &str = "CONDITIONAL, NOT A PURCHASE: it holds only if every question is answered \
    as needed. Nothing may be ordered from it; plan again with the answers.";

/// What the questions would open, in a sentence.
#[must_use]
pub fn title(inputs: &Inputs, plan: &Plan, asked: &Asked) -> String {
    let all = count(inputs.crossings.len(), "crossing");
    let now = plan.served_count();
    let all_questions = asked.questions.len() + asked.routes.len();
    if all_questions == 0 {
        return format!(
            "no question opens a crossing: {now} of {all} are served, and it stays so."
        );
    }
    let of_cars = (!asked.questions.is_empty()).then(|| {
        let yards = count(asked.visits.len(), "yard");
        format!("{} at {yards}", count(asked.questions.len(), "question"))
    });
    let of_routes = (!asked.routes.is_empty())
        .then(|| format!("{} about your own routes", count(asked.routes.len(), "question")));
    format!(
        "{} would serve {} of {all}; now {now} can be served.",
        of_cars.into_iter().chain(of_routes).join(" and "),
        asked.served.len(),
    )
}

/// What is proven of the list, in a sentence.
#[must_use]
pub fn proof(inputs: &Inputs, asked: &Asked) -> String {
    let rules = &inputs.rules.evidence;
    let weights = format!(
        "a question weighs {} and a yard visit {}",
        rules.question_weight, rules.visit_weight
    );
    if asked.proven {
        format!("Proven: no list of less weight opens as many, by priority; {weights}.")
    } else {
        format!("Not proven: a list of less weight may open as many; {weights}.")
    }
}

/// The questions of each yard.
pub fn by_yard(asked: &Asked, inputs: &Inputs) -> Vec<(YardIx, Vec<Question>)> {
    let yards = asked.questions.iter().chunk_by(|question| inputs.car(question.car).yard);
    yards.into_iter().map(|(yard, questions)| (yard, questions.cloned().collect())).collect()
}

/// What is asked, what it must be, what it opens, and how it is found out.
#[must_use]
pub fn row(inputs: &Inputs, question: &Question) -> [String; 5] {
    let opens = question.opens.iter().map(|at| inputs.crossing(*at).id.as_str()).join(", ");
    [
        inputs.car(question.car).id.clone(),
        named(question.fact).to_owned(),
        must_be(inputs, question),
        opens,
        how(question.fact).to_owned(),
    ]
}

/// What is asked for.
fn named(fact: C) -> &'static str {
    match fact {
        C::Webs => "main girder's plates",
        C::Available => "day it can leave",
        fact => fact.fact().label,
    }
}

/// What the answer must be, and which other answers it must go with. A dealer's letter names no car of
/// another dealer.
fn must_be(inputs: &Inputs, question: &Question) -> String {
    let alike = question.alike.as_ref().map(|alike| {
        let dealer = &inputs.car(question.car).dealer;
        let (own, others): (Vec<_>, Vec<_>) =
            alike.cars.iter().map(|car| inputs.car(*car)).partition(|car| car.dealer == *dealer);
        let others = (!others.is_empty()).then(|| "a car of another dealer".to_owned());
        let names = own.iter().map(|car| car.id.clone()).chain(others).join(" and ");
        format!("within {} of {names}", alike.within)
    });
    let value = Some(question.value.to_string()).filter(|value| !value.is_empty());
    let by = (question.fact == C::Modulus).then(|| "by a drawing or plates".to_owned());
    value.into_iter().chain(by).chain(alike).join(", ")
}

/// How what is asked is found out, each way once: the facts, and the way.
#[must_use]
pub fn ways(questions: &[Question]) -> Vec<(String, &'static str)> {
    let ways = questions.iter().map(|question| how(question.fact)).unique();
    let ways = ways.map(|way| {
        let facts = questions.iter().map(|question| question.fact).filter(|fact| how(*fact) == way);
        (facts.map(named).unique().join(", "), way)
    });
    ways.collect()
}

/// Crossings that no answer opens, each with what stands against it; nothing where that is not known.
#[must_use]
pub fn closed(inputs: &Inputs, asked: &Asked) -> Vec<(String, String)> {
    let closed = inputs.crossing_indices().filter(|at| !asked.served.contains(at));
    let why = |at: CrossingIx| {
        let planned = asked.plan.as_ref()?.crossings.iter().find(|c| c.crossing == at)?;
        let Fate::Unserved(unserved) = &planned.fate else { return None };
        let codes = unserved.reasons.iter().map(|check| check.code).unique();
        Some(codes.map(|code| format!("{code} {}", code.kind().name)).join("; "))
    };
    closed.map(|at| (inputs.crossing(at).id.clone(), why(at).unwrap_or_default())).collect()
}

/// A limit of a route: crossing, what it is, what it must be.
#[must_use]
pub fn route_row(inputs: &Inputs, asked: &RouteQuestion) -> [String; 3] {
    let crossing = inputs.crossing(asked.crossing).id.clone();
    [crossing, asked.route.words().to_owned(), asked.value.to_string()]
}

/// How a fact is found out.
#[must_use]
pub fn how(fact: C) -> &'static str {
    let kind = match fact {
        C::Kind | C::Section => FactKind::Kind,
        C::Wrecked => FactKind::History,
        C::MainGirder | C::ExteriorGirders | C::Bolsters => FactKind::Primary,
        C::CrossMembers | C::Stringers => FactKind::Secondary,
        C::Length | C::TruckCenters => FactKind::Lengths,
        C::Width => FactKind::Width,
        C::Camber => FactKind::Camber,
        C::Modulus => FactKind::Modulus,
        C::ExteriorDepth => FactKind::Exterior,
        C::Webs => FactKind::Plates,
        C::Unbraced => FactKind::Web,
        C::Deck | C::DeckCondition => FactKind::Deck,
        C::Weight => FactKind::Weight,
        _ => return "in writing",
    };
    kind.asked()
}
