//! The dealers' terms: yards and lots.

use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, Ordering};

use super::FileKind;
use super::columns::Columns as _;
use super::lines::trim;
use super::names::{Missing, Names};
use super::problem::Findings;
use super::row::Row;
use super::rows::each_row;
use super::seasons::seasons;
use super::table::Taken;
use super::text::SourceText;
use super::yard_columns::{LotColumn, YardColumn};
use crate::check::Code;
use crate::model::inputs::{LotIx, YardIx};
use crate::model::place::Position;
use crate::model::yard::{Lot, PriceLevel, Yard};
use crate::quantity::BasisPoints;
use crate::words::nearest;

/// Names under their dealer: whether a row defines them, and the index if the row was sound.
type Book<Ix> = HashMap<String, HashMap<String, Option<Ix>>>;

/// The yards, sorted, and how to find them.
#[derive(Debug)]
pub(super) struct Yards {
    /// Sorted by dealer and name.
    pub list: Vec<Yard>,
    book: Book<YardIx>,
    /// Whether names can be held against the book: not if the file could not be read.
    reached: bool,
}

/// The lots, sorted, and how to find them.
#[derive(Debug, Default)]
pub(super) struct Lots {
    /// Sorted by dealer and name, without their cars yet.
    pub list: Vec<Lot>,
    book: Book<LotIx>,
    given: bool,
    reached: bool,
    /// Whether a car named a lot.
    wanted: AtomicBool,
}

/// Latitude and longitude of a row; both zero is a blank in disguise, far out at sea.
pub(super) fn position<C: super::columns::Columns>(
    row: &mut Row<'_, C>,
    latitude: C,
    longitude: C,
) -> Option<Position> {
    let latitude_deg = row.number(latitude);
    let longitude_deg = row.number(longitude);
    let position = Position { latitude_deg: latitude_deg?, longitude_deg: longitude_deg? };
    if position.latitude_deg == 0.0 && position.longitude_deg == 0.0 {
        let wrong = "and the longitude are both 0, which is no place of a yard or a crossing";
        row.problem(latitude, Code::OutOfRange, wrong, "write where it is");
        return None;
    }
    Some(position)
}

/// The price levels of a yard: the minimum order at the prices asked, then the price breaks.
fn levels(row: &mut Row<'_, YardColumn>) -> Option<Vec<PriceLevel>> {
    use YardColumn as C;
    let minimum = u32::try_from(row.whole(C::MinimumOrder).unwrap_or(1)).ok()?;
    let mut levels = vec![PriceLevel { at_least: minimum, off: BasisPoints(0) }];
    let mut sound = true;
    let cell = row.cell(C::PriceBreaks).unwrap_or_default();
    for text in cell.split(';').map(trim).filter(|text| !text.is_empty()) {
        let mut fault = |code, wrong: String, instead: String| {
            row.problem(C::PriceBreaks, code, wrong, instead);
            sound = false;
        };
        let Some(level) = price_break(text) else {
            let wrong = format!("has {text}, which is no number of cars with what is off");
            let instead = format!("write {}", C::PriceBreaks.column().content.allowed());
            fault(Code::NotANumber, wrong, instead);
            continue;
        };
        if !(2..=1000).contains(&level.at_least) || !(1..10_000).contains(&level.off.0) {
            let instead = "write 2 to 1,000 cars, and more than 0 and less than 100 per cent";
            fault(Code::OutOfRange, format!("has {text}, out of range"), instead.to_owned());
            continue;
        }
        if let Some(last) = levels.last()
            && (level.at_least <= last.at_least || level.off <= last.off)
        {
            let wrong = format!(
                "has {text} after {} off from {} cars on, which does not rise",
                last.off, last.at_least
            );
            let instead =
                "write more cars and more off from break to break, above the minimum order";
            fault(Code::Contradiction, wrong, instead.to_owned());
            continue;
        }
        levels.push(level);
    }
    sound.then_some(levels)
}

