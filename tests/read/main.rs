//! The reading of files: what is taken, what is refused, and where it says so.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)] // a failing helper is a failing test
#![allow(clippy::print_stderr)] // measurements are printed

mod cells;
mod contradictions;
mod county;
mod dealers;
mod demo;
mod files;
mod formats;
mod full_row;
mod good;
mod hostile;
mod impossible;
mod long;
mod many_faults;
mod plausible;
mod price_breaks;
mod properties;
mod references;
mod rules_file;
mod speed;
