//! Golden tests of the command line: every case in tests/cli is run and its output compared.
//!
//! After a wanted change of output, `TRYCMD=overwrite cargo test --test cli` rewrites them; read
//! every line of the difference before committing it.

#[test]
fn commands_print_what_the_cases_say() {
    trycmd::TestCases::new().case("tests/cli/*.trycmd").case("tests/cli/*.toml");
}

#[test]
fn rules_are_printed_as_they_are_built_in() {
    let printed =
        std::process::Command::new(env!("CARGO_BIN_EXE_spanyard")).arg("rules").output().unwrap();
    assert!(printed.status.success());
    let text = String::from_utf8(printed.stdout).unwrap();
    assert_eq!(text, spanyard::model::rules::DEFAULT_RULES);
}
