//! The `spanyard` command.

fn main() {}
