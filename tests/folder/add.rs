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
    // A word is open, so it is not all done.
    assert_eq!(code, 1, "{said}{wrong}");
    for words in [
        "Added lists/drumfell-reclaim-2026-05-01.csv, with the mapping lists/drumfell-reclaim-2026-05-01.mapping.toml",
        "1 question open, which `spanyard answer drumfell-reclaim-2026-05-01` asks:\n  words.members.good",
        "`good` stands in 1 cell of 1 column (Center sill). What does it mean?",
        "89.3333 ft",
        "$9,800.00",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let mapping = at.join("lists/drumfell-reclaim-2026-05-01.mapping.toml");
    let draft = std::fs::read_to_string(mapping).unwrap();
    assert!(
        draft.contains("# [words.members]\n") && draft.contains("# \"good\" = \"...\"\n"),
        "{draft}"
    );
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

/// What is asked is answered once, with the command or later, and what is answered is read.
#[test]
fn questions_are_answered_by_their_ids() {
    let at = demo("answer");
    let list = "Stock no,Length,Truck centers,Width,Weight,Center sill,Side sills,X-members,Price,Valid to,Wrecked\n\
                OR-1,60,46,9,21 T,good,good,good,\"9,000\",5/6/2026,N\n\
                SPARES,,,,,,,,,,\n\
                OR-2,60,46,9,38000 lb,good,sound,good,95OO,7/8/2026,N\n";
    std::fs::write(at.join("mail.csv"), list).unwrap();
    let add = ["add", "mail.csv", "--date", "2026-05-01", "constants.dealer=Orlhaven Equipment"];
    let (code, said, wrong) = run(&at, &add);
    assert_eq!(code, 1, "{wrong}");
    for words in [
        "constants.yard",
        "columns.Length",
        "columns.Truck centers",
        "columns.Width",
        "columns.Weight",
        "dates",
        "headings.spares",
        "words.members.good",
        "`good` stands in 5 cells of 3 columns (Center sill, Side sills, X-members)",
        "The list is read back when these are answered.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let name = "mail-2026-05-01";
    let answer = |answers: &[&str]| run(&at, &[&["answer", name], answers].concat());
    let (code, said, wrong) = answer(&[
        "constants.yard=Orlhaven",
        "columns.Length=feet",
        "columns.Truck centers=feet",
        "columns.width=feet",
        "columns.Weight=weight_lb",
        "dates=month/day/year",
        "headings.spares=ignore",
        "words.members.good=sound",
    ]);
    assert_eq!(code, 1, "{wrong}");
    // The weight is in tons in one cell, which is asked after it is known to be one.
    assert!(said.contains("8 answers"), "{said}");
    assert!(said.contains("Which tons are those of `Weight`?"), "{said}");
    assert!(said.contains("`95OO` in 1 cell of `Price` (I4)"), "{said}");
    let (code, said, wrong) = answer(&["columns.Weight=short tons", "cells.I4=9500"]);
    assert_eq!(code, 0, "{said}{wrong}");
    let (_, said, wrong) = run(&at, &["check", "--list", name]);
    for words in ["42,000 lb", "38,000 lb", "2026-05-06", "$9,500.00", "$9,000.00"] {
        assert!(said.contains(words), "{words}: {said}{wrong}");
    }
    let mapping = at.join(format!("lists/{name}.mapping.toml"));
    let mapping = std::fs::read_to_string(mapping).unwrap();
    assert!(!mapping.contains("Open questions"), "{mapping}");
    let (code, said, _) = run(&at, &["answer", "orlhven"]);
    assert_eq!((code, said.as_str()), (2, ""));
}

/// What stands in one table for all members is taken for each, and what is said of one member alone goes
/// before it.
#[test]
fn words_of_all_members_stand_in_one_table() {
    let at = demo("members");
    let list = "Car no.,Length (ft),Center sill,Side sills,Stringers\nM1,60,good,good,good\n";
    std::fs::write(at.join("lists/m.csv"), list).unwrap();
    let mapping = "[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n\
                   [words.members]\ngood = \"sound\"\n[words.stringers]\ngood = \"\"\n";
    std::fs::write(at.join("lists/m.mapping.toml"), mapping).unwrap();
    let back = at.join("back.csv");
    let (code, _, wrong) = run(&at, &["check", "--list", "m", "--csv", back.to_str().unwrap()]);
    assert_eq!(code, 0, "{wrong}");
    let back = std::fs::read_to_string(back).unwrap();
    for words in ["main_girder", "exterior_girders"] {
        let line = back.lines().find(|line| line.contains(words)).unwrap();
        assert!(line.contains("sound"), "{line}");
    }
    let line = back.lines().find(|line| line.contains("stringers")).unwrap();
    assert!(!line.contains("sound"), "{line}");
    // A meaning that is none is told once, and not for each member.
    let wrong = mapping.replace("\"sound\"", "\"great\"");
    std::fs::write(at.join("lists/m.mapping.toml"), wrong).unwrap();
    let (code, said, _) = run(&at, &["check", "lists/m.csv"]);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("D06 main_girder: `great` is not a condition"), "{said}");
    assert!(said.contains("1 problem in 1 file"), "{said}");
}

/// The title of a list's second page is no car, whatever its number.
#[test]
fn pages_of_a_list_have_titles() {
    let at = demo("pages");
    let page = "FENWICK ROAD SALVAGE      FLAT CAR LIST 3-4-26      Page 1 of 2\n\n";
    let head = "Car No.   Length   Price\n------------------------\n";
    let text = format!(
        "{page}{head}FR 201    89'4\"    9,800\n                   -----\n                   9,800\n{}{head}FR 204    60'0\"    8,100\n",
        page.replace("1 of", "2 of")
    );
    std::fs::write(at.join("mail.txt"), text).unwrap();
    let add = ["add", "mail.txt", "--dealer", "Drumfell Reclaim", "--yard", "Upper Drum"];
    let (code, said, wrong) = run(&at, &add);
    assert_eq!(code, 0, "{said}{wrong}");
    assert!(said.contains("2 rows of cars"), "{said}");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("title repeated: "), "{said}");
}

