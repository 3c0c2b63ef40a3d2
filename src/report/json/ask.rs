//! The questions as JSON.

use serde::Serialize;

use super::render;
use super::shared::CarName;
use crate::after::ask::{Asked, Question};
use crate::check::{Limit, Value};
use crate::model::columns::Columns as _;
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::report::facts::ask::{CONDITIONAL, closed, how};

#[derive(Debug, Serialize)]
struct AskJson {
    /// That nothing may be bought on it.
    conditional: &'static str,
    served_now: usize,
    served_then: Vec<String>,
    weight: u64,
    proven_least: bool,
    closed: Vec<ClosedJson>,
    questions: Vec<QuestionJson>,
    routes: Vec<RouteJson>,
}

#[derive(Debug, Serialize)]
struct ClosedJson {
    crossing: String,
    why: String,
}

#[derive(Debug, Serialize)]
struct RouteJson {
    crossing: String,
    limit: &'static str,
    value_needed: Limit,
}

#[derive(Debug, Serialize)]
struct QuestionJson {
    #[serde(flatten)]
    name: CarName,
    yard: String,
    fact: &'static str,
    value_needed: Limit,
    opens: Vec<String>,
    asked: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    alike: Option<AlikeJson>,
}

#[derive(Debug, Serialize)]
struct AlikeJson {
    cars: Vec<CarName>,
    within: Value,
}

/// Which facts would open which crossings.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn ask(inputs: &Inputs, plan: &Plan, asked: &Asked) -> serde_json::Result<String> {
    let ids = |crossings: &std::collections::BTreeSet<crate::model::inputs::CrossingIx>| {
        crossings.iter().map(|at| inputs.crossing(*at).id.clone()).collect::<Vec<_>>()
    };
    let question = |question: &Question| QuestionJson {
        name: CarName::of(inputs, question.car),
        yard: inputs.yard(inputs.car(question.car).yard).name.clone(),
        fact: question.fact.column().name,
        value_needed: question.value.clone(),
        opens: ids(&question.opens),
        asked: how(question.fact),
        alike: question.alike.as_ref().map(|alike| AlikeJson {
            cars: alike.cars.iter().map(|car| CarName::of(inputs, *car)).collect(),
            within: alike.within.clone(),
        }),
    };
    render(
        "ask",
        AskJson {
            conditional: CONDITIONAL,
            served_now: plan.served_count(),
            served_then: ids(&asked.served),
            weight: asked.weight,
            proven_least: asked.proven,
            routes: asked
                .routes
                .iter()
                .map(|route| RouteJson {
                    crossing: inputs.crossing(route.crossing).id.clone(),
                    limit: route.route.words(),
                    value_needed: route.value.clone(),
                })
                .collect(),
            closed: closed(inputs, asked)
                .into_iter()
                .map(|(crossing, why)| ClosedJson { crossing, why })
                .collect(),
            questions: asked.questions.iter().map(question).collect(),
        },
    )
}
