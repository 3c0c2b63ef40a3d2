//! Quotes that end soon, over all yards.

use jiff::civil::Date;

use crate::model::inputs::Inputs;

/// Cars of one yard whose quotes end on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ending {
    /// The last day on which the quotes hold.
    pub day: Date,
    /// Days from the day of the order to it.
    pub days: i32,
    /// The dealer.
    pub dealer: String,
    /// The yard.
    pub yard: String,
    /// The lot, where they are sold as one.
    pub lot: Option<String>,
    /// Their IDs, several identical ones with their number.
    pub cars: Vec<String>,
}

/// Quotes that end within a number of days from the day of the order, and those that ended before it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Expiring {
    /// Those that end in time, first ones first; of a day by dealer and yard.
    pub soon: Vec<Ending>,
    /// Cars whose quotes ended before.
    pub ended: usize,
    /// Cars of which nobody said how long their quotes hold.
    pub unknown: usize,
}

/// The quotes of all cars that are not the agency's own.
#[must_use]
pub fn expiring(inputs: &Inputs, days: u16) -> Expiring {
    let mut found = Expiring::default();
    for car in inputs.cars.iter().filter(|car| !car.owned) {
        let Some(day) = car.quote_expires else {
            found.unknown += 1;
            continue;
        };
        let left = inputs.order_date.until(day).map_or(i32::MAX, |span| span.get_days());
        if left < 0 {
            found.ended += 1;
        } else if left <= i32::from(days) {
            let lot = car.lot.map(|lot| inputs.lot(lot).name.clone());
            let yard = inputs.yard(car.yard).name.clone();
            let id = match car.quantity {
                1 => car.id.clone(),
                number => format!("{number} x {}", car.id),
            };
            let same = |one: &&mut Ending| {
                (one.day, &one.dealer, &one.yard, &one.lot) == (day, &car.dealer, &yard, &lot)
            };
            match found.soon.iter_mut().find(same) {
                Some(one) => one.cars.push(id),
                None => {
                    let (dealer, cars) = (car.dealer.clone(), vec![id]);
                    found.soon.push(Ending { day, days: left, dealer, yard, lot, cars });
                }
            }
        }
    }
    found.soon.sort_by(|a, b| {
        (a.day, &a.dealer, &a.yard, &a.lot).cmp(&(b.day, &b.dealer, &b.yard, &b.lot))
    });
    found
}
