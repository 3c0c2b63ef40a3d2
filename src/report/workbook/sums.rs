//! The live sums of each sheet.

use rust_xlsxwriter::{Formula, Worksheet, XlsxError};

use super::Formats;
use crate::model::plan::CostItem;
use crate::quantity::Cents;
use crate::report::tables::{Cell, Kind, Table};

/// Writes the sums below a table, and the costs of the crossings as sums over the sheet of costs.
pub fn write(
    sheet: &mut Worksheet,
    table: &Table,
    tables: &[Table],
    formats: &Formats,
) -> Result<(), XlsxError> {
    if table.name == "crossings"
        && let Some(costs) = tables.iter().find(|table| table.name == "costs")
    {
        costs_of_crossings(sheet, table, costs, formats)?;
    }
    if table.rows.is_empty() {
        return Ok(());
    }
    // What an alternative would cost more is no part of a sum.
    let summed = table.columns.iter().enumerate();
    let summed = summed.filter(|(_, c)| c.kind == Kind::Money && c.key != "alternative_usd");
    let below = u32::try_from(table.rows.len()).unwrap_or(u32::MAX - 4) + 1;
    if table.name == "costs" {
        return outlay(sheet, table, below, formats);
    }
    let mut any = false;
    for (index, _) in summed {
        let total: Cents = column(table, index).sum();
        let letter = letter(index);
        let sum = Formula::new(format!("=SUM({letter}2:{letter}{below})"));
        put(sheet, (below, index), sum, total, formats)?;
        any = true;
    }
    if any {
        sheet.write_string_with_format(below, 0, "Sum", &formats.total)?;
    }
    Ok(())
}

/// Below the costs: what must be paid, what the left-over cars are worth, and the net cost.
fn outlay(
    sheet: &mut Worksheet,
    table: &Table,
    below: u32,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let (Some(item), Some(amount)) = (table.column("item"), table.column("amount_usd")) else {
        return Ok(());
    };
    let worth: Cents = table
        .rows
        .iter()
        .filter(|row| row.get(item) == Some(&Cell::from(CostItem::StockValue.word())))
        .filter_map(|row| money(row.get(amount)))
        .sum();
    let net: Cents = column(table, amount).sum();
    let (words, sums) = (letter(item), letter(amount));
    let stock = CostItem::StockValue.word();
    let all = format!("SUM({sums}2:{sums}{below})");
    let of_stock = format!("SUMIF({words}2:{words}{below},\"{stock}\",{sums}2:{sums}{below})");
    let rows = [
        ("To pay", format!("={all}-{of_stock}"), net - worth),
        ("Worth of left-over cars", format!("={of_stock}"), worth),
        ("Net cost", format!("={all}"), net),
    ];
    for (row, (words, formula, result)) in (below..).zip(rows) {
        sheet.write_string_with_format(row, 0, words, &formats.total)?;
        put(sheet, (row, amount), Formula::new(formula), result, formats)?;
    }
    Ok(())
}

/// The cost of each crossing as the sum of its lines. EXACT, because SUMIF would take a name such
/// as `>1` or `B*` for a condition.
fn costs_of_crossings(
    sheet: &mut Worksheet,
    table: &Table,
    costs: &Table,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let (Some(cost), Some(place), Some(amount)) =
        (table.column("cost_usd"), costs.column("where"), costs.column("amount_usd"))
    else {
        return Ok(());
    };
    let (place, amount) = (letter(place), letter(amount));
    let last = costs.rows.len() + 1;
    for (row, at) in table.rows.iter().zip(1_u32..) {
        let Some(total) = money(row.get(cost)) else { continue };
        let name = costs.title;
        let formula = Formula::new(format!(
            "=SUMPRODUCT(EXACT({name}!${place}$2:${place}${last},A{})*{name}!${amount}$2:${amount}${last})",
            at + 1
        ));
        let result = formula.set_result(total.as_dollars().to_string());
        sheet.write_formula_with_format(at, cost as u16, result, &formats.money)?;
    }
    Ok(())
}

fn put(
    sheet: &mut Worksheet,
    (row, column): (u32, usize),
    formula: Formula,
    result: Cents,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let formula = formula.set_result(result.as_dollars().to_string());
    sheet.write_formula_with_format(row, column as u16, formula, &formats.total_money)?;
    Ok(())
}

fn column(table: &Table, index: usize) -> impl Iterator<Item = Cents> + '_ {
    table.rows.iter().filter_map(move |row| money(row.get(index)))
}

pub(super) fn money(cell: Option<&Cell>) -> Option<Cents> {
    match cell {
        Some(Cell::Money(amount)) => Some(*amount),
        _ => None,
    }
}

/// The name of a column; no table has more than 26.
pub(super) fn letter(index: usize) -> char {
    char::from(b'A' + u8::try_from(index.min(25)).unwrap_or(25))
}
