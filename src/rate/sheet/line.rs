//! One line of the sheet, and the parts they stand in.

use serde::Serialize;

use super::amount::Amount;

/// A part of the sheet under its title.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Part {
    /// What it is about.
    pub title: String,
    /// Its lines.
    pub lines: Vec<Line>,
}

impl Part {
    pub(super) fn new(title: impl Into<String>) -> Self {
        Self { title: title.into(), lines: Vec::new() }
    }

    pub(super) fn push(&mut self, line: Line) {
        self.lines.push(line);
    }
}

/// One step of the calculation, or one input.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    /// What it is.
    pub label: String,
    /// Its symbol in later formulas; empty where none is used.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub symbol: String,
    /// The formula in symbols; empty for an input.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub formula: String,
    /// The formula in numbers: `+ - x / ^ ( )`, `min`, `max` and `sqrt`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub numbers: String,
    /// The result.
    pub result: Amount,
    /// Clause or source; empty where it is plain arithmetic.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// Where the input stands: file, line and column, or the key of the rules.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Whether this result governs.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub governs: bool,
}

impl Line {
    pub(super) fn new(
        label: impl Into<String>,
        symbol: impl Into<String>,
        result: impl Into<Amount>,
    ) -> Self {
        Self {
            label: label.into(),
            symbol: symbol.into(),
            formula: String::new(),
            numbers: String::new(),
            result: result.into(),
            source: String::new(),
            place: String::new(),
            governs: false,
        }
    }

    pub(super) fn by(mut self, formula: impl Into<String>, numbers: impl Into<String>) -> Self {
        self.formula = formula.into();
        self.numbers = numbers.into();
        self
    }

    pub(super) fn source(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        self
    }

    pub(super) fn at(mut self, place: impl Into<String>) -> Self {
        self.place = place.into();
        self
    }

    pub(super) fn governs(mut self, governs: bool) -> Self {
        self.governs = governs;
        self
    }
}

/// A quantity as it is printed elsewhere on the sheet, for the `numbers` of a line.
pub(super) fn n(quantity: impl Into<Amount>) -> String {
    quantity.into().bare()
}

/// A pure number as printed.
pub(super) fn r(value: f64) -> String {
    Amount::ratio(value).bare()
}
