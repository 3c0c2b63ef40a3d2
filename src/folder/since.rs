//! What changed from a dealer's list to the next one.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::read::{CarBack, ReadBack};

/// What changed from a dealer's list to the next one.
pub(super) fn since(old: &ReadBack, new: &ReadBack, day: Date) -> Vec<String> {
    let by_id = |back: &ReadBack| -> BTreeMap<String, CarBack> {
        back.cars.iter().map(|car| (car.car.clone(), car.clone())).collect()
    };
    let (old, new) = (by_id(old), by_id(new));
    let mut lines = Vec::new();
    let listed = |what: &str, ids: Vec<&String>, lines: &mut Vec<String>| {
        if !ids.is_empty() {
            let ids: Vec<&str> = ids.into_iter().map(String::as_str).collect();
            lines.push(format!("{what}: {}", ids.join(", ")));
        }
    };
    listed("new", new.keys().filter(|id| !old.contains_key(*id)).collect(), &mut lines);
    listed("gone", old.keys().filter(|id| !new.contains_key(*id)).collect(), &mut lines);
    let get = |car: &CarBack, column: &str| {
        let fact = car.facts.iter().find(|fact| fact.column == column);
        fact.map(|fact| fact.understood.clone()).unwrap_or_default()
    };
    let dollars = |text: &str| {
        let digits: String = text.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
        digits.parse::<f64>().ok()
    };
    for (id, car) in &new {
        let Some(before) = old.get(id) else { continue };
        let (was, is) = (get(before, "price_usd"), get(car, "price_usd"));
        if let (Some(before), Some(now)) = (dollars(&was), dollars(&is))
            && before != now
        {
            let word = if now < before { "cheaper" } else { "dearer" };
            lines.push(format!("{word}: {id}, {is} and before {was}"));
        }
        let mut columns: Vec<&str> = car.facts.iter().map(|fact| fact.column).collect();
        columns.extend(before.facts.iter().map(|fact| fact.column));
        columns.sort_unstable();
        columns.dedup();
        let apart = ["price_usd", "quote_expires", "notes", "car", "dealer"];
        for column in columns.into_iter().filter(|column| !apart.contains(column)) {
            let (was, is) = (get(before, column), get(car, column));
            if was != is {
                let said = |text: &str| if text.is_empty() { "unknown" } else { text }.to_owned();
                lines.push(format!(
                    "changed: {id} {column}, {} and before {}",
                    said(&is),
                    said(&was)
                ));
            }
        }
    }
    let ended = new.iter().filter(|(_, car)| {
        get(car, "quote_expires").parse::<Date>().is_ok_and(|until| until < day)
    });
    listed("expired", ended.map(|(id, _)| id).collect(), &mut lines);
    if lines.is_empty() {
        lines.push("nothing changed".to_owned());
    }
    lines
}
