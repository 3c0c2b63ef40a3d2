//! Decisions about crossings and the bridges that stand.

use super::{Desk, Wrong, unknown, wrong};
use crate::after::decide::changed;
use crate::check::Code;
use crate::model::car::Car;
use crate::model::columns::Columns as _;
use crate::model::crossing::Crossing;
use crate::model::crossing_columns::CrossingColumn;
use crate::model::decision::{CarFate, What};
use crate::model::inputs::{CarIx, CrossingIx};

impl Desk<'_> {
    /// Adds or drops a crossing.
    pub fn crossing(&mut self, number: usize) {
        let outcome = match &self.decisions[number].what {
            What::Added(crossing) => {
                let id = &crossing.id;
                let same = |other: &str| other.eq_ignore_ascii_case(id);
                if self.inputs.crossings.iter().any(|other| same(&other.id)) {
                    let instead = "give the new crossing an ID of its own";
                    Err(wrong("crossing", Code::Duplicate, "is a crossing already", instead))
                } else {
                    let at = self.inputs.crossings.partition_point(|other| other.id < *id);
                    self.inputs.crossings.insert(at, crossing.as_ref().clone());
                    self.dropped.remove(id);
                    Ok(())
                }
            }
            What::Dropped(id) => match self.find_crossing(id) {
                Ok(found) => {
                    self.inputs.crossings.remove(found.0);
                    self.dropped.insert(id.clone(), number);
                    Ok(())
                }
                Err(wrong) => Err(wrong),
            },
            What::Changed { crossing, values, columns } => {
                self.change(number, (crossing, values), columns)
            }
            What::Built { crossing, looked_at, .. } => match self.find_crossing(crossing) {
                Ok(found) => {
                    self.inputs.crossings.remove(found.0);
                    self.built.insert(crossing.clone(), number);
                    Ok(())
                }
                Err(_) if !looked_at => {
                    self.built.insert(crossing.clone(), number);
                    Ok(())
                }
                Err(wrong) => Err(wrong),
            },
            _ => Ok(()),
        };
        self.note(number, outcome);
    }

    /// Puts changed facts into a crossing.
    fn change(
        &mut self,
        number: usize,
        (id, values): (&str, &Crossing),
        columns: &[CrossingColumn],
    ) -> Result<(), Wrong> {
        let found = self.find_crossing(id)?;
        for column in columns {
            let name = column.column().name;
            if let Some(&by) = self.changed.get(&(id.to_owned(), name)) {
                let says = format!("was changed already, see {}", self.line(by));
                return Err(wrong(name, Code::Duplicate, says, "keep one of the two"));
            }
            self.changed.insert((id.to_owned(), name), number);
            changed::copy(&mut self.inputs.crossings[found.0], values, *column);
        }
        Ok(())
    }

    /// Takes the cars of a bridge that stands out of the market for good.
    pub fn built(&mut self, number: usize) {
        let What::Built { crossing, cars, .. } = &self.decisions[number].what else { return };
        if self.built.get(crossing) != Some(&number) {
            return;
        }
        let outcome = self.cars_of(crossing, cars).and_then(|cars| {
            cars.into_iter().try_for_each(|car| self.settle(number, car, CarFate::Built))
        });
        self.note(number, outcome);
    }

    /// The cars of a bridge that stands: those named, else those fixed to it.
    fn cars_of(&self, crossing: &str, named: &[String]) -> Result<Vec<CarIx>, Wrong> {
        let fixed = self.built_in.iter().filter(|(_, to)| *to == crossing).map(|(car, _)| *car);
        let mut cars: Vec<CarIx> = fixed.collect();
        for name in named {
            let is = |car: &Car| car.id == *name || format!("{} {}", car.dealer, car.id) == *name;
            let found: Vec<CarIx> =
                self.inputs.car_indices().filter(|ix| is(self.inputs.car(*ix))).collect();
            match found[..] {
                [car] if cars.contains(&car) => {}
                [car] => cars.push(car),
                [] => {
                    let known = self.inputs.cars.iter().map(|car| car.id.as_str()).collect();
                    return Err(unknown(
                        "cars",
                        format!("has {name}, which is no car"),
                        name,
                        known,
                    ));
                }
                _ => {
                    let says = format!("has {name}, which several dealers list");
                    let instead = "write the dealer's name before the ID";
                    return Err(wrong("cars", Code::Contradiction, says, instead));
                }
            }
        }
        if cars.is_empty() {
            let says = "does not say which cars lie there";
            let instead = "write them, as in cars = \"UD-08; UD-17\"";
            return Err(wrong("cars", Code::CellBlank, says, instead));
        }
        if let Some(car) = cars.iter().find(|car| !self.inputs.car(**car).owned) {
            let says = format!("has {}, which is not bought", self.inputs.car(*car).name());
            let instead = "decide first that it is bought, and for how much";
            return Err(wrong("cars", Code::Contradiction, says, instead));
        }
        Ok(cars)
    }

    pub(super) fn find_crossing(&self, id: &str) -> Result<CrossingIx, Wrong> {
        if let Some(&by) = self.dropped.get(id) {
            let says = format!("was dropped, see {}", self.line(by));
            let instead = "keep one of the two decisions";
            return Err(wrong("crossing", Code::Contradiction, says, instead));
        }
        if let Some(&by) = self.built.get(id) {
            let says = format!("is built, see {}", self.line(by));
            let instead = "keep one of the two decisions";
            return Err(wrong("crossing", Code::Contradiction, says, instead));
        }
        let found = self.inputs.crossing_indices().find(|ix| self.inputs.crossing(*ix).id == id);
        found.ok_or_else(|| {
            let known = self.inputs.crossings.iter().map(|c| c.id.as_str()).collect();
            unknown("crossing", "is no crossing".to_owned(), id, known)
        })
    }
}
