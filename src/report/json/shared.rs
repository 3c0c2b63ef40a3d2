//! Pieces that several documents share.

use serde::Serialize;

use crate::check::{Check, Limit, Outcome, Value};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::CostLine;
use crate::quantity::Cents;
use crate::report::facts::reasons::Said;
use crate::report::facts::rules_in_force::{RulesInForce, rules_in_force};

/// A car's name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CarName {
    pub dealer: String,
    pub car: String,
}

impl CarName {
    pub fn of(inputs: &Inputs, car: CarIx) -> Self {
        let car = inputs.car(car);
        Self { dealer: car.dealer.clone(), car: car.id.clone() }
    }
}

/// A check with everything the registry says of it that a reader needs at hand.
#[derive(Debug, Serialize)]
pub struct CheckJson {
    code: &'static str,
    name: &'static str,
    #[serde(skip_serializing_if = "String::is_empty")]
    part: String,
    outcome: Outcome,
    bars: bool,
    measured: Value,
    limit: Limit,
    #[serde(skip_serializing_if = "Option::is_none")]
    margin: Option<Value>,
    source: String,
    sentence: String,
}

impl CheckJson {
    pub fn of(check: &Check) -> Self {
        let kind = check.code.kind();
        Self {
            code: kind.id,
            name: kind.name,
            part: check.part.clone(),
            outcome: check.outcome,
            bars: check.outcome.bars(),
            measured: check.measured.clone(),
            limit: check.limit.clone(),
            margin: check.margin.clone(),
            source: kind.basis.to_string(),
            sentence: check.sentence(),
        }
    }

    pub fn all(checks: &[Check]) -> Vec<Self> {
        checks.iter().map(Self::of).collect()
    }
}

/// A cost line.
#[derive(Debug, Serialize)]
pub struct CostJson {
    item: &'static str,
    subject: String,
    basis: String,
    amount_usd_cents: Cents,
}

impl CostJson {
    pub fn all(lines: &[CostLine]) -> Vec<Self> {
        lines
            .iter()
            .map(|line| Self {
                item: line.item.word(),
                subject: line.subject.clone(),
                basis: line.basis.clone(),
                amount_usd_cents: line.amount,
            })
            .collect()
    }
}

/// The rules in force.
#[derive(Debug, Serialize)]
pub struct RulesJson {
    fingerprint_fnv1a_64: String,
    changed: Vec<ChangedJson>,
}

#[derive(Debug, Serialize)]
struct ChangedJson {
    key: String,
    value_toml: Option<String>,
    built_in_toml: Option<String>,
}

impl RulesJson {
    pub fn of(inputs: &Inputs) -> Self {
        let RulesInForce { fingerprint, changed } = rules_in_force(&inputs.rules);
        Self {
            fingerprint_fnv1a_64: fingerprint,
            changed: changed
                .into_iter()
                .map(|rule| ChangedJson {
                    key: rule.key,
                    value_toml: rule.value,
                    built_in_toml: rule.built_in,
                })
                .collect(),
        }
    }
}

/// A check with the cars, spans or crossings that it was asked of.
#[derive(Debug, Serialize)]
pub struct SaidJson {
    subjects: Vec<String>,
    check: CheckJson,
}

impl SaidJson {
    pub fn of(said: Said) -> Self {
        Self { check: CheckJson::of(&said.check), subjects: said.subjects }
    }

    pub fn all(said: Vec<Said>) -> Vec<Self> {
        said.into_iter().map(Self::of).collect()
    }
}
