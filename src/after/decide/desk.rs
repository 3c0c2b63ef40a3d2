//! The inputs on the desk while one decision after the other is applied.

mod crossings;
mod goods;
mod parts;

use std::collections::BTreeMap;

use super::Conflict;
use crate::check::Code;
use crate::model::decision::{Decided, Decision, Goods, What};
use crate::model::inputs::{CarIx, Inputs, LotIx};

/// What a decision is about, found in the inputs.
enum Target {
    Car(CarIx),
    Lot(LotIx),
}

/// What was found wrong: the key, the code, what is wrong, what to write.
type Wrong = (&'static str, Code, String, String);

/// The inputs, what was decided so far, and what could not be.
pub(super) struct Desk<'a> {
    inputs: Inputs,
    decisions: &'a [Decision],
    decided: Decided,
    /// By ID, the decision that dropped a crossing.
    dropped: BTreeMap<String, usize>,
    /// The decision that measured a column of a car.
    measured: BTreeMap<(CarIx, &'static str), usize>,
    /// By ID, the decision that says a bridge stands.
    built: BTreeMap<String, usize>,
    /// Cars fixed to a bridge that stands.
    built_in: BTreeMap<CarIx, String>,
    /// The decision that changed a column of a crossing.
    changed: BTreeMap<(String, &'static str), usize>,
    /// The decision that bought a lot or saw it go to others.
    lots: BTreeMap<LotIx, usize>,
    conflicts: Vec<Conflict>,
}

impl<'a> Desk<'a> {
    pub fn new(inputs: Inputs, decisions: &'a [Decision]) -> Self {
        Self {
            inputs,
            decisions,
            decided: Decided::default(),
            dropped: BTreeMap::new(),
            measured: BTreeMap::new(),
            built: BTreeMap::new(),
            built_in: BTreeMap::new(),
            changed: BTreeMap::new(),
            lots: BTreeMap::new(),
            conflicts: Vec::new(),
        }
    }

    pub fn finish(mut self) -> Result<Inputs, Vec<Conflict>> {
        if self.conflicts.is_empty() {
            self.decided.list = self.decisions.to_vec();
            self.inputs.decided = self.decided;
            crate::evidence::settle(&mut self.inputs);
            return Ok(self.inputs);
        }
        self.conflicts.sort_by_key(|conflict| conflict.decision);
        Err(self.conflicts)
    }

    /// Applies a decision on a car or lot.
    pub fn goods(&mut self, number: usize) {
        let decision = &self.decisions[number];
        let Some(goods) = decision.what.goods() else { return };
        let outcome = match self.find(goods, &decision.what) {
            Ok(Target::Lot(lot)) => self.lot(number, lot),
            Ok(Target::Car(car)) => self.part(car, decision).and_then(|car| self.car(number, car)),
            Err(wrong) => Err(wrong),
        };
        self.note(number, outcome);
    }

    fn note(&mut self, decision: usize, outcome: Result<(), Wrong>) {
        if let Err((key, code, wrong, instead)) = outcome {
            self.conflicts.push(Conflict { decision, key, code, wrong, instead });
        }
    }

    fn line(&self, decision: usize) -> String {
        format!("line {}", self.decisions[decision].place.line)
    }

    fn find(&self, goods: &Goods, what: &What) -> Result<Target, Wrong> {
        match goods {
            Goods::Lot { dealer, lot } => {
                let found = self
                    .inputs
                    .lots
                    .iter()
                    .position(|other| other.name == *lot && other.dealer == *dealer);
                let known = || {
                    let lots = self.inputs.lots.iter().filter(|other| other.dealer == *dealer);
                    lots.map(|other| other.name.as_str()).collect::<Vec<_>>()
                };
                found
                    .map(|lot| Target::Lot(LotIx(lot)))
                    .ok_or_else(|| unknown("lot", format!("is no lot of {dealer}"), lot, known()))
            }
            Goods::Car { dealer, car } => {
                let found = self.inputs.car_indices().find(|ix| {
                    let other = self.inputs.car(*ix);
                    other.id == *car && other.dealer == *dealer
                });
                let known = || {
                    let cars = self.inputs.cars.iter().filter(|other| other.dealer == *dealer);
                    cars.map(|other| other.id.as_str()).collect::<Vec<_>>()
                };
                let found = found.ok_or_else(|| {
                    unknown("car", format!("is no car of {dealer}"), car, known())
                })?;
                match (self.inputs.car(found).lot, what) {
                    (
                        Some(lot),
                        What::Bought { .. }
                        | What::Reserved { .. }
                        | What::Quoted { .. }
                        | What::Sold(_),
                    ) => {
                        let name = &self.inputs.lot(lot).name;
                        let says = format!("is sold only with lot {name}");
                        let instead = format!("write `lot = \"{name}\"` instead of the car");
                        Err(wrong("car", Code::Contradiction, says, instead))
                    }
                    _ => Ok(Target::Car(found)),
                }
            }
        }
    }
}

fn wrong(
    key: &'static str,
    code: Code,
    wrong: impl Into<String>,
    instead: impl Into<String>,
) -> Wrong {
    (key, code, wrong.into(), instead.into())
}

/// A name that no file has, with the nearest one that some file has.
fn unknown(key: &'static str, says: String, name: &str, known: Vec<&str>) -> Wrong {
    let instead = match crate::words::nearest(name, known) {
        Some(near) => format!("write {near} if that is meant"),
        None => "write the name as in the files".to_owned(),
    };
    wrong(key, Code::RefersToNothing, says, instead)
}
