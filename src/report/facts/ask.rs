//! The questions in words.

use itertools::Itertools;

use super::count;
use crate::after::ask::{Asked, Question, RouteQuestion};
use crate::model::inputs::{Inputs, YardIx};
use crate::model::inventory::Inventory as C;
use crate::model::plan::Plan;
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
    format!(
        "{} at {} would serve {} of {all}; now {now} can be served.",
        count(all_questions, "question"),
        count(asked.visits.len(), "yard"),
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
    let fact = match question.fact {
        C::Modulus => "section modulus, by a drawing or plates",
        fact => fact.fact().label,
    };
    [
        inputs.car(question.car).id.clone(),
        fact.to_owned(),
        question.value.to_string(),
        opens,
        how(question.fact).to_owned(),
    ]
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
        C::Weight => FactKind::Weight,
        _ => return "in writing",
    };
    kind.asked()
}
