//! Every kind of decision that the terminal takes, by clicks: the same file, entry by entry.

use std::fs;

use crate::chromium::Tab;
use crate::{Case, in_browser, named, picture, spanyard};

/// The kind, what the form is opened with, and the fields with what is written in them, in the order of
/// the entry.
type Step = (&'static str, &'static [(&'static str, &'static str)]);

const STEPS: &[Step] = &[
    ("bought", &[("car", "UD-08"), ("price_usd", "10400")]),
    ("held", &[("car", "UD-08"), ("note", "for next year")]),
    ("changed", &[("crossing", "B-19"), ("span_ft", "62"), ("note", "surveyed again")]),
    (
        "added",
        &[
            ("new", "B-99"),
            ("road", "Mill Lane"),
            ("span_ft", "40"),
            ("clear_width_ft", "14"),
            ("vehicles", "H15"),
            ("deck", "timber"),
            ("most_abreast", "2"),
            ("priority", "2"),
            ("latitude_deg", "44"),
            ("longitude_deg", "-40"),
        ],
    ),
    ("bought", &[("car", "UD-17"), ("price_usd", "10000")]),
    ("fixed", &[("car", "UD-17"), ("crossing", "B-03")]),
    ("built", &[("crossing", "B-03"), ("cars", "UD-17"), ("on", "2026-06-20")]),
    ("dropped", &[("crossing", "B-07")]),
    ("sold", &[("car", "UD-19")]),
    ("refused", &[("car", "Q-12"), ("note", "bolster cracked")]),
    ("quoted", &[("car", "UD-18"), ("price_usd", "9900"), ("until", "2026-07-15")]),
    ("reserved", &[("car", "UD-02"), ("until", "2026-06-30")]),
];

/// Opens the form and fills it in.
fn filled(tab: &Tab<'_>, case: &Case, (kind, fields): &Step) {
    let given = fields.iter().find(|(name, _)| *kind == "changed" && *name == "crossing");
    let given = given.map(|(_, id)| format!("&crossing={id}")).unwrap_or_default();
    tab.go(&case.page(&format!("/decide?kind={kind}{given}")));
    for (name, value) in *fields {
        match (*kind, *name) {
            ("changed", "crossing") => {}
            (_, "crossing") => tab.choose("[name=crossing]", value),
            _ => tab.fill(&format!("[name={name}]"), value),
        }
    }
}

#[test]
fn every_kind_of_decision_stands_in_the_file_as_the_terminal_writes_it() {
    let case = Case::demo("kinds");
    let twin = case.folder.join("twin");
    spanyard(&case.folder, &["demo", "twin"]);
    let terminal = || fs::read_to_string(twin.join("decisions.toml")).unwrap_or_default();
    in_browser(&case, |tab, _| {
        for step in STEPS {
            let (kind, fields) = step;
            filled(tab, &case, step);
            if *kind == "changed" {
                // The present value stands in gray where the new one goes.
                let hint = tab.words("document.querySelector('[name=span_ft]').placeholder");
                let file = case.file("crossings.csv");
                let row = file.lines().find(|line| line.starts_with("B-19,")).unwrap();
                assert_eq!(row.split(',').nth(2), Some(hint.as_str()));
                picture(tab, "decide-changed");
            }
            // A look writes nothing, and keeps what was typed.
            let before = case.file("decisions.toml");
            tab.follow(&named("Only look what it would be"));
            let text = tab.words("document.querySelector('main').innerText");
            assert!(text.contains(&format!("[[{kind}]]")), "{kind}: {text}");
            assert_eq!(case.file("decisions.toml"), before);
            tab.follow(&named("Write it down"));
            let name = |name: &str| if name == "new" { "crossing" } else { name }.to_owned();
            let words: Vec<String> =
                fields.iter().map(|(key, value)| format!("{}={value}", name(key))).collect();
            let mut arguments = vec!["decide", kind];
            arguments.extend(words.iter().map(String::as_str));
            let said = spanyard(&twin, &arguments);
            assert!(said.contains("Written to"), "{kind}: {said}");
            assert_eq!(case.file("decisions.toml"), terminal(), "after {kind}");
        }
        // Several values of one car are one decision.
        tab.go(&case.page("/decide?kind=measured&car=UD-18"));
        tab.choose("[name=column]", "camber_in");
        tab.fill("[name=value]", "0.75");
        tab.choose("[name=column2]", "weight_lb");
        tab.fill("[name=value2]", "41000");
        tab.fill("[name=by]", "county engineer");
        tab.follow(&named("Write it down"));
        let said = spanyard(
            &twin,
            &[
                "decide",
                "measured",
                "car=UD-18",
                "camber_in=0.75",
                "weight_lb=41000",
                "by=county engineer",
            ],
        );
        assert!(said.contains("Written to"), "{said}");
        assert_eq!(case.file("decisions.toml"), terminal());
        picture(tab, "decide-all");
        // The last one is taken back here as `undo` does there.
        tab.follow("[...document.querySelectorAll('.problems li button')].at(-1)");
        spanyard(&twin, &["decide", "undo"]);
        assert_eq!(case.file("decisions.toml").trim_end(), terminal().trim_end());
        // What answers bad news without saying what was answered is refused.
        tab.go(&case.page("/decide?kind=different&car=UD-05"));
        let needed = tab.value("document.querySelector('[name=note]').required");
        assert_eq!(needed, true);
    });
}
