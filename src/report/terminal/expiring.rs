//! Quotes that end soon as a table.

use super::LEAST_WIDTH;
use crate::model::inputs::Inputs;
use crate::report::facts::count;
use crate::report::facts::expiring::Expiring;
use crate::report::text::{Align, Page, Table};

/// The quotes that end within a number of days, first ones first.
#[must_use]
pub fn expiring(inputs: &Inputs, expiring: &Expiring, days: u16, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    let from = format!("from {}, the day of the order", inputs.order_date);
    let within = count(usize::from(days), "day");
    if expiring.soon.is_empty() {
        page.para(0, &format!("No quote ends within {within} {from}."));
    } else {
        let cars = count(expiring.soon.iter().map(|one| one.cars.len()).sum(), "row");
        page.para(0, &format!("Quotes of {cars} of cars end within {within} {from}."));
        let aligns = [Align::Left, Align::Right, Align::Left, Align::Left, Align::Left];
        let mut table = Table::new(&aligns).header(&["Last day", "Days", "Dealer", "Yard", "Cars"]);
        for one in &expiring.soon {
            let lot = one.lot.as_ref().map(|lot| format!("lot {lot}: ")).unwrap_or_default();
            table.row([
                one.day.to_string(),
                one.days.to_string(),
                one.dealer.clone(),
                one.yard.clone(),
                lot + &one.cars.join(", "),
            ]);
        }
        page.blank();
        page.table(2, &table);
    }
    page.blank();
    for (number, said) in [(expiring.ended, "ended before"), (expiring.unknown, "unknown")] {
        if number > 0 {
            page.para(0, &format!("Last day of the quote {said}: {}.", count(number, "row")));
        }
    }
    page.finish()
}