/// Quotes that end soon, over all yards; the days are counted from the day of the order, 2026-06-01.
#[test]
fn quotes_that_end_soon_are_told_in_the_order_of_their_days() {
    let at = demo("expiring");
    let (code, said, wrong) = run(&at, &["check", "--expiring", "45"]);
    assert_eq!(code, 1, "{wrong}");
    let days: Vec<&str> = said.lines().filter_map(|line| line.strip_prefix("  2026-")).collect();
    assert!(!days.is_empty() && days.is_sorted(), "{said}");
    assert!(days.iter().all(|day| *day < "07-17"), "{said}");
    assert_eq!(run(&at, &["check", "--expiring", "0"]).0, 0);
}

/// A decision on a car that the dealer's next list does not have any more is told with that list.
#[test]
fn decisions_on_cars_that_are_gone_are_told() {
    let at = demo("gone");
    let (code, _, wrong) = run(&at, &["decide", "bought", "car=UD-08", "price_usd=10400"]);
    assert_eq!(code, 0, "{wrong}");
    let list = std::fs::read_to_string(at.join("lists/drumfell.csv")).unwrap();
    let without: Vec<&str> = list.lines().filter(|line| !line.starts_with("UD-08,")).collect();
    std::fs::write(at.join("next.csv"), without.join("\n") + "\n").unwrap();
    let (code, said, wrong) = run(&at, &["add", "next.csv", "--dealer", "Drumfell"]);
    assert_eq!(code, 1, "{said}{wrong}");
    assert!(said.contains("gone: UD-08"), "{said}");
    let told = said.split("no longer bears out").nth(1).unwrap_or_default();
    assert!(told.contains("decisions.toml:") && told.contains("UD-08"), "{said}");
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
