//! Letters with questions, one for each yard, each with a table to fill in; and the conditional plan.

use super::super::csv::{NotWritten as NoTable, harmless};
use super::{SheetFile, slug};
use crate::after::ask::Asked;
use crate::model::inputs::Inputs;
use crate::report::facts::ask::{CONDITIONAL, by_yard, row, ways};

/// The columns of the table.
const COLUMNS: [&str; 8] =
    ["dealer", "yard", "car", "fact", "value_needed", "opens", "how_to_find_out", "found"];

/// A letter as text, and its table, for each yard. A dealer is told nothing of other dealers, and of a
/// crossing its ID alone.
///
/// # Errors
/// Never in practice: everything is written to memory.
pub fn letters(inputs: &Inputs, asked: &Asked) -> Result<Vec<SheetFile>, NoTable> {
    let mut files = Vec::new();
    let agency = inputs.rules.agency.name.as_deref().unwrap_or("(agency)");
    let contact = inputs.rules.agency.contact.as_deref().unwrap_or("(contact)");
    for (number, (yard, questions)) in (1..).zip(by_yard(asked, inputs)) {
        let yard = inputs.yard(yard);
        let mut letter = format!(
            "{agency}\n{contact}\n\nTo {}, yard {}\n\nThis is a question, not an order, and it binds \
             nobody.\n\nWe look into the cars below for use as bridges. What stands below each, your \
             list does not say, or not in words that we are sure of. Please measure or look, and write what you find; a photograph \
             helps. Fill in the table that comes with this letter, or answer here.\n\n",
            yard.dealer, yard.name
        );
        let mut table = ::csv::Writer::from_writer(Vec::new());
        table.write_record(COLUMNS).map_err(|_| NoTable)?;
        let mut last = None;
        for question in &questions {
            let [car, fact, value, opens, how] = row(inputs, question);
            if last != Some(question.car) {
                last = Some(question.car);
                letter.push_str(&format!("Car {car}, for {opens}\n"));
            }
            let needed = if value.is_empty() { String::new() } else { format!(": {value}") };
            letter.push_str(&format!("  {fact}{needed}\n      found: ____________\n"));
            let cells =
                [&yard.dealer, &yard.name, &car, &fact, &value, &opens, &how, &String::new()];
            let cells = cells.map(|cell| harmless(cell).into_owned());
            table.write_record(cells).map_err(|_| NoTable)?;
        }
        letter.push_str("\nHow to find out:\n");
        for (facts, way) in ways(&questions) {
            letter.push_str(&format!("  {facts}: {way}.\n"));
        }
        letter.push_str("\nWho looked, and when: ____________________\n");
        let table = table.into_inner().map_err(|_| NoTable)?;
        let name = slug(&yard.name);
        files.push(SheetFile { name: format!("letter-{number}-{name}.txt"), content: letter });
        files.push(SheetFile {
            name: format!("letter-{number}-{name}.csv"),
            content: String::from_utf8(table).map_err(|_| NoTable)?,
        });
    }
    Ok(files)
}

/// The conditional plan's text, marked above every section.
#[must_use]
pub fn conditional(plan: &str) -> SheetFile {
    let lines: Vec<&str> = plan.lines().collect();
    let mut text = format!("{CONDITIONAL}\n\n");
    for (at, line) in lines.iter().enumerate() {
        let heads =
            lines.get(at + 1).is_some_and(|next| next.len() > 3 && next.chars().all(|c| c == '-'));
        if heads {
            text.push_str(&format!("[{CONDITIONAL}]\n"));
        }
        text.push_str(&line.replace("PLAN:", "CONDITIONAL PLAN:"));
        text.push('\n');
    }
    SheetFile { name: "conditional-plan.txt".to_owned(), content: text }
}
