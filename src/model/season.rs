//! Closed seasons: days of the year, or single days, on which no car may be hauled or no work done in the
//! stream.

use std::fmt;

use jiff::civil::Date;
use serde::{Serialize, Serializer};

/// One closed season, both its ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Season {
    /// Every year from this month and day to that, over the turn of the year where that is earlier.
    EveryYear((i8, i8), (i8, i8)),
    /// Once.
    Once(Date, Date),
}

impl Season {
    /// Its runs that end on this day or later and begin within so many years of it, in order.
    pub(super) fn runs(self, day: Date, years: i16) -> Vec<(Date, Date)> {
        match self {
            Self::Once(from, to) => vec![(from, to)],
            Self::EveryYear(from, to) => {
                let over = i16::from(to < from);
                let year = |year: i16| Some((on(year, from, false)?, on(year + over, to, true)?));
                (day.year() - 1..=day.year() + years).filter_map(year).collect()
            }
        }
    }
}

/// This month and day of a year; 29 February is the day beside it where the year has none, the later for a
/// first day and the earlier for a last.
fn on(year: i16, (month, day): (i8, i8), last: bool) -> Option<Date> {
    let beside = if last { (2, 28) } else { (3, 1) };
    Date::new(year, month, day).or_else(|_| Date::new(year, beside.0, beside.1)).ok()
}

impl fmt::Display for Season {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EveryYear((m, d), (n, e)) => write!(f, "{m:02}-{d:02} to {n:02}-{e:02}"),
            Self::Once(from, to) => write!(f, "{from} to {to}"),
        }
    }
}

/// The closed seasons that were stated; none of them: nothing is ever closed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seasons(pub Vec<Season>);

impl fmt::Display for Seasons {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str("none");
        }
        let all: Vec<String> = self.0.iter().map(Season::to_string).collect();
        f.write_str(&all.join("; "))
    }
}

impl Serialize for Seasons {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
