//! A first mapping for a dealer's file, to be edited by a person.

use std::fmt::Write as _;

use super::asked::{asked, choices, with_open};
use super::grid::{Grid, decoded};
use super::header_row::{DELIMITERS, Part, head};
use super::mapping::{IN_CELLS, Mapping, file_name};
use super::scheme::INVENTORY;
use super::{is_too_large, workbook};
use crate::check::Code;
use crate::read::folder::mapping_of;
use crate::read::problem::{Findings, Problem};
use crate::read::text::SourceText;
use crate::read::units::Unit;

/// A text as TOML.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// Drafts a mapping: what is known is filled in, what is like something known stands in a comment,
/// and the rest is carried as notes. Every line is for a person to check.
///
/// # Errors
///
/// The file is no table at all.
pub fn draft(source: &SourceText) -> Result<String, Box<Problem>> {
    if let Some(problem) = is_too_large(source) {
        return Err(Box::new(problem));
    }
    let none = Mapping::default();
    let mut draft = format!(
        "# A first mapping, drafted by spanyard. Check every line of it.\ninventory = {}\n",
        quoted(file_name(&source.name))
    );
    let (grid, row) = if workbook::is_workbook(&source.bytes) {
        let grids = workbook::sheets(source, None)?;
        let best = grids
            .into_iter()
            .map(|grid| (likely(&grid), grid))
            .rev()
            .max_by_key(|((score, _), _)| *score);
        best.map(|((_, row), grid)| (grid, row))
    } else {
        let mut rules = none.clone();
        if std::str::from_utf8(&source.bytes).is_err()
            && encoding_rs::Encoding::for_bom(&source.bytes).is_none()
        {
            rules.encoding = Some(encoding_rs::WINDOWS_1252);
            draft.push_str("encoding = \"windows-1252\" # it is not UTF-8; look for odd letters\n");
        }
        let text = decoded(source, &rules)?;
        let grids = DELIMITERS
            .iter()
            .map(|(delimiter, name)| (Grid::beginning(&text, *delimiter, 30), name));
        let grids: Vec<_> = grids.collect();
        if let Some(problem) = grids.iter().find_map(|(grid, _)| grid.too_wide(source)) {
            return Err(problem);
        }
        let best = grids
            .into_iter()
            .map(|(grid, name)| (likely(&grid), grid, name))
            .rev()
            .max_by_key(|((score, _), ..)| *score);
        best.map(|((_, row), grid, name)| {
            // Writing to a String cannot fail.
            let _ = writeln!(draft, "delimiter = \"{name}\"");
            (grid, row)
        })
    }
    .ok_or_else(|| {
        let instead = "give a file with a header and rows";
        Box::new(Problem::of_file(Code::HeaderUnsure, source.name.clone(), "has no table", instead))
    })?;
    if let Some(sheet) = &grid.sheet {
        let _ = writeln!(draft, "sheet = {}", quoted(sheet));
    }
    let head = head(&grid, row, &none);
    let header = &head.names;
    let _ = write!(draft, "header_row = {}\n\n[columns]\n", header.number);
    for (cell, part) in head.parts.iter().enumerate() {
        let text = header.cell(cell);
        let key = quoted(text);
        let _ = match part {
            Part::Column(column, unit) => {
                let ours = &INVENTORY.columns[*column];
                match (Unit::of_column(&ours.content), unit) {
                    (None, _) => writeln!(draft, "{key} = \"{}\"", ours.name),
                    (Some(_), Some(unit)) => {
                        writeln!(
                            draft,
                            "{key} = {{ column = \"{}\", unit = \"{}\" }}",
                            ours.name,
                            unit.words()
                        )
                    }
                    (Some(_), None) => writeln!(
                        draft,
                        "{key} = {{ column = \"{}\", unit = \"{IN_CELLS}\" }}",
                        ours.name
                    ),
                }
            }
            // What may be one of ours is left open, and asked.
            Part::Note(_) => match choices(text, &head, &none) {
                Some(_) => Ok(()),
                None => writeln!(draft, "{key} = \"note\""),
            },
            Part::UnitClash(first, other) => writeln!(
                draft,
                "{key} = \"note\" # {} or {}? Ask the dealer",
                first.words(),
                other.words()
            ),
            Part::Hidden => {
                writeln!(draft, "# {key} = \"note\" # hidden in the workbook, and not read")
            }
            Part::Ignored | Part::Unnamed => Ok(()),
        };
    }
    let drafted = SourceText::new(&mapping_of(file_name(&source.name)), draft.as_bytes());
    let list = SourceText { name: file_name(&source.name).into(), ..source.clone() };
    let mut findings = Findings::default();
    let asked = Mapping::read(&drafted, &mut findings)
        .and_then(|mapping| asked(&list, Some((&drafted, &mapping))).ok());
    Ok(with_open(&draft, &asked.map(|(asked, _)| asked).unwrap_or_default()))
}

/// The row that looks most like a header: known words first, then filled cells.
fn likely(grid: &Grid) -> ((usize, usize), usize) {
    let none = Mapping::default();
    let rows = grid.block(0..20);
    let scores = rows.iter().enumerate().map(|(at, row)| {
        let known = head(grid, at, &none)
            .parts
            .iter()
            .filter(|part| matches!(part, Part::Column(..)))
            .count();
        let filled = (0..row.cells.len()).filter(|cell| !row.cell(*cell).is_empty()).count();
        ((known, filled), at)
    });
    scores.rev().max_by_key(|(score, _)| *score).unwrap_or(((0, 0), 0))
}