/// `4: 5 %` or `4: 2.5%`: whole cars, and per cent with at most two decimals.
fn price_break(text: &str) -> Option<PriceLevel> {
    let (cars, off) = text.split_once(':')?;
    let off = trim(off);
    let off = trim(off.strip_suffix('%').unwrap_or(off));
    let (whole, decimals) = off.split_once('.').unwrap_or((off, "0"));
    let digits = |text: &str| {
        (1..=9).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit())
    };
    if !digits(trim(cars)) || !digits(whole) || !digits(decimals) || decimals.len() > 2 {
        return None;
    }
    let hundredths = format!("{decimals:0<2}");
    let off = whole.parse::<u32>().ok()?.checked_mul(100)?;
    let off = off.checked_add(hundredths.parse().ok()?)?;
    Some(PriceLevel { at_least: trim(cars).parse().ok()?, off: BasisPoints(off) })
}

/// Reads the yards file.
pub(super) fn yards(source: &SourceText, findings: &mut Findings) -> (Yards, Taken) {
    use YardColumn as C;
    let mut list = Vec::new();
    let mut book: Book<YardIx> = HashMap::new();
    let mut seen = Names::default();
    let taken = each_row::<C>(source, FileKind::Yards, findings, |row| {
        let (dealer, name) = (row.text(C::Dealer), row.text(C::Yard));
        if let (Some(dealer), Some(name)) = (&dealer, &name) {
            if let Some(first) = seen.add(dealer, name, row.place()) {
                let wrong = format!("is a yard of {dealer} that stands already at {first}");
                row.problem(C::Yard, Code::Duplicate, wrong, "keep one of the two rows");
            }
            book.entry(dealer.clone()).or_default().insert(name.clone(), None);
        }
        let position = position(row, C::Latitude, C::Longitude);
        let (loading, trip) = (row.money(C::Loading), row.money(C::Trip));
        let crane = row.money(C::Crane).unwrap_or_default();
        let levels = levels(row);
        let no_haul = seasons(row, C::NoHaul);
        let yard = || {
            Some(Yard {
                dealer: dealer?,
                name: name?,
                position: position?,
                loading: loading?,
                trip: trip?,
                crane,
                levels: levels?,
                no_haul: no_haul?,
                place: row.place(),
            })
        };
        list.extend(yard());
    });
    list.sort_by(|a, b| (&a.dealer, &a.name).cmp(&(&b.dealer, &b.name)));
    for (index, yard) in list.iter().enumerate() {
        enter(&mut book, &yard.dealer, &yard.name, YardIx(index));
    }
    (Yards { list, book, reached: taken.reached }, taken)
}

/// Reads the lots file, whose rows refer to yards.
pub(super) fn lots(
    source: &SourceText,
    yards: Option<&Yards>,
    findings: &mut Findings,
) -> (Lots, Taken) {
    use LotColumn as C;
    let mut list = Vec::new();
    let mut book: Book<LotIx> = HashMap::new();
    let mut seen = Names::default();
    let taken = each_row::<C>(source, FileKind::Lots, findings, |row| {
        let (dealer, name, yard) = (row.text(C::Dealer), row.text(C::Lot), row.text(C::Yard));
        if let (Some(dealer), Some(name)) = (&dealer, &name) {
            if let Some(first) = seen.add(dealer, name, row.place()) {
                let wrong = format!("is a lot of {dealer} that stands already at {first}");
                row.problem(C::Lot, Code::Duplicate, wrong, "keep one of the two rows");
            }
            book.entry(dealer.clone()).or_default().insert(name.clone(), None);
        }
        let price = row.money(C::Price);
        let (Some(dealer), Some(yard), Some(yards)) = (dealer, yard, yards) else { return };
        if let Some((column, text)) = yards.missing(&dealer, &yard, C::Dealer, C::Yard) {
            row.problem(column, Code::RefersToNothing, text.wrong, text.instead);
        }
        let place = row.place();
        let yard = yards.index(&dealer, &yard);
        let lot = || {
            Some(Lot {
                dealer,
                name: name?,
                yard: yard?,
                price,
                cars: Vec::new(),
                unread_rows: 0,
                place,
            })
        };
        list.extend(lot());
    });
    list.sort_by(|a, b| (&a.dealer, &a.name).cmp(&(&b.dealer, &b.name)));
    for (index, lot) in list.iter().enumerate() {
        enter(&mut book, &lot.dealer, &lot.name, LotIx(index));
    }
    (
        Lots { list, book, given: true, reached: taken.reached, wanted: AtomicBool::new(false) },
        taken,
    )
}

