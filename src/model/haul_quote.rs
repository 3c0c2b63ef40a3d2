//! What haulers quoted for loads from yards to crossings.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::place::RowPlace;
use crate::quantity::Cents;

/// A quote for one load, whatever cars are on it.
#[derive(Clone, Debug, PartialEq)]
pub struct HaulQuote {
    /// The dealer's name.
    pub dealer: String,
    /// The yard's name.
    pub yard: String,
    /// The dealer's ID of the car that it holds for alone; none where it holds for every car.
    pub car: Option<String>,
    /// The haul.
    pub haul: Cents,
    /// Its permits; none: not quoted, so estimated by the rules.
    pub permit: Option<Cents>,
    /// Its escorts; none: not quoted, so estimated by the rules.
    pub escort: Option<Cents>,
    /// Who quoted.
    pub source: String,
    /// The day of the quote.
    pub quoted: Date,
    /// The last day on which it holds; none: no day was named.
    pub expires: Option<Date>,
    /// Where the row stands.
    pub place: RowPlace,
}

impl HaulQuote {
    /// `quoted by Wain Brothers, 2026-05-12`.
    #[must_use]
    pub fn words(&self) -> String {
        format!("quoted by {}, {}", self.source, self.quoted)
    }
}

/// All quotes, by the crossing that they lead to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HaulQuotes {
    by_crossing: BTreeMap<String, Vec<HaulQuote>>,
}

impl HaulQuotes {
    /// Adds the quote of a load to a crossing.
    pub fn add(&mut self, crossing: String, quote: HaulQuote) {
        self.by_crossing.entry(crossing).or_default().push(quote);
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.by_crossing.is_empty()
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.by_crossing.values().map(Vec::len).sum()
    }

    /// Those that lead to a crossing.
    #[must_use]
    pub fn to(&self, crossing: &str) -> &[HaulQuote] {
        self.by_crossing.get(crossing).map_or(&[], Vec::as_slice)
    }

    /// The quote for a car of a yard on its way to a crossing that holds on the day of the order: that of
    /// the car before that of the yard.
    #[must_use]
    pub fn find(
        &self,
        crossing: &str,
        (dealer, yard): (&str, &str),
        ids: [&str; 2],
        day: Date,
    ) -> Option<&HaulQuote> {
        let holds = |quote: &&HaulQuote| quote.expires.is_none_or(|last| last >= day);
        let here = || {
            let of_yard = |quote: &&HaulQuote| quote.dealer == dealer && quote.yard == yard;
            self.to(crossing).iter().filter(of_yard).filter(holds)
        };
        let of_car =
            |quote: &&HaulQuote| quote.car.as_deref().is_some_and(|car| ids.contains(&car));
        here().find(of_car).or_else(|| here().find(|quote| quote.car.is_none()))
    }
}
