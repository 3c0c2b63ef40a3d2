//! The day on which a bridge is ready, counted day by day.

use jiff::civil::Date;

use crate::check::{Check, Code, Value};
use crate::model::car::{Availability, Car};
use crate::model::crossing::Crossing;
use crate::model::inputs::Inputs;
use crate::model::season::{Season, Seasons};

/// Longer than any season leaves closed.
const DAYS: usize = 3_000;

/// What is wrong with the ready day that a placed car's checks tell, and with the date needed.
pub(super) fn fault(
    inputs: &Inputs,
    car: &Car,
    crossing: &Crossing,
    checks: &[Check],
) -> Option<String> {
    let needed = crossing.needed_by?;
    let Some(ready) = ready(inputs, car, crossing) else {
        return Some("no day on which it is ready".to_owned());
    };
    if ready > needed {
        return Some(format!("ready on {ready}, needed on {needed}"));
    }
    let told = checks.iter().find(|check| check.code == Code::NeedDate)?;
    let same = told.measured == Value::Date(ready);
    (!same).then(|| format!("ready on {ready}, and {} is told", told.measured))
}

fn ready(inputs: &Inputs, car: &Car, crossing: &Crossing) -> Option<Date> {
    let mut day = match car.available? {
        Availability::From(day) if day > inputs.order_date => day,
        _ => inputs.order_date,
    };
    let seasons = [&inputs.yard(car.yard).no_haul, &crossing.no_haul, &crossing.no_stream_work];
    let shut =
        |day: Date| seasons.iter().any(|seasons| seasons.as_ref().is_some_and(|s| closes(s, day)));
    let mut days_of_work = inputs.rules.purchase.lead_time_days;
    for _ in 0..DAYS {
        if !shut(day) {
            if days_of_work == 0 {
                return Some(day);
            }
            days_of_work -= 1;
        }
        day = day.tomorrow().ok()?;
    }
    None
}

fn closes(seasons: &Seasons, day: Date) -> bool {
    let at = (day.month(), day.day());
    seasons.0.iter().any(|season| match *season {
        Season::Once(from, to) => from <= day && day <= to,
        Season::EveryYear(from, to) if from <= to => from <= at && at <= to,
        Season::EveryYear(from, to) => at >= from || at <= to,
    })
}
