//! Sheets to hand out: to each dealer what is wanted of him, to the inspector a form for each car,
//! to the crew a sheet for each crossing. Each is a page of its own, without network or script.

mod crew;
mod inspection;
mod letter;
mod order;
mod request;

pub use letter::{conditional, letters};

use super::facts::PlanReport;
use super::page::NotWritten;
use super::provenance::PageContext;
use super::tables;

/// A file to write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetFile {
    /// Its name, safe in every file system: small letters, digits and hyphens.
    pub name: String,
    /// Its content.
    pub content: String,
}

/// Why the sheets could not be made; does not happen when writing to memory.
#[derive(Debug, thiserror::Error)]
pub enum Unwritten {
    /// A page.
    #[error(transparent)]
    Page(#[from] NotWritten),
    /// A table.
    #[error(transparent)]
    Table(#[from] super::csv::NotWritten),
}

/// Every sheet of a plan, and every table as CSV.
///
/// # Errors
/// Never in practice: everything is written to memory.
pub fn all(report: &PlanReport<'_>, context: &PageContext) -> Result<Vec<SheetFile>, Unwritten> {
    let mut files = Vec::new();
    for (number, purchase) in (1..).zip(&report.plan.purchases) {
        let name = slug(&report.inputs.yard(purchase.yard).name);
        if purchase.is_bought() {
            files.push(SheetFile {
                name: format!("request-{number}-{name}.html"),
                content: request::page(report, purchase, context)?,
            });
            files.push(SheetFile {
                name: format!("request-{number}-{name}.csv"),
                content: request::table(report, purchase).csv()?,
            });
            files.push(SheetFile {
                name: format!("order-{number}-{name}.html"),
                content: order::page(report, purchase, number, context)?,
            });
        }
        files.push(SheetFile {
            name: format!("inspection-{number}-{name}.html"),
            content: inspection::page(report, purchase, context)?,
        });
    }
    for plan in &report.plan.crossings {
        if let Some(served) = plan.served() {
            let name = slug(&report.inputs.crossing(plan.crossing).id);
            files.push(SheetFile {
                name: format!("crew-{}-{name}.html", plan.crossing.0 + 1),
                content: crew::page(report, plan, served, context)?,
            });
        }
    }
    for table in tables::all(report, context) {
        files.push(SheetFile { name: format!("table-{}.csv", table.name), content: table.csv()? });
    }
    Ok(files)
}

/// Whether a file's name is one that a sheet may have.
#[must_use]
pub fn is_name(name: &str) -> bool {
    let starts = ["request-", "order-", "inspection-", "crew-", "table-"];
    let ends = [".html", ".csv"];
    starts.iter().any(|start| name.starts_with(start)) && ends.iter().any(|end| name.ends_with(end))
}

/// A name as part of a file's name. The number before it keeps names apart that become alike.
fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars().take(40) {
        if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "unnamed".to_owned() } else { slug.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_are_tame() {
        for (name, expected) in [
            ("Upper Drum", "upper-drum"),
            ("../../etc/passwd", "etc-passwd"),
            ("B-03", "b-03"),
            ("<script>", "script"),
            ("???", "unnamed"),
            ("CON.", "con"),
        ] {
            assert_eq!(slug(name), expected);
        }
    }
}
