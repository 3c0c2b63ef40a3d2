//! What closed seasons make of the days between a car's leaving and the bridge.

use jiff::Span;
use jiff::civil::Date;

use super::car::{Availability, Car};
use super::crossing::Crossing;
use super::inputs::Inputs;
use super::season::Seasons;

/// What closes a car's way to a crossing and the work there; `None`: not asked.
#[derive(Clone, Copy, Debug)]
pub struct Closed<'a> {
    /// Days on which nothing is hauled from the yard.
    pub yard: Option<&'a Seasons>,
    /// Days on which nothing is hauled to the crossing.
    pub route: Option<&'a Seasons>,
    /// Days on which nothing is done in the stream.
    pub stream: Option<&'a Seasons>,
}

/// How many years are looked ahead for an open day.
const YEARS: i16 = 6;

impl<'a> Closed<'a> {
    /// What closes this car's way to this crossing.
    #[must_use]
    pub fn of(inputs: &'a Inputs, car: &Car, crossing: &'a Crossing) -> Self {
        Self {
            yard: inputs.yard(car.yard).no_haul.as_ref(),
            route: crossing.no_haul.as_ref(),
            stream: crossing.no_stream_work.as_ref(),
        }
    }

    fn named(&self) -> [(&'static str, Option<&'a Seasons>); 3] {
        [
            ("hauling from the yard", self.yard),
            ("hauling to the crossing", self.route),
            ("work in the stream", self.stream),
        ]
    }

    /// `no hauling from the yard 03-01 to 04-30`, one for each that is closed at some time.
    #[must_use]
    pub fn told(&self) -> Vec<String> {
        let named = self.named().into_iter();
        let closed = named.filter_map(|(what, seasons)| Some((what, seasons?)));
        let closed = closed.filter(|(_, seasons)| !seasons.0.is_empty());
        closed.map(|(what, seasons)| format!("no {what} {seasons}")).collect()
    }

    /// Of what no closed season was asked.
    #[must_use]
    pub fn not_asked(&self) -> Vec<&'static str> {
        let named = self.named().into_iter();
        named.filter(|(_, seasons)| seasons.is_none()).map(|(what, _)| what).collect()
    }

    /// The day on which a car that can leave on this day has been hauled and built in, so many days
    /// later; days that are closed do not count. None where no day is open within the years looked at,
    /// or beyond the calendar.
    #[must_use]
    pub fn ready(&self, leaves: Date, days: u16) -> Option<Date> {
        let last = leaves.year().checked_add(YEARS)?;
        let mut runs: Vec<(Date, Date)> = self
            .named()
            .into_iter()
            .filter_map(|(_, seasons)| seasons)
            .flat_map(|seasons| &seasons.0)
            .flat_map(|season| season.runs(leaves, YEARS))
            .collect();
        runs.sort_unstable();
        let (mut day, mut left) = (leaves, i32::from(days));
        for (from, to) in runs {
            if to < day {
                continue;
            }
            let open = (from - day).get_days();
            if open > left {
                break;
            }
            // From the last open day before it to the first one after it is one day of work.
            if open > 0 {
                left -= open - 1;
                day = after(to, 1)?;
                left -= 1;
            } else {
                day = after(to, 1)?;
            }
        }
        after(day, left).filter(|day| day.year() < last)
    }

    /// The last day on which a car may leave to be ready by this one.
    #[must_use]
    pub fn leaves_by(&self, needed: Date, days: u16) -> Option<Date> {
        let mut day = needed.checked_sub(span(i32::from(days))?).ok()?;
        for _ in 0..i32::from(YEARS) * 366 {
            if self.ready(day, days).is_some_and(|ready| ready <= needed) {
                return Some(day);
            }
            day = day.checked_sub(span(1)?).ok()?;
        }
        None
    }
}

