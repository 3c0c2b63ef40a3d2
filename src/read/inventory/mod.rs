//! Inventories: one car, or a batch of identical cars, to a row.

mod ids;
mod intake;
mod plates;
mod proportions;

use super::dealer::{self, List, Mappings, Scheme};
use super::parts::Pace;
use super::row::Row;
use super::table::{Table, Taken, Went};
use super::text::SourceText;
use super::yards::{Lots, Yards};
use super::{names::Names, problem::Findings};
use crate::check::Code;
use crate::model::car::{Car, CarDeck};
use crate::model::columns::{Columns as _, Content};
use crate::model::index::{LotIx, YardIx};
pub use crate::model::inventory::Inventory;
use crate::model::inventory::{Datum, Field, OnCar};
use crate::model::place::RowPlace;
use crate::read::lines::one_line;
use Inventory as C;

/// What the rows of an inventory may refer to.
pub(super) struct Context<'a> {
    /// The yards; `None` where no yards file was given, so that names cannot be checked.
    pub yards: Option<&'a Yards>,
    /// The lots.
    pub lots: &'a Lots,
    /// The year of the order.
    pub order_year: i16,
    /// How fast to read.
    pub pace: Pace,
}

/// The cars of all inventories so far.
#[derive(Default)]
pub(super) struct Cars {
    pub list: Vec<Car>,
    /// Those that were listed, by dealer and ID.
    pub seen: Names,
    /// Rows with an ID that another row has, and those other rows.
    pub doubled: Vec<RowPlace>,
    /// Dealer and lot of each row of a lot that cannot be read.
    pub unread: Vec<(String, String)>,
}

/// Reads one inventory and adds its cars.
pub(super) fn read(
    source: &SourceText,
    mappings: &Mappings<'_>,
    context: &Context<'_>,
    cars: &mut Cars,
    findings: &mut Findings,
) -> Taken {
    if let Some(problem) = dealer::is_too_large(source) {
        findings.problems.push(problem);
        return Taken::default();
    }
    let mapping = mappings.of(source);
    let scheme: &'static Scheme = Default::default();
    if !dealer::is_dealers(source, mapping.map(|(_, mapping)| mapping), scheme) {
        return read_tidy(source, context, cars, findings);
    }
    // Without its mapping, which has a problem of its own, a dealer's list has nothing but problems.
    if mapping.is_none() && mappings.has_unread() {
        return Taken::default();
    }
    let Some(mut list) = List::open(source, mapping, scheme, &context.pace, findings) else {
        return Taken::default();
    };
    for said in list.said() {
        list.tell(&said, found_in(&said.table, context), findings);
    }
    intake::read(&list, context, cars, findings)
}

/// Reads one inventory row by row, and hands over each with whether a car came of it.
pub(super) fn each(
    source: &SourceText,
    mappings: &Mappings<'_>,
    context: &Context<'_>,
    findings: &mut Findings,
    mut take: impl FnMut(&mut Row<'_, C>, bool),
) -> Went {
    if let Some(problem) = dealer::is_too_large(source) {
        findings.problems.push(problem);
        return Went::default();
    }
    let mapping = mappings.of(source);
    let mut ids = ids::Ids::default();
    let mut one = |row: &mut Row<'_, C>| {
        ids.add(row);
        let _ = car(row, context, |_, _, _| ());
        let sound = row.is_sound();
        take(row, sound);
    };
    if !dealer::is_dealers(source, mapping.map(|(_, mapping)| mapping), Default::default()) {
        let Some(table) = Table::<C>::open(source, None, findings) else { return Went::default() };
        return table.rows_of(&table.body, findings, one);
    }
    match List::open(source, mapping, Default::default(), &context.pace, findings) {
        Some(list) => list.rows_of(&list.all(), findings, &mut one),
        None => Went::default(),
    }
}

/// What is wrong with the rows of a table whose cars are not wanted.
fn found_in(source: &SourceText, context: &Context<'_>) -> Findings {
    let mut findings = Findings::default();
    if let Some(table) = Table::<C>::open(source, None, &mut findings) {
        table.rows_of(&table.body, &mut findings, |row| {
            let _ = car(row, context, |_, _, _| ());
        });
    }
    findings.unite();
    findings
}

/// Reads a table that has our own columns.
pub(super) fn read_tidy(
    source: &SourceText,
    context: &Context<'_>,
    cars: &mut Cars,
    findings: &mut Findings,
) -> Taken {
    match Table::<C>::open(source, None, findings) {
        Some(table) => intake::read(&table, context, cars, findings),
        None => Taken::default(),
    }
}

