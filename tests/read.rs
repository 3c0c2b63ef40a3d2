//! The reading of files: what is taken, what is refused, and where it says so.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)] // a failing helper is a failing test
#![allow(clippy::print_stderr)] // measurements are printed

#[path = "read/cells.rs"]
mod cells;
#[path = "read/contradictions.rs"]
mod contradictions;
#[path = "read/county.rs"]
mod county;
#[path = "read/demo.rs"]
mod demo;
#[path = "read/files.rs"]
mod files;
#[path = "read/formats.rs"]
mod formats;
#[path = "read/good.rs"]
mod good;
#[path = "read/many_faults.rs"]
mod many_faults;
#[path = "read/properties.rs"]
mod properties;
#[path = "read/references.rs"]
mod references;
#[path = "read/rules_file.rs"]
mod rules_file;
#[path = "read/speed.rs"]
mod speed;
