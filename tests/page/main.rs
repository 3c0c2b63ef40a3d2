//! The reports for people without a terminal: drawings, page, workbook, sheets, maps.

// Outside its test functions a test crate is not spared the lints.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stderr)]

#[path = "../common/demo.rs"]
mod demo;

mod browser;
mod command;
mod county;
mod drawings;
mod edges;
mod files;
mod page;
mod size;
mod workbook;
