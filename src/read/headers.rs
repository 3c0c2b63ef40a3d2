//! The header row: which column of the file is which column of the documentation.

use super::columns::{Column, Need};
use super::lines::trim;
use super::problem::shown;
use crate::words::{nearest, present_spelling};

/// Where the known columns stand in one file.
#[derive(Debug, Default)]
pub(super) struct Header {
    /// For each known column, in the order of its table, its place in the file.
    pub places: Vec<Option<usize>>,
    /// Places of columns without a name, whose cells must all be blank.
    pub unnamed: Vec<usize>,
    /// How many cells the header row has.
    pub width: usize,
}

/// What is wrong with a header row.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// None of the known columns is there, so this is no header row.
    NoneKnown,
    /// A column that must be there is not.
    Missing(&'static str),
    /// The cell at this place has no known name; perhaps this one was meant.
    Unknown(usize, String, Option<&'static str>),
    /// The cell at this place repeats the name of an earlier one.
    Twice(usize, &'static str),
}

impl Header {
    /// Recognizes the cells of a header row. Case and surrounding blanks do not matter.
    pub fn recognize<'a>(
        cells: impl Iterator<Item = &'a str>,
        columns: &'static [Column],
    ) -> (Self, Vec<Fault>) {
        let mut header = Self { places: vec![None; columns.len()], unnamed: Vec::new(), width: 0 };
        let mut faults = Vec::new();
        for (place, cell) in cells.enumerate() {
            header.width += 1;
            let name = present_spelling(trim(cell));
            let name = name.as_ref();
            if name.is_empty() {
                header.unnamed.push(place);
            } else if let Some(known) =
                columns.iter().position(|c| c.name.eq_ignore_ascii_case(name))
            {
                if header.places[known].is_some() {
                    faults.push(Fault::Twice(place, columns[known].name));
                } else {
                    header.places[known] = Some(place);
                }
            } else if !name.get(..2).is_some_and(|start| start.eq_ignore_ascii_case("x_")) {
                let meant = nearest(name, columns.iter().map(|column| column.name));
                faults.push(Fault::Unknown(place, shown(name), meant));
            }
        }
        if header.places.iter().all(Option::is_none) {
            return (header, vec![Fault::NoneKnown]);
        }
        let missing = columns
            .iter()
            .zip(&header.places)
            .filter(|(column, place)| column.need == Need::Required && place.is_none());
        let missing: Vec<_> = missing.map(|(column, _)| Fault::Missing(column.name)).collect();
        faults.splice(0..0, missing);
        (header, faults)
    }
}
