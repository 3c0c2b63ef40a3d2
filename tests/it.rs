//! All tests of the library and the command line but those of Ctrl-C and time limits (`tests/search.rs`),
//! as one program, which is built and linked once. `cargo test --test it rules::` runs one folder of it.

// Outside its test functions a test crate is not spared the lints, and a failing helper is a failing test.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stderr)]

mod checks_doc;
mod choose;
mod costs;
mod deals;
mod demo;
mod directions;
mod folder;
mod furniture;
mod golden;
mod json_schema;
mod page;
mod rating;
mod read;
mod readme;
mod rules;
mod save;
mod testkit;
mod tricks;
mod verify;
mod week;
