//! The reports for people without a terminal: drawings, page, workbook, sheets, maps.

#[path = "../common/demo.rs"]
mod demo;

mod browser;
mod county;
mod drawings;
mod files;
mod page;
mod size;
mod workbook;
