//! Decisions about cars and lots, and what became of each.

use super::{Desk, Wrong, wrong};
use crate::after::decide::measured;
use crate::check::{Code, Grade};
use crate::model::columns::Columns as _;
use crate::model::decision::{CarFate, Goods, Standing, What};
use crate::model::evidence::Evidence;
use crate::model::inputs::{CarIx, LotIx};
use crate::quantity::Cents;

impl Desk<'_> {
    pub(super) fn car(&mut self, number: usize, car: CarIx) -> Result<(), Wrong> {
        match &self.decisions[number].what {
            What::Bought { price, .. } => {
                self.settle(number, car, CarFate::Bought)?;
                let row = &mut self.inputs.cars[car.0];
                (row.owned, row.price) = (true, Some(*price));
                self.decided.paid += *price * i64::from(row.quantity);
            }
            What::Reserved { until, price, .. } => {
                self.settle(number, car, CarFate::Reserved)?;
                let row = &mut self.inputs.cars[car.0];
                row.quote_expires = Some(*until);
                row.price = price.or(row.price);
            }
            What::Sold(_) => self.settle(number, car, CarFate::Sold)?,
            What::Held(_) => {
                if !self.inputs.car(car).owned {
                    let instead = "decide first that it is bought, or reserve it";
                    return Err(wrong(
                        "car",
                        Code::Contradiction,
                        "is not the agency's own",
                        instead,
                    ));
                }
                self.settle(number, car, CarFate::Held)?;
            }
            What::Refused(_) => self.settle(number, car, CarFate::Refused)?,
            What::Answered(_) => {
                if let Some(&by) = self.decided.answered.get(&car) {
                    let says = format!("is answered already, see {}", self.line(by));
                    return Err(wrong("car", Code::Duplicate, says, "keep one of the two"));
                }
                self.decided.answered.insert(car, number);
            }
            What::Different(_) => {
                if let Some(&by) = self.decided.different.get(&car) {
                    let says = format!("is told apart already, see {}", self.line(by));
                    return Err(wrong("car", Code::Duplicate, says, "keep one of the two"));
                }
                self.decided.different.insert(car, number);
            }
            What::Quoted { price, until, .. } => {
                self.still_offered(car)?;
                let row = &mut self.inputs.cars[car.0];
                row.price = Some(*price);
                row.quote_expires = until.or(row.quote_expires);
            }
            What::Measured { values, columns, by, document, .. } => {
                for column in columns.iter().map(|column| column.column().name) {
                    if let Some(&by) = self.measured.get(&(car, column)) {
                        let says = format!("was measured already, see {}", self.line(by));
                        return Err(wrong(column, Code::Duplicate, says, "keep one of the two"));
                    }
                    self.measured.insert((car, column), number);
                }
                let replaced = measured::replace(&mut self.inputs.cars[car.0], values, columns);
                replaced.map_err(|(column, says)| {
                    wrong(column.column().name, Code::Contradiction, says, "measure both again")
                })?;
                let decision = &self.decisions[number];
                let who = by.iter().cloned().chain(decision.on.map(|day| day.to_string()));
                let who = Some(who.collect::<Vec<_>>().join(", ")).filter(|who| !who.is_empty());
                let evidence = Evidence {
                    grade: if document.is_some() { Grade::Documented } else { Grade::Inspected },
                    by: document.clone().or(who),
                    place: decision.place.clone(),
                };
                for &column in columns {
                    self.inputs.cars[car.0].evidence.set(column, evidence.clone());
                }
            }
            What::Fixed { crossing, .. } if self.built.contains_key(crossing) => {
                self.built_in.insert(car, crossing.clone());
            }
            What::Fixed { crossing, .. } => {
                let to = self.find_crossing(crossing)?;
                if let Some(&before) = self.decided.fixed.get(&car) {
                    let id = &self.inputs.crossing(before).id;
                    let says = format!("is a second crossing; the car goes to {id} already");
                    let instead = "keep one of the two decisions";
                    return Err(wrong("crossing", Code::Contradiction, says, instead));
                }
                self.not_gone(car)?;
                self.decided.fixed.insert(car, to);
            }
            What::Dropped(_) | What::Added(_) | What::Changed { .. } | What::Built { .. } => {}
        }
        Ok(())
    }

    pub(super) fn lot(&mut self, number: usize, lot: LotIx) -> Result<(), Wrong> {
        let decision = &self.decisions[number];
        if decision.part.is_some() {
            let says = "is for rows of identical cars, and this is a lot";
            return Err(wrong("count", Code::Contradiction, says, "remove the key"));
        }
        if let Some(&by) = self.lots.get(&lot) {
            let says =
                format!("is {} already, see {}", self.decisions[by].what.word(), self.line(by));
            return Err(wrong("lot", Code::Contradiction, says, "keep one of the two decisions"));
        }
        let cars = self.inputs.lot(lot).cars.clone();
        match &decision.what {
            What::Bought { price, .. } => {
                for &car in &cars {
                    self.settle(number, car, CarFate::Bought)?;
                    let row = &mut self.inputs.cars[car.0];
                    (row.owned, row.lot, row.price) = (true, None, None);
                }
                let row = &mut self.inputs.lots[lot.0];
                row.cars.clear();
                row.price = None;
                self.decided.paid += *price;
                self.decided.lots_bought.push(lot);
                self.lots.insert(lot, number);
            }
            What::Sold(_) => {
                for &car in &cars {
                    self.settle(number, car, CarFate::Sold)?;
                }
                self.inputs.lots[lot.0].price = None;
                self.lots.insert(lot, number);
            }
            What::Reserved { until, price, .. } => {
                for &car in &cars {
                    self.settle(number, car, CarFate::Reserved)?;
                }
                self.requote(lot, &cars, *price, Some(*until));
            }
            What::Quoted { price, until, .. } => self.requote(lot, &cars, Some(*price), *until),
            What::Refused(_)
            | What::Answered(_)
            | What::Different(_)
            | What::Held(_)
            | What::Measured { .. }
            | What::Fixed { .. } => {
                let says = "is a lot, and this is decided car by car";
                return Err(wrong("lot", Code::Contradiction, says, "name each car"));
            }
            What::Dropped(_) | What::Added(_) | What::Changed { .. } | What::Built { .. } => {}
        }
        Ok(())
    }

    fn requote(
        &mut self,
        lot: LotIx,
        cars: &[CarIx],
        price: Option<Cents>,
        until: Option<jiff::civil::Date>,
    ) {
        let row = &mut self.inputs.lots[lot.0];
        row.price = price.or(row.price);
        for car in cars {
            let row = &mut self.inputs.cars[car.0];
            row.quote_expires = until.or(row.quote_expires);
        }
    }

    /// Says what became of a car. A reservation may end in buying or refusing; every other second
    /// word on a car contradicts the first.
    pub(super) fn settle(&mut self, number: usize, car: CarIx, fate: CarFate) -> Result<(), Wrong> {
        if let Some(&Standing { fate: before, decision }) = self.decided.standing.get(&car) {
            let follows = match before {
                CarFate::Reserved => matches!(fate, CarFate::Bought | CarFate::Refused),
                // Its price stays paid, whatever becomes of the car.
                CarFate::Bought => matches!(fate, CarFate::Built | CarFate::Held),
                _ => false,
            };
            if !follows {
                let name = self.inputs.car(car).name();
                let says = format!("is {fate}; {name} is {before}, see {}", self.line(decision));
                let key = self.subject(number);
                let instead = "keep one of the two decisions";
                return Err(wrong(key, Code::Contradiction, says, instead));
            }
        }
        if let Some(&to) = self.decided.fixed.get(&car)
            && fate.is_gone()
        {
            let id = &self.inputs.crossing(to).id;
            let says = format!("is {fate}, and is fixed to {id}");
            let key = self.subject(number);
            return Err(wrong(key, Code::Contradiction, says, "keep one of the two decisions"));
        }
        self.decided.standing.insert(car, Standing { fate, decision: number });
        Ok(())
    }

    fn subject(&self, number: usize) -> &'static str {
        match self.decisions[number].what.goods() {
            Some(Goods::Lot { .. }) => "lot",
            _ => "car",
        }
    }

    /// A quote makes sense only for what can still be had.
    fn still_offered(&self, car: CarIx) -> Result<(), Wrong> {
        match self.decided.standing.get(&car) {
            Some(&Standing { fate, decision }) if fate != CarFate::Reserved => {
                let says = format!("is {fate} already, see {}", self.line(decision));
                Err(wrong("car", Code::Contradiction, says, "keep one of the two decisions"))
            }
            _ => Ok(()),
        }
    }

    fn not_gone(&self, car: CarIx) -> Result<(), Wrong> {
        match self.decided.standing.get(&car) {
            Some(&Standing { fate, decision }) if fate.is_gone() => {
                let says = format!("is {fate}, see {}", self.line(decision));
                Err(wrong("car", Code::Contradiction, says, "keep one of the two decisions"))
            }
            _ => Ok(()),
        }
    }
}
