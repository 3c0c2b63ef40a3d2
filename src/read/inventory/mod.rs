//! Inventories: one car, or a batch of identical cars, to a row.

mod columns;
mod ids;
mod intake;
mod plates;
mod proportions;

pub use columns::Inventory;

use super::dealer::{self, List, Mappings};
use super::parts::Pace;
use super::table::{Row, Table, Taken};
use super::text::SourceText;
use super::yards::{Lots, Yards};
use super::{names::Names, problem::Findings};
use crate::check::Code;
use crate::model::car::{
    Car, CarDeck, CarKind, Coating, DeckCondition, LeadStatus, MemberGroup, Members,
    SecondaryMembers,
};
use crate::model::inputs::{LotIx, YardIx};
use crate::quantity::{CubicInches, Feet, Inches, Kips, Ksi};
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
    if !dealer::is_dealers(source, mapping.map(|(_, mapping)| mapping)) {
        return read_tidy(source, context, cars, findings);
    }
    // Without its mapping, which has a problem of its own, a dealer's list has nothing but problems.
    if mapping.is_none() && mappings.has_unread() {
        return Taken::default();
    }
    let Some(mut list) = List::open(source, mapping, &context.pace, findings) else {
        return Taken::default();
    };
    for said in list.said() {
        list.tell(&said, found_in(&said.table, context), findings);
    }
    intake::read(&list, context, cars, findings)
}

/// What is wrong with the rows of a table whose cars are not wanted.
fn found_in(source: &SourceText, context: &Context<'_>) -> Findings {
    let mut findings = Findings::default();
    if let Some(table) = Table::<C>::open(source, None, &mut findings) {
        table.rows_of(&table.body, &mut findings, |row| {
            let _ = car(row, context, |_, _, _| ());
        });
    }
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

/// One row. A car comes of it only if the row has all it needs, but a row with a problem stops the
/// run in any case. `named` is told its dealer and ID, which may be another row's too.
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
    let length = row.number(C::Length).map(Feet);
    let truck_centers = row.number(C::TruckCenters).map(Feet);
    proportions::length(row, length);
    proportions::centers(row, length, truck_centers);
    let width = row.number(C::Width).map(Feet);
    let camber = row.number(C::Camber).map(Inches);
    proportions::camber(row, camber);
    let kind = row.word(C::Kind, CarKind::from_word);
    let section = row.text(C::Section);
    let apart = row.text(C::Apart);
    let year_built = row.year(C::YearBuilt, context.order_year);
    let steel_yield = row.number(C::Yield).map(Ksi);
    let yield_source = row.text(C::YieldSource);
    let exterior_depth = row.number(C::ExteriorDepth).map(Inches);
    let secondary = SecondaryMembers {
        stringer_modulus: row.number(C::StringerModulus).map(CubicInches),
        stringer_spacing: row.number(C::StringerSpacing).map(Feet),
        cross_member_modulus: row.number(C::CrossMemberModulus).map(CubicInches),
        cross_member_spacing: row.number(C::CrossMemberSpacing).map(Feet),
    };
    let weight = row.number(C::Weight).map(Kips::from_pounds);
    let (deck, deck_condition) = deck(row);
    let coating = row.word(C::Coating, Coating::from_word);
    let lead = row.word(C::Lead, LeadStatus::from_word);
    let members = Members {
        main_girder: row.condition(C::MainGirder),
        exterior_girders: row.condition(C::ExteriorGirders),
        bolsters: row.condition(C::Bolsters),
        cross_members: row.condition(C::CrossMembers),
        stringers: row.condition(C::Stringers),
    };
    let girder = plates::main_girder(row, members.of(MemberGroup::MainGirder), length);
    let wrecked = row.yes_no(C::Wrecked);
    let price = row.money(C::Price);
    if let (Some(_), Some(lot)) = (price, &lot_name) {
        let wrong = format!("is not used, because the car is sold only with lot {lot}");
        row.warning(C::Price, Code::Contradiction, wrong, "leave the cell blank to quiet this");
    }
    let quote_expires = row.date(C::QuoteExpires);
    let available = row.availability(C::Available);
    let notes = row.text(C::Notes);
    Some(Car {
        id: id?,
        dealer: dealer?,
        yard: yard?,
        lot: match lot_name {
            Some(_) => Some(lot?),
            None => None,
        },
        owned,
        quantity: u32::try_from(quantity).ok()?,
        kind,
        section,
        apart,
        length,
        truck_centers,
        width,
        camber,
        year_built,
        steel_yield,
        yield_source,
        girder,
        exterior_depth,
        secondary,
        weight,
        deck,
        deck_condition,
        coating,
        lead,
        members,
        wrecked,
        price,
        quote_expires,
        available,
        notes,
        place: row.place(),
    })
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

/// The car's own deck and its condition.
fn deck(row: &mut Row<'_, C>) -> (Option<CarDeck>, Option<DeckCondition>) {
    let deck = row.word(C::Deck, CarDeck::from_word);
    let condition = row.word(C::DeckCondition, DeckCondition::from_word);
    if condition.is_some() && row.cell(C::Deck).is_none() {
        let instead = "write the kind of deck, or leave this cell blank";
        let wrong = "is the condition of a deck, and the cell deck is blank";
        row.problem(C::DeckCondition, Code::Contradiction, wrong, instead);
    } else if condition.is_some() && deck == Some(CarDeck::NoDeck) {
        let instead = "correct one of the two, or leave this cell blank";
        let wrong = "is the condition of a deck, and the cell deck says none";
        row.problem(C::DeckCondition, Code::Contradiction, wrong, instead);
    }
    (deck, condition)
}
