//! S14 quote valid on the order date, S15 ready by the date needed.

use jiff::civil::{Date, date};
use spanyard::check::{Check, Code, Limit, Outcome, Value};
use spanyard::model::car::Availability;

use crate::testkit::fixture::{asked, asked_of, margin};

/// The order date of the fixture is 2026-06-01.
#[test]
fn the_quote_holds_on_the_order_date() {
    for (expires, outcome, by) in [
        (Some(date(2026, 9, 30)), Outcome::Pass, Some(121.0)), // 29 + 31 + 31 + 30 days
        (Some(date(2026, 6, 1)), Outcome::Pass, Some(0.0)),
        (Some(date(2026, 5, 31)), Outcome::Fail, Some(-1.0)),
        (None, Outcome::Unknown, None),
    ] {
        let check = asked_of(Code::QuoteDate, |car| car.quote_expires = expires);
        assert_eq!((check.outcome, margin(&check)), (outcome, by), "{expires:?}");
    }
}

#[test]
fn what_the_agency_owns_needs_no_quote() {
    for expires in [None, Some(date(2026, 5, 31))] {
        let check =
            asked_of(Code::QuoteDate, |car| (car.owned, car.quote_expires) = (true, expires));
        assert_eq!(check.outcome, Outcome::Pass);
    }
}

fn ready(available: Option<Availability>, needed_by: Option<Date>) -> Check {
    asked(Code::NeedDate, |inputs| {
        inputs.cars[0].available = available;
        inputs.crossings[0].needed_by = needed_by;
    })
}

/// The lead time of the built-in rules is 90 days: 2026-06-01 and 90 days is 2026-08-30 (29 days of
/// June, 31 of July, 30 of August).
#[test]
fn leaving_the_yard_and_lead_time_keep_the_date() {
    let now = Some(Availability::Now);
    let from = |month, day| Some(Availability::From(date(2026, month, day)));
    for (available, needed, outcome, by) in [
        (now, date(2026, 8, 30), Outcome::Pass, Some(0.0)),
        (now, date(2026, 8, 29), Outcome::Fail, Some(-1.0)),
        (now, date(2026, 9, 30), Outcome::Pass, Some(31.0)),
        (from(5, 1), date(2026, 8, 30), Outcome::Pass, Some(0.0)), // free before the order
        (from(6, 11), date(2026, 8, 30), Outcome::Fail, Some(-10.0)),
        (None, date(2026, 8, 30), Outcome::Unknown, None),
    ] {
        let check = ready(available, Some(needed));
        assert_eq!((check.outcome, margin(&check)), (outcome, by), "{available:?}, {needed}");
    }
}

#[test]
fn a_crossing_without_a_date_takes_any_car() {
    let check = ready(Some(Availability::Now), None);
    assert_eq!((check.outcome, &check.limit), (Outcome::Pass, &Limit::None));
    assert_eq!(check.measured, Value::Date(date(2026, 8, 30)));
    let check = ready(None, None);
    assert_eq!((check.outcome, check.measured), (Outcome::Pass, Value::Unknown));
}

#[test]
fn a_day_beyond_the_calendar_is_unknown_and_no_panic() {
    let check = ready(Some(Availability::From(Date::MAX)), Some(date(2026, 8, 30)));
    assert_eq!((check.outcome, check.note.as_str()), (Outcome::Unknown, "beyond the calendar"));
}
