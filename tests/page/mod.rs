//! The reports for people without a terminal: drawings, page, workbook, sheets, maps.

mod beside;
mod browser;
mod command;
mod county;
mod drawings;
mod edges;
mod facts;
mod files;
mod inspection;
mod size;
mod structure;
mod whole;
mod workbook;
