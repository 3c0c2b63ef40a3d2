//! Haul quotes: one yard and crossing to a row, or one car and crossing.

use std::collections::HashSet;

use jiff::civil::Date;

use super::FileKind;
use super::haul_columns::HaulColumn as C;
use super::names::Names;
use super::problem::Findings;
use super::rows::each_row;
use super::table::Taken;
use super::text::SourceText;
use super::yards::Yards;
use crate::check::Code;
use crate::model::haul_quote::{HaulQuote, HaulQuotes};
use crate::words::nearest;

/// What the rows may refer to; what is not known is not checked.
pub(super) struct Known<'a> {
    /// The yards.
    pub yards: Option<&'a Yards>,
    /// The IDs of the crossings.
    pub crossings: Option<Vec<&'a str>>,
    /// The cars that were read, by dealer and ID.
    pub cars: Option<HashSet<(&'a str, &'a str)>>,
    /// The day of the order.
    pub order_date: Date,
}

/// Reads the file of haul quotes.
pub(super) fn read(
    source: &SourceText,
    known: &Known<'_>,
    findings: &mut Findings,
) -> (HaulQuotes, Taken) {
    let mut quotes = HaulQuotes::default();
    let mut seen = Names::default();
    let taken = each_row::<C>(source, FileKind::Hauls, findings, |row| {
        let (dealer, yard) = (row.text(C::Dealer), row.text(C::Yard));
        let (crossing, car) = (row.text(C::Crossing), row.text(C::Car));
        if let (Some(dealer), Some(yard), Some(yards)) = (&dealer, &yard, known.yards)
            && let Some((column, text)) = yards.missing(dealer, yard, C::Dealer, C::Yard)
        {
            row.problem(column, Code::RefersToNothing, text.wrong, text.instead);
        }
        if let (Some(crossing), Some(ids)) = (&crossing, &known.crossings)
            && !ids.contains(&crossing.as_str())
        {
            let instead = match nearest(crossing, ids.iter().copied()) {
                Some(near) => format!("write {near} if that is meant, or add the crossing"),
                None => "add the crossing to the crossings file, or correct the name".to_owned(),
            };
            let wrong = "is not a crossing of the crossings file";
            row.problem(C::Crossing, Code::RefersToNothing, wrong, instead);
        }
        if let (Some(dealer), Some(car), Some(cars)) = (&dealer, &car, &known.cars)
            && !cars.contains(&(dealer.as_str(), car.as_str()))
        {
            // Lists change every week, and a quote may outlast its car.
            let ids = cars.iter().filter(|(of, _)| of == dealer).map(|(_, id)| *id);
            let mut ids: Vec<&str> = ids.collect();
            ids.sort_unstable();
            let instead = match nearest(car, ids) {
                Some(near) => format!("write {near} if that is meant, or remove the row"),
                None => "correct the ID, or remove the row".to_owned(),
            };
            let wrong = format!("is not a car of {dealer} in the inventories");
            row.warning(C::Car, Code::RefersToNothing, wrong, instead);
        }
        if let (Some(dealer), Some(yard), Some(crossing)) = (&dealer, &yard, &crossing) {
            let owner = format!("{dealer}\u{1f}{yard}");
            let name = format!("{crossing}\u{1f}{}", car.as_deref().unwrap_or_default());
            if let Some(first) = seen.add(&owner, &name, row.place()) {
                let wrong = format!("has a quote from this yard already at {first}");
                row.problem(C::Crossing, Code::Duplicate, wrong, "keep one of the two rows");
            }
        }
        let haul = row.money(C::Haul);
        let (permit, escort) = (row.money(C::Permit), row.money(C::Escort));
        let quoter = row.text(C::Source);
        let (quoted, expires) = (row.date(C::Quoted), row.date(C::Expires));
        if let Some(day) = quoted
            && day > known.order_date
        {
            let wrong = format!("is after the day of the order, {}", known.order_date);
            row.warning(C::Quoted, Code::OutOfRange, wrong, "correct the day, or the order date");
        }
        if let (Some(day), Some(last)) = (quoted, expires)
            && last < day
        {
            let wrong = format!("is before the day of the quote, {day}");
            row.problem(C::Expires, Code::Contradiction, wrong, "correct one of the two days");
        }
        if let Some(last) = expires
            && last < known.order_date
        {
            let wrong = format!("is before the day of the order, {}", known.order_date);
            let instead = "ask for a new quote; until then the haul is estimated";
            row.warning(C::Expires, Code::OutOfRange, wrong, instead);
        }
        let place = row.place();
        let quote = || {
            let quote = HaulQuote {
                dealer: dealer?,
                yard: yard?,
                car,
                haul: haul?,
                permit,
                escort,
                source: quoter?,
                quoted: quoted?,
                expires,
                place,
            };
            Some((crossing?, quote))
        };
        if let Some((crossing, quote)) = quote() {
            quotes.add(crossing, quote);
        }
    });
    (quotes, taken)
}
