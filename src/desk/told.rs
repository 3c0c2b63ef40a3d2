//! What was found, kept till the files change or it is asked for again.

use spanyard::folder::Stamp;
use spanyard::report::page::Drawn;
use spanyard::report::sheets::SheetFile;

use super::known::Known;
use super::view::Table;

/// An answer.
pub struct Told {
    /// The state of the files that it is about.
    pub stamp: Stamp,
    /// What was found, in sentences.
    pub words: Vec<String>,
    /// Letters that ask, and tables to fill in.
    pub letters: Vec<SheetFile>,
    /// Drawings.
    pub figures: Vec<Drawn>,
    /// Tables.
    pub tables: Vec<Table>,
    /// What has to be said besides.
    pub closing: Vec<String>,
}

impl Told {
    /// An empty one about this state.
    pub fn new(known: &Known) -> Self {
        Self {
            stamp: known.stamp.clone(),
            words: Vec::new(),
            letters: Vec::new(),
            figures: Vec::new(),
            tables: Vec::new(),
            closing: Vec::new(),
        }
    }
}
