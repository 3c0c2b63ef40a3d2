//! The generated page of the documentation is up to date.

use spanyard::report::docs::checks_doc;

#[test]
fn docs_checks_md_is_as_generated() {
    let stored = include_str!("../docs/checks.md").replace("\r\n", "\n");
    assert!(
        stored == checks_doc(),
        "docs/checks.md is out of date; run: cargo run -- explain --format markdown > docs/checks.md"
    );
}
