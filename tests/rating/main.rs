//! The rating stage from outside: worked chains, refusals and properties.

#![allow(clippy::unwrap_used, clippy::panic)]

mod chain;
mod ends_and_members;
mod envelope;
mod pencil;
mod quick_answer;
mod reference;
mod refusals;
mod sheet;
mod support;
