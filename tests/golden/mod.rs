//! What the commands print: kept whole in small files at the width of a page of print, and held to the
//! width that is asked for at all others.

mod agree;
mod plan;
mod width;

use crate::testkit::renew;

#[test]
fn commands_print_what_the_cases_say() {
    eprintln!("where a case differs: {}", renew::HOW);
    trycmd::TestCases::new().case("tests/cli/*.trycmd").case("tests/cli/*.toml");
}
