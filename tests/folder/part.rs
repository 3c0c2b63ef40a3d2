//! A part of the files: some dealers, some crossings.

use super::{demo, project, run};

fn plan(args: &[&str]) -> (i32, String, String) {
    run(&project(), &[&["plan", "-C", "data-demo"], args].concat())
}

#[test]
fn only_a_dealer_and_without_one() {
    let (_, only, _) = plan(&["--only-dealer", "drumfell reclaim", "--format", "csv"]);
    assert!(only.contains("Drumfell Reclaim"));
    assert!(!only.contains("Sallowby") && !only.contains("Orlhaven"), "{only}");
    let (_, without, _) = plan(&["--without-dealer", "Drumfell Reclaim", "--format", "csv"]);
    assert!(!without.contains("Drumfell"), "{without}");
    // Both ways to leave one dealer of three come to the same plan.
    let two = ["Sallowby Steel and Rail", "Orlhaven Equipment"];
    let (_, same, _) = plan(&["--only-dealer", two[0], two[1], "--format", "csv"]);
    assert_eq!(same, without);
}

#[test]
fn only_some_crossings_and_the_answer_says_so() {
    let (code, said, _) = plan(&["--only", "B-03", "b-07"]);
    assert_eq!(code, 0);
    assert!(said.starts_with("PLAN: serves all 2 crossings"), "{said}");
    assert!(
        said.contains("Asked of a part of the files: only the crossings B-03, b-07."),
        "{said}"
    );
    let (code, said, _) = plan(&["--only", "B-38", "--without-dealer", "Orlhaven Equipment"]);
    assert_eq!(code, 1);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("none of the cars of Orlhaven Equipment; only the crossings B-38"),
        "{said}"
    );
}

#[test]
fn names_that_no_file_has_are_told() {
    for (args, expected) in [
        (["--only", "B-003"], "--only: D09 `B-003` is no crossing of the files; write `B-03` if"),
        (["--only-dealer", "Drumfel Reclaim"], "--only-dealer: D09 `Drumfel Reclaim` is no dealer"),
    ] {
        let (code, _, said) = plan(&args);
        assert_eq!(code, 2);
        assert!(said.contains(expected), "{said}");
    }
}

#[test]
fn decisions_count_for_the_part_that_is_looked_at() {
    let folder = demo("decided");
    for words in [&["sold", "car=UD-19"][..], &["fixed", "car=UD-02", "crossing=B-03"]] {
        let (code, _, wrong) = run(&folder, &[&["decide"], words].concat());
        assert_eq!(code, 0, "{wrong}");
    }
    // A car that is promised elsewhere must not be taken for free.
    let (code, _, said) = run(&folder, &["plan", "--only", "B-07"]);
    assert_eq!(code, 2);
    assert!(said.contains("is a crossing that --only leaves out, and a car is promised"), "{said}");
    let (code, said, _) = run(&folder, &["plan", "--only", "B-07", "B-03"]);
    assert_eq!(code, 0);
    assert!(said.contains("UD-02"), "{said}");
    // Nothing is left of the decisions on a dealer's cars without the dealer.
    let without = ["plan", "--only", "B-07", "--without-dealer", "Drumfell Reclaim"];
    assert!(run(&folder, &without).0 < 2);
}
