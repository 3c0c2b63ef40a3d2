//! The rating stage from outside: worked chains, refusals and properties.

#![allow(clippy::unwrap_used, clippy::panic)]

mod chain;
mod envelope;
mod quick_answer;
mod refusals;
mod support;
