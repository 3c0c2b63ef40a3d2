//! Closed seasons: `03-01 to 04-30` of every year, or `2027-03-01 to 2027-04-30` once.

use jiff::civil::Date;

use super::columns::Columns;
use super::lines::trim;
use super::row::Row;
use crate::check::Code;
use crate::model::season::{Season, Seasons};

/// The seasons of a cell; `Some(None)`: blank, not asked; `None`: a problem, reported.
pub(super) fn seasons<C: Columns>(row: &mut Row<'_, C>, column: C) -> Option<Option<Seasons>> {
    let Some(cell) = row.cell(column) else { return Some(None) };
    if cell.eq_ignore_ascii_case("none") {
        return Some(Some(Seasons::default()));
    }
    let mut found = Vec::new();
    let mut sound = true;
    for text in cell.split(';').map(trim).filter(|text| !text.is_empty()) {
        match season(text) {
            Some(season) => found.push(season),
            None => {
                let wrong = format!("has {text}, which is no closed season");
                let instead = format!("write {}", column.column().content.allowed());
                row.problem(column, Code::NotADate, wrong, instead);
                sound = false;
            }
        }
    }
    sound.then_some(Some(Seasons(found)))
}

fn season(text: &str) -> Option<Season> {
    let (from, to) = text.split_once(" to ").map(|(from, to)| (trim(from), trim(to)))?;
    if let (Some(from), Some(to)) = (day_of_year(from), day_of_year(to)) {
        return Some(Season::EveryYear(from, to));
    }
    let (from, to) = (from.parse::<Date>().ok()?, to.parse::<Date>().ok()?);
    (from <= to).then_some(Season::Once(from, to))
}

/// `03-01`, a day that some year has.
fn day_of_year(text: &str) -> Option<(i8, i8)> {
    let (month, day) = text.split_once('-')?;
    let two = |part: &str| part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
    if !two(month) || !two(day) {
        return None;
    }
    let (month, day) = (month.parse().ok()?, day.parse().ok()?);
    Date::new(2024, month, day).ok().map(|_| (month, day))
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn seasons_by_day_of_the_year_or_by_date() {
        let every = |from, to| Some(Season::EveryYear(from, to));
        for (text, found) in [
            ("03-01 to 04-30", every((3, 1), (4, 30))),
            ("11-20 to 02-29", every((11, 20), (2, 29))),
            ("2027-03-01 to 2027-04-30", Some(Season::Once(date(2027, 3, 1), date(2027, 4, 30)))),
            ("2027-04-30 to 2027-03-01", None),
            ("3-1 to 4-30", None),
            ("13-01 to 13-02", None),
            ("02-30 to 03-10", None),
            ("03-01 to 2027-04-30", None),
            ("March", None),
        ] {
            assert_eq!(season(text), found, "{text}");
        }
    }
}
