//! One target of `fuzz/targets.rs`, named by the environment: `SPANYARD_TARGET=ods cargo +nightly fuzz
//! run any fuzz/corpus/ods`.
#![no_main]

use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;

#[path = "../targets.rs"]
mod targets;

fn chosen() -> fn(&[u8]) {
    static CHOSEN: OnceLock<fn(&[u8])> = OnceLock::new();
    *CHOSEN.get_or_init(|| {
        let name = std::env::var("SPANYARD_TARGET").unwrap_or_default();
        let found = targets::TARGETS.iter().find(|target| target.name == name);
        found.unwrap_or_else(|| panic!("SPANYARD_TARGET names no target: {name:?}")).run
    })
}

fuzz_target!(|bytes: &[u8]| chosen()(bytes));
