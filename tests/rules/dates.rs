//! S14 quote valid on the order date, S15 ready by the date needed.

use jiff::civil::{Date, date};
use spanyard::check::{Check, Code, Limit, Outcome, Value};
use spanyard::model::car::Availability;
use spanyard::model::inputs::Inputs;
use spanyard::model::season::{Season, Seasons};

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

fn every(from: (i8, i8), to: (i8, i8)) -> Option<Seasons> {
    Some(Seasons(vec![Season::EveryYear(from, to)]))
}

/// 90 days from 2026-06-01 end on 30 August; each closed day is a day later.
#[test]
fn closed_days_put_the_bridge_off() {
    type Change = fn(&mut Inputs);
    let cases: [(Change, Outcome, Option<f64>, &str); 7] = [
        (|_| (), Outcome::Pass, Some(31.0), "90 days to haul and build"),
        // 1 to 20 July are 20 days.
        (
            |inputs| inputs.yards[0].no_haul = every((7, 1), (7, 20)),
            Outcome::Pass,
            Some(11.0),
            "closed days do not count: no hauling from the yard 07-01 to 07-20",
        ),
        // 1 July to 1 August are 32.
        (
            |inputs| inputs.crossings[0].no_haul = every((7, 1), (8, 1)),
            Outcome::Fail,
            Some(-1.0),
            "no hauling to the crossing 07-01 to 08-01",
        ),
        (
            |inputs| inputs.crossings[0].no_stream_work = every((7, 1), (7, 31)),
            Outcome::Pass,
            Some(0.0),
            "no work in the stream 07-01 to 07-31",
        ),
        // A day that is closed twice is lost once.
        (
            |inputs| {
                inputs.yards[0].no_haul = every((7, 1), (7, 20));
                inputs.crossings[0].no_stream_work = every((7, 11), (7, 31));
            },
            Outcome::Pass,
            Some(0.0),
            "no hauling from the yard 07-01 to 07-20, no work in the stream 07-11 to 07-31",
        ),
        (
            |inputs| inputs.crossings[0].no_stream_work = every((1, 1), (12, 31)),
            Outcome::Unknown,
            None,
            "no day is open for it",
        ),
        (
            |inputs| (inputs.yards[0].no_haul, inputs.crossings[0].no_stream_work) = (None, None),
            Outcome::Caution,
            Some(31.0),
            "closed seasons not asked of hauling from the yard, work in the stream",
        ),
    ];
    for (change, outcome, by, words) in cases {
        let check = asked(Code::NeedDate, |inputs| {
            inputs.crossings[0].needed_by = Some(date(2026, 9, 30));
            change(inputs);
        });
        assert_eq!((check.outcome, margin(&check)), (outcome, by), "{words}");
        assert!(check.note.contains(words), "{}", check.note);
    }
}
