//! Renders what the other stages found: pure functions from inputs, plan and width to text.
//!
//! [`facts`] picks and merges what is to be said, once; [`terminal`], [`json`], [`csv`], [`page`],
//! [`workbook`] and [`geojson`] say it, so that they never disagree. Nothing here reads a file, asks the clock or prints.

pub mod csv;
mod deck_drawing;
pub mod docs;
pub mod drawing;
pub mod facts;
pub mod geojson;
pub mod json;
pub mod page;
pub mod provenance;
pub mod sheets;
pub mod tables;
pub mod templates;
pub mod terminal;
mod text;
pub mod workbook;

#[cfg(test)]
mod fixture;
