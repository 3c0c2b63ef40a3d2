//! What `spanyard add` makes of a dealer's list.

use super::{demo, run};

#[test]
fn a_list_is_copied_mapped_and_read_back_and_the_next_one_compared() {
    let at = demo("add");
    let text = "FENWICK LIST                         Page 1\n\nCar No.   Length   Price    Center sill\n\
                FR 201    89'4\"    9,800    good\nFR 202    60'0\"    8,100    sound\n";
    std::fs::write(at.join("mail.txt"), text).unwrap();
    let add = ["add", "mail.txt", "--dealer", "Drumfell Reclaim", "--yard", "Upper Drum", "--date"];
    let with = |day: &'static str| [&add[..], &[day]].concat();
    let (code, said, wrong) = run(&at, &with("2026-05-01"));
    assert_eq!(code, 0, "{said}{wrong}");
    for words in [
        "Added lists/drumfell-reclaim-2026-05-01.csv, with the mapping lists/drumfell-reclaim-2026-05-01.mapping.toml",
        "main_girder: what does \"good\" mean? It stands in 1 cell",
        "89.3333 ft",
        "$9,800.00",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let mapping = at.join("lists/drumfell-reclaim-2026-05-01.mapping.toml");
    let draft = std::fs::read_to_string(mapping).unwrap();
    assert!(draft.contains("# [words.main_girder]\n# \"good\" = \"...\"    # 1 cell"), "{draft}");
    assert!(draft.contains("dealer = \"Drumfell Reclaim\""), "{draft}");
    // A second one of the day is not written over the first.
    assert_eq!(run(&at, &with("2026-05-01")).0, 2);
    let next = text.replace("8,100", "7,900").replace("FR 201", "FR 203");
    std::fs::write(at.join("mail.txt"), next).unwrap();
    let (_, said, wrong) = run(&at, &with("2026-06-01"));
    for words in ["new: FR 203", "gone: FR 201", "cheaper: FR 202, $7,900.00 and before $8,100.00"]
    {
        assert!(said.contains(words), "{words}: {said}{wrong}");
    }
    // The list before stays, and is no longer read.
    let (_, said, _) = run(&at, &["check"]);
    assert!(said.contains("drumfell-reclaim-2026-06-01.csv"), "{said}");
    assert!(!said.contains("drumfell-reclaim-2026-05-01.csv"), "{said}");
    assert!(at.join("lists/drumfell-reclaim-2026-05-01.csv").is_file());
}

#[test]
fn what_is_no_list_of_cars_is_named_for_what_it_is() {
    let at = demo("add-what");
    std::fs::write(at.join("scan.pdf"), b"%PDF-1.7 ...").unwrap();
    for (file, words) in [("scan.pdf", "is a PDF"), ("crossings.csv", "a table of crossings")] {
        let (code, _, said) = run(&at, &["add", file]);
        assert_eq!(code, 2);
        assert!(said.contains(words), "{said}");
    }
    let (code, _, said) = run(at.parent().unwrap(), &["add", "x.csv"]);
    assert_eq!(code, 2, "{said}");
}

#[test]
fn a_decision_is_tried_out_and_taken_back() {
    let at = demo("undo");
    let bought = ["decide", "bought", "car=UD-08", "price_usd=10400"];
    let (code, said, wrong) = run(&at, &[&bought[..], &["--dry-run"]].concat());
    assert_eq!(code, 0, "{wrong}");
    assert!(said.contains("Nothing was written"), "{said}");
    assert!(!at.join("decisions.toml").exists());
    assert_eq!(run(&at, &bought).0, 0);
    let (code, said, wrong) = run(&at, &["decide", "undo"]);
    assert_eq!(code, 0, "{wrong}");
    assert!(said.contains("Taken from"), "{said}");
    let text = std::fs::read_to_string(at.join("decisions.toml")).unwrap();
    assert!(!text.contains("UD-08"), "{text}");
    let (code, _, said) = run(&at, &["decide", "sold", "car=UD-80"]);
    assert_eq!(code, 2);
    assert!(said.contains("write UD-08 if that is meant"), "{said}");
}