/// One row. A car comes of it only if the row has all it needs; one with a problem is for the caller to
/// leave out. `named` is told its dealer and ID, which may be another row's too.
fn car(
    row: &mut Row<'_, C>,
    context: &Context<'_>,
    named: impl FnOnce(&mut Row<'_, C>, &str, &str),
) -> Option<Car> {
    let id = row.text(C::Car);
    let dealer = row.text(C::Dealer);
    if let (Some(dealer), Some(id)) = (&dealer, &id) {
        named(row, dealer, id);
    }
    let yard_name = row.words(C::Yard);
    let yard = yard(row, context, dealer.as_deref(), yard_name.as_deref());
    let lot_name = row.words(C::Lot);
    let lot = lot(row, context, dealer.as_deref(), lot_name.as_deref(), yard);

    let owned = row.yes_no(C::Owned).unwrap_or(false);
    if owned && lot_name.is_some() {
        let wrong = "cannot be for a car of a lot, which is bought whole";
        row.problem(C::Owned, Code::Contradiction, wrong, "clear one of the two cells");
    }
    let quantity = row.whole(C::Quantity).unwrap_or(1);
    let (name, of) = (id.as_deref().unwrap_or_default(), dealer.as_deref().unwrap_or_default());
    let mut car = Car::unknown(name, of, yard.unwrap_or(YardIx(0)), row.place());
    for &column in C::EACH {
        if let OnCar::Field(field) = column.fact().on_car {
            fill(row, &mut car, column, &field, context.order_year);
        }
    }
    car.evidence = row.mapped();
    proportions::length(row, car.length);
    proportions::centers(row, car.length, car.truck_centers);
    proportions::camber(row, car.camber);
    deck(row, &car);
    plates::main_girder(row, &mut car);
    if let (Some(_), Some(lot)) = (car.price, &lot_name) {
        let wrong = format!("is not used, because the car is sold only with lot {lot}");
        row.warning(C::Price, Code::Contradiction, wrong, "leave the cell blank to quiet this");
    }
    car.lot = match lot_name {
        Some(_) => Some(lot?),
        None => None,
    };
    car.owned = owned;
    car.quantity = u32::try_from(quantity).ok()?;
    (id.is_some() && dealer.is_some() && yard.is_some()).then_some(car)
}

/// Reads one cell into its field.
fn fill(row: &mut Row<'_, C>, car: &mut Car, column: C, field: &Field, order_year: i16) {
    let datum = match column.column().content {
        Content::Text | Content::Name => row.text(column).map(Datum::Text),
        Content::Number { .. } => row.number(column).map(Datum::Number),
        Content::Year => row.year(column, order_year).map(Datum::Year),
        Content::Money { .. } => row.money(column).map(Datum::Money),
        Content::YesNo => row.yes_no(column).map(Datum::YesNo),
        Content::Date => row.date(column).map(Datum::Day),
        Content::Availability => row.availability(column).map(Datum::Availability),
        Content::Condition => row.condition(column).map(Datum::Condition),
        Content::Words(_) => {
            let Some(cell) = row.cell(column) else { return };
            if !(field.set)(car, Datum::Word(&one_line(cell))) {
                row.unknown_word(column);
            }
            return;
        }
        Content::Whole { .. }
        | Content::SomeWords(_)
        | Content::Layouts
        | Content::Names
        | Content::PriceBreaks
        | Content::Seasons => None,
    };
    if let Some(datum) = datum {
        (field.set)(car, datum);
    }
}

/// The yard that a car stands in.
fn yard(
    row: &mut Row<'_, C>,
    context: &Context<'_>,
    dealer: Option<&str>,
    name: Option<&str>,
) -> Option<YardIx> {
    let yards = context.yards?;
    let (dealer, name) = (dealer?, name?);
    let found = yards.index(dealer, name);
    if found.is_none()
        && let Some((column, text)) = yards.missing(dealer, name, C::Dealer, C::Yard)
    {
        row.problem(column, Code::RefersToNothing, text.wrong, text.instead);
    }
    found
}

/// The lot that a car is sold with, which must be of the same dealer and in the same yard.
fn lot(
    row: &mut Row<'_, C>,
    context: &Context<'_>,
    dealer: Option<&str>,
    name: Option<&str>,
    yard: Option<YardIx>,
) -> Option<LotIx> {
    let (dealer, name) = (dealer?, name?);
    if let Some(text) = context.lots.missing(dealer, name) {
        row.problem(C::Lot, Code::RefersToNothing, text.wrong, text.instead);
    }
    let lot = context.lots.index(dealer, name)?;
    if let (Some(yard), Some(of_lot)) = (yard, context.lots.yard_of(lot))
        && yard != of_lot
        && let Some(of_lot) = context.yards.and_then(|yards| yards.name_of(of_lot))
    {
        let wrong = format!("is a lot in yard {of_lot}, and the car stands in another");
        let instead = "correct the yard here or in the lots file";
        row.problem(C::Lot, Code::Contradiction, wrong, instead);
    }
    Some(lot)
}

/// The condition of the car's own deck is that of a deck.
fn deck(row: &mut Row<'_, C>, car: &Car) {
    if car.deck_condition.is_none() {
        return;
    }
    if row.cell(C::Deck).is_none() {
        let instead = "write the kind of deck, or leave this cell blank";
        let wrong = "is the condition of a deck, and the cell deck is blank";
        row.problem(C::DeckCondition, Code::Contradiction, wrong, instead);
    } else if car.deck == Some(CarDeck::NoDeck) {
        let instead = "correct one of the two, or leave this cell blank";
        let wrong = "is the condition of a deck, and the cell deck says none";
        row.problem(C::DeckCondition, Code::Contradiction, wrong, instead);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every column with a field holds what the reader can put there.
    #[test]
    fn every_field_can_be_read() {
        for column in C::EACH {
            let content = column.column().content;
            let read_apart = matches!(
                content,
                Content::Whole { .. }
                    | Content::SomeWords(_)
                    | Content::Layouts
                    | Content::Names
                    | Content::PriceBreaks
                    | Content::Seasons
            );
            let has_field = matches!(column.fact().on_car, OnCar::Field(_));
            assert!(!(has_field && read_apart), "{}", column.column().name);
        }
    }
}
