//! A part of a row of identical cars, which a decision gives a name of its own.

use super::{Desk, Wrong, wrong};
use crate::check::Code;
use crate::model::car::Car;
use crate::model::decision::{Decision, Part, What};
use crate::model::inputs::CarIx;

impl Desk<'_> {
    /// The row that a decision means: the whole row, or the part of it that gets a name of its own.
    pub(super) fn part(&mut self, car: CarIx, decision: &Decision) -> Result<CarIx, Wrong> {
        let quantity = self.inputs.car(car).quantity;
        let name = match &decision.part {
            None if quantity == 1 || matches!(decision.what, What::Quoted { .. }) => {
                return Ok(car);
            }
            None => {
                let says = format!("is missing, and the row has {quantity} identical cars");
                let instead =
                    format!("write `count = {quantity}` for all, or fewer with a new ID in `as`");
                return Err(wrong("count", Code::CellBlank, says, instead));
            }
            Some(Part { count, .. }) if *count > quantity => {
                let says = format!("is more than the {quantity} cars of the row");
                return Err(wrong("count", Code::OutOfRange, says, "write how many are meant"));
            }
            Some(Part { count, name: None }) if *count == quantity => return Ok(car),
            Some(Part { name: None, .. }) => {
                let says = format!("is a part of the row's {quantity} cars");
                let instead = "give the part an ID of its own, such as `as = \"UD-01-1\"`";
                return Err(wrong("count", Code::Contradiction, says, instead));
            }
            Some(Part { count, name: Some(_) }) if *count == quantity => {
                let says = "names a part, and the count is that of the whole row";
                return Err(wrong("as", Code::Contradiction, says, "remove the key"));
            }
            Some(Part { count, name: Some(name) }) => (*count, name),
        };
        self.split(car, name.0, name.1)
    }

    fn split(&mut self, car: CarIx, count: u32, name: &str) -> Result<CarIx, Wrong> {
        let row = self.inputs.car(car);
        let taken = |other: &Car| other.dealer == row.dealer && other.id.eq_ignore_ascii_case(name);
        if self.inputs.cars.iter().any(taken) {
            let says = format!("is a car of {} already", row.dealer);
            return Err(wrong("as", Code::Duplicate, says, "choose another ID"));
        }
        let part = Car { id: name.to_owned(), quantity: count, ..row.clone() };
        let first = self.decided.parted.get(&car).unwrap_or(&row.id).clone();
        let new = CarIx(self.inputs.cars.len());
        self.inputs.cars[car.0].quantity -= count;
        if let Some(lot) = part.lot {
            self.inputs.lots[lot.0].cars.push(new);
        }
        self.inputs.cars.push(part);
        self.decided.parted.insert(new, first);
        if let Some(&standing) = self.decided.standing.get(&car) {
            self.decided.standing.insert(new, standing);
        }
        if let Some(&crossing) = self.decided.fixed.get(&car) {
            self.decided.fixed.insert(new, crossing);
        }
        if let Some(&answer) = self.decided.answered.get(&car) {
            self.decided.answered.insert(new, answer);
        }
        if let Some(&by) = self.decided.different.get(&car) {
            self.decided.different.insert(new, by);
        }
        Ok(new)
    }
}
