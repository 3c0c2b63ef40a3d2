//! Pieces that several documents share, made from the program's values.

use std::borrow::Cow;

use crate::check::Check;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::CostLine;
use crate::report::facts::reasons::Said;
use crate::report::facts::rules_in_force::{RulesInForce, rules_in_force};
use crate::schema;

pub(super) use schema::{
    CarName, CheckStated as CheckJson, CostLine as CostJson, RulesStated as RulesJson,
    Said as SaidJson,
};

impl CarName {
    pub(super) fn of(inputs: &Inputs, car: CarIx) -> Self {
        let car = inputs.car(car);
        Self { dealer: car.dealer.clone(), car: car.id.clone() }
    }
}

impl CheckJson {
    pub(super) fn of(check: &Check) -> Self {
        let kind = check.code.kind();
        Self {
            code: Cow::Borrowed(kind.id),
            name: Cow::Borrowed(kind.name),
            part: check.part.clone(),
            outcome: check.outcome,
            bars: check.outcome.bars(),
            measured: check.measured.clone(),
            limit: check.limit.clone(),
            margin: check.margin.clone(),
            source: kind.basis.to_string(),
            sentence: check.sentence(),
            rests_on: check.rests_on.as_ref().map(|rests_on| schema::RestsOnStated {
                grade: rests_on.grade,
                fact: Cow::Borrowed(rests_on.fact),
                place: rests_on.place.clone(),
            }),
        }
    }

    pub(super) fn all(checks: &[Check]) -> Vec<Self> {
        checks.iter().map(Self::of).collect()
    }
}

impl CostJson {
    pub(super) fn all(lines: &[CostLine]) -> Vec<Self> {
        lines
            .iter()
            .map(|line| Self {
                item: Cow::Borrowed(line.item.word()),
                subject: line.subject.clone(),
                basis: line.basis.clone(),
                amount_usd_cents: line.amount,
            })
            .collect()
    }
}

impl RulesJson {
    pub(super) fn of(inputs: &Inputs) -> Self {
        let RulesInForce { fingerprint, changed } = rules_in_force(&inputs.rules);
        Self {
            fingerprint_fnv1a_64: fingerprint,
            changed: changed
                .into_iter()
                .map(|rule| schema::ChangedRule {
                    key: rule.key,
                    value_toml: rule.value,
                    built_in_toml: rule.built_in,
                })
                .collect(),
        }
    }
}

impl SaidJson {
    pub(super) fn of(said: Said) -> Self {
        Self { check: CheckJson::of(&said.check), subjects: said.subjects }
    }

    pub(super) fn all(said: Vec<Said>) -> Vec<Self> {
        said.into_iter().map(Self::of).collect()
    }
}
