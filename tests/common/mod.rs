//! Shared by the test files.

pub mod brute;
pub mod market;
