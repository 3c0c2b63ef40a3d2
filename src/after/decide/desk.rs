//! The inputs on the desk while one decision after the other is applied.

use std::collections::BTreeMap;

use super::{Conflict, changed, measured};
use crate::check::{Code, Grade};
use crate::model::car::Car;
use crate::model::columns::Columns as _;
use crate::model::crossing::Crossing;
use crate::model::crossing_columns::CrossingColumn;
use crate::model::decision::{CarFate, Decided, Decision, Goods, Part, Standing, What};
use crate::model::evidence::Evidence;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, LotIx};
use crate::quantity::Cents;

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

    fn find_crossing(&self, id: &str) -> Result<CrossingIx, Wrong> {
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

    /// The row that a decision means: the whole row, or the part of it that gets a name of its own.
    fn part(&mut self, car: CarIx, decision: &Decision) -> Result<CarIx, Wrong> {
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

    fn car(&mut self, number: usize, car: CarIx) -> Result<(), Wrong> {
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

    fn lot(&mut self, number: usize, lot: LotIx) -> Result<(), Wrong> {
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
    fn settle(&mut self, number: usize, car: CarIx, fate: CarFate) -> Result<(), Wrong> {
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
