//! Where the value of a column stands on a car, and which kind of cell gives it.

use jiff::civil::Date;

use crate::model::car::{
    Availability, Car, CarDeck, CarKind, Coating, DeckCondition, Fabrication, LeadStatus,
    MemberCondition, Underframe,
};
use crate::quantity::{Cents, CubicInches, Feet, Inches, Kips, Ksi};

/// A value of a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum<'c> {
    /// A text or name.
    Text(String),
    /// A number in the column's unit.
    Number(f64),
    /// A year.
    Year(i16),
    /// Money.
    Money(Cents),
    /// A word, as written.
    Word(&'c str),
    /// Yes or no.
    YesNo(bool),
    /// A day.
    Day(Date),
    /// When a car can leave.
    Availability(Availability),
    /// The condition of a group of members.
    Condition(MemberCondition),
}

/// A value that a cell can give.
pub trait FromDatum: Sized {
    /// The value, unless the cell holds another kind of value or a word that is not known.
    fn from_datum(datum: Datum<'_>) -> Option<Self>;
}

/// Declares which kind of cell gives a type, and how.
macro_rules! given_by {
    ($($type:ty: $kind:ident($value:ident) => $made:expr;)*) => {
        $(impl FromDatum for $type {
            fn from_datum(datum: Datum<'_>) -> Option<Self> {
                match datum {
                    Datum::$kind($value) => $made,
                    _ => None,
                }
            }
        })*
    };
}

given_by! {
    String: Text(text) => Some(text);
    Feet: Number(feet) => Some(Feet(feet));
    Inches: Number(inches) => Some(Inches(inches));
    Ksi: Number(ksi) => Some(Ksi(ksi));
    CubicInches: Number(cubic) => Some(CubicInches(cubic));
    Kips: Number(pounds) => Some(Kips::from_pounds(pounds));
    i16: Year(year) => Some(year);
    Cents: Money(cents) => Some(cents);
    bool: YesNo(yes) => Some(yes);
    Date: Day(day) => Some(day);
    Availability: Availability(from) => Some(from);
    MemberCondition: Condition(condition) => Some(condition);
    CarKind: Word(word) => Self::from_word(word);
    Underframe: Word(word) => Self::from_word(word);
    Fabrication: Word(word) => Self::from_word(word);
    CarDeck: Word(word) => Self::from_word(word);
    DeckCondition: Word(word) => Self::from_word(word);
    Coating: Word(word) => Self::from_word(word);
    LeadStatus: Word(word) => Self::from_word(word);
}

/// The field of a car that a column fills.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Whether an inspector can measure it.
    pub(super) measured: bool,
    /// Sets it. No: the word is not known.
    pub set: fn(&mut Car, Datum<'_>) -> bool,
    pub(super) copy: fn(&mut Car, &Car),
    pub(super) known: fn(&Car) -> bool,
}

/// Where the value of a column stands on a car.
#[derive(Clone, Copy, Debug)]
pub enum OnCar {
    /// It names or counts the car, and is read by itself.
    Apart,
    /// It is one of the main girder's plates, which are measured and read together.
    Plates,
    /// It has a field of its own.
    Field(Field),
}

macro_rules! on_car {
    (apart) => {
        OnCar::Apart
    };
    (plates) => {
        OnCar::Plates
    };
    (measured $($field:ident).+) => {
        on_car!(@ true, $($field).+)
    };
    (told $($field:ident).+) => {
        on_car!(@ false, $($field).+)
    };
    (@ $measured:literal, $($field:ident).+) => {
        OnCar::Field(Field {
            measured: $measured,
            set: |car, datum| {
                car.$($field).+ = FromDatum::from_datum(datum);
                car.$($field).+.is_some()
            },
            copy: |car, from| car.$($field).+.clone_from(&from.$($field).+),
            known: |car| car.$($field).+.is_some(),
        })
    };
}

pub(super) use on_car;
