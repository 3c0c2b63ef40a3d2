//! The generated page of the documentation is up to date.

use spanyard::report::docs::checks_doc;

use crate::testkit::renew;

#[test]
fn docs_checks_md_is_as_generated() {
    renew::same("docs/checks.md", checks_doc().as_bytes());
}