fn enter<Ix>(book: &mut Book<Ix>, dealer: &str, name: &str, index: Ix) {
    if let Some(known) = book.get_mut(dealer).and_then(|names| names.get_mut(name)) {
        *known = Some(index);
    }
}

fn keys<V>(map: &HashMap<String, V>) -> impl Iterator<Item = &str> {
    map.keys().map(String::as_str)
}

impl Yards {
    /// The index of a yard whose row is sound.
    pub fn index(&self, dealer: &str, name: &str) -> Option<YardIx> {
        *self.book.get(dealer)?.get(name)?
    }

    /// The name of a yard.
    pub fn name_of(&self, yard: YardIx) -> Option<&str> {
        self.list.get(yard.0).map(|yard| yard.name.as_str())
    }

    /// What to say, and of which of the two columns, if no row defines this yard.
    pub fn missing<C>(
        &self,
        dealer: &str,
        name: &str,
        of_dealer: C,
        of_yard: C,
    ) -> Option<(C, Missing)> {
        if !self.reached {
            return None;
        }
        let Some(yards) = self.book.get(dealer) else {
            let instead = match nearest(dealer, keys(&self.book)) {
                Some(near) => format!("write {near} if that is meant, or add the dealer's yard"),
                None => "add the dealer's yard to the yards file, or correct the name".to_owned(),
            };
            let wrong = "is a dealer without a yard in the yards file".to_owned();
            return Some((of_dealer, Missing { wrong, instead }));
        };
        if yards.contains_key(name) {
            return None;
        }
        let instead = match nearest(name, keys(yards)) {
            Some(near) => format!("write {near} if that is meant, or add the yard"),
            None => "add the yard to the yards file, or correct the name".to_owned(),
        };
        let wrong = format!("is not a yard of {dealer} in the yards file");
        Some((of_yard, Missing { wrong, instead }))
    }
}

impl Lots {
    /// No lots file: a car with a lot is a problem, unless that is not to be checked.
    pub fn without_file(unchecked: bool) -> Self {
        Self { given: unchecked, ..Self::default() }
    }

    /// Whether a car named a lot.
    pub fn wanted(&self) -> bool {
        self.wanted.load(Ordering::Relaxed)
    }

    /// The index of a lot whose row is sound.
    pub fn index(&self, dealer: &str, name: &str) -> Option<LotIx> {
        *self.book.get(dealer)?.get(name)?
    }

    /// The yard that a lot stands in.
    pub fn yard_of(&self, lot: LotIx) -> Option<YardIx> {
        self.list.get(lot.0).map(|lot| lot.yard)
    }

    /// What to say if no row defines this lot.
    pub fn missing(&self, dealer: &str, name: &str) -> Option<Missing> {
        self.wanted.store(true, Ordering::Relaxed);
        if !self.given {
            return Some(Missing {
                wrong: "is a lot, and no lots file was given".to_owned(),
                instead: "give the lots file with --lots, or leave the cell blank".to_owned(),
            });
        }
        let lots = self.book.get(dealer);
        if !self.reached || lots.is_some_and(|lots| lots.contains_key(name)) {
            return None;
        }
        let instead = match lots.and_then(|lots| nearest(name, keys(lots))) {
            Some(near) => format!("write {near} if that is meant, or add the lot"),
            None => "add the lot to the lots file, or correct the name".to_owned(),
        };
        Some(Missing { wrong: format!("is not a lot of {dealer} in the lots file"), instead })
    }
}
