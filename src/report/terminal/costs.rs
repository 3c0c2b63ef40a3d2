//! The cost lines of a crossing as a small table.

use itertools::Itertools;

use crate::model::inputs::Inputs;
use crate::model::plan::{CostItem, CostLine, Served, sum};
use crate::price::{ON_ONE_TRAILER, paid_already};
use crate::quantity::Cents;
use crate::report::text::{Align, Page, Table};

pub fn write(page: &mut Page, inputs: &Inputs, served: &Served) {
    let names = Names::of(inputs, served);
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Right]);
    for item in CostItem::ALL {
        let lines: Vec<&CostLine> = served.lines.iter().filter(|line| line.item == *item).collect();
        for (number, group) in alike(&lines).into_iter().enumerate() {
            let name = if number == 0 { item.word() } else { "" };
            let total = group[0].amount * group.len() as i64;
            table.row([name.to_owned(), names.reckoning(&group), total.to_string()]);
        }
    }
    table.row(["TOTAL".to_owned(), String::new(), sum(&served.lines).to_string()]);
    let paid = paid_already(inputs, &served.decks);
    if paid != Cents::ZERO {
        table.row(["paid already".to_owned(), String::new(), paid.to_string()]);
        let all = served.total() + paid;
        table.row(["IN ALL".to_owned(), String::new(), all.to_string()]);
    }
    page.table(2, &table);
}

/// Lines of one reckoning and amount together, in the order of the first of each.
fn alike<'a>(lines: &[&'a CostLine]) -> Vec<Vec<&'a CostLine>> {
    let mut groups: Vec<Vec<&CostLine>> = Vec::new();
    for line in lines {
        let group = groups
            .iter_mut()
            .find(|group| group[0].basis == line.basis && group[0].amount == line.amount);
        match group {
            Some(group) => group.push(line),
            None => groups.push(vec![line]),
        }
    }
    groups
}

/// The names of a bridge's cars, one per car, as cost lines have them and as the table says them.
struct Names {
    full: Vec<String>,
    short: Vec<String>,
}

impl Names {
    fn of(inputs: &Inputs, served: &Served) -> Self {
        let cars = served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car);
        let cars: Vec<_> = cars.map(|car| inputs.car(car)).collect();
        // The dealer's name can go where no two dealers' cars of this bridge share an ID.
        let clash = cars
            .iter()
            .any(|car| cars.iter().any(|other| other.id == car.id && other.dealer != car.dealer));
        Self {
            full: cars.iter().map(|car| car.name()).collect(),
            short: cars.iter().map(|car| if clash { car.name() } else { car.id.clone() }).collect(),
        }
    }

    /// Who is reckoned, and how: `each car: 1 car x $550.00`, `UD-1, UD-2: ...`.
    fn reckoning(&self, group: &[&CostLine]) -> String {
        let basis = &group[0].basis;
        let subjects: Vec<&str> = group.iter().map(|line| line.subject.as_str()).collect();
        let all_cars = self.full.len() > 1
            && subjects.iter().copied().sorted().eq(self.full.iter().map(String::as_str).sorted());
        if all_cars {
            return format!("each car: {basis}");
        }
        let names = subjects
            .iter()
            .unique()
            .map(|subject| {
                let name = self.short_of(subject);
                match subjects.iter().filter(|other| *other == subject).count() {
                    1 => name,
                    times => format!("{times} times {name}"),
                }
            })
            .join(", ");
        format!("{names}: {basis}")
    }

    /// The short name of a car, or those of the cars of a load.
    fn short_of(&self, subject: &str) -> String {
        let one = |name: &str| {
            let place = self.full.iter().position(|full| full == name);
            place.map(|place| self.short[place].clone())
        };
        let load: Option<Vec<String>> = subject.split(ON_ONE_TRAILER).map(one).collect();
        one(subject).or(load.map(|load| load.join(ON_ONE_TRAILER))).unwrap_or(subject.to_owned())
    }
}