/// The first day on which a car can leave its yard; `None`: not stated.
#[must_use]
pub fn leaves(car: &Car, order: Date) -> Option<Date> {
    car.available.map(|available| match available {
        Availability::Now => order,
        Availability::From(day) => day.max(order),
    })
}

fn span(days: i32) -> Option<Span> {
    Span::new().try_days(i64::from(days)).ok()
}

/// The day so many days later; none beyond the last day that can be written.
fn after(day: Date, days: i32) -> Option<Date> {
    day.checked_add(span(days)?).ok()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::model::season::Season;

    fn closed(seasons: &[Season]) -> Seasons {
        Seasons(seasons.to_vec())
    }

    fn by<'a>(yard: &'a Seasons, stream: &'a Seasons) -> Closed<'a> {
        Closed { yard: Some(yard), route: None, stream: Some(stream) }
    }

    /// Day by day, as one would on a calendar.
    fn on_a_calendar(closed: &Closed<'_>, leaves: Date, days: u16) -> Date {
        let shut = |day: Date| {
            [closed.yard, closed.route, closed.stream].into_iter().flatten().any(|seasons| {
                seasons.0.iter().any(|season| match *season {
                    Season::Once(from, to) => from <= day && day <= to,
                    Season::EveryYear(from, to) => {
                        let at = (day.month(), day.day());
                        if from <= to { from <= at && at <= to } else { from <= at || at <= to }
                    }
                })
            })
        };
        let mut day = leaves;
        while shut(day) {
            day = day.tomorrow().unwrap();
        }
        for _ in 0..days {
            day = day.tomorrow().unwrap();
            while shut(day) {
                day = day.tomorrow().unwrap();
            }
        }
        day
    }

    /// By hand: out on 1 June with 90 days it would be 30 August; work in the stream rests from 15 July to
    /// 15 August, 32 days, so it is 1 October (1 day of August left, 30 of September).
    #[test]
    fn closed_days_do_not_count() {
        let none = Seasons::default();
        let fish = closed(&[Season::EveryYear((7, 15), (8, 15))]);
        assert_eq!(by(&none, &none).ready(date(2026, 6, 1), 90), Some(date(2026, 8, 30)));
        assert_eq!(by(&none, &fish).ready(date(2026, 6, 1), 90), Some(date(2026, 10, 1)));
        // In the season nothing begins.
        assert_eq!(by(&none, &fish).ready(date(2026, 7, 20), 0), Some(date(2026, 8, 16)));
        let always = closed(&[Season::EveryYear((1, 1), (12, 31))]);
        assert_eq!(by(&always, &none).ready(date(2026, 6, 1), 1), None);
        assert_eq!(by(&none, &fish).leaves_by(date(2026, 10, 1), 90), Some(date(2026, 6, 1)));
        assert_eq!(by(&none, &fish).leaves_by(date(2026, 9, 30), 90), Some(date(2026, 5, 31)));
    }

    #[test]
    fn runs_and_a_calendar_agree() {
        let thaw = Season::EveryYear((3, 1), (5, 10));
        let winter = Season::EveryYear((11, 20), (2, 29));
        let fish = Season::EveryYear((4, 15), (6, 30));
        let once = Season::Once(date(2027, 2, 20), date(2027, 8, 3));
        for (yard, stream) in [
            (vec![thaw], vec![fish]),
            (vec![winter, thaw], vec![]),
            (vec![once], vec![fish, winter]),
            (vec![once, once], vec![once, Season::Once(date(2027, 8, 4), date(2027, 8, 4))]),
        ] {
            let (yard, stream) = (Seasons(yard), Seasons(stream));
            let closed = by(&yard, &stream);
            let mut day = date(2026, 6, 1);
            while day < date(2028, 7, 1) {
                for days in [0, 1, 7, 90, 250] {
                    let found = closed.ready(day, days);
                    assert_eq!(found, Some(on_a_calendar(&closed, day, days)), "{day} {days}");
                }
                day = after(day, 5).unwrap();
            }
        }
    }
}
