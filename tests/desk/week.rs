//! The week of docs/week.md by clicks: the same decisions file and the same plans as in the terminal.

use std::fs;
use std::path::PathBuf;

use crate::chromium::Tab;
use crate::{Case, in_browser, named, picture, spanyard};

/// What is decided in the week: the kind, and the fields with what is written in them.
const WEEK: &[(&str, &[(&str, &str)])] = &[
    (
        "bought",
        &[
            ("car", "UD-08"),
            ("price_usd", "10400"),
            ("on", "2026-06-01"),
            ("note", "500 off the quote"),
        ],
    ),
    ("sold", &[("car", "UD-19"), ("on", "2026-06-02"), ("note", "to a logging outfit")]),
    (
        "measured",
        &[
            ("car", "UD-17"),
            ("camber_in", "2.75"),
            ("on", "2026-06-03"),
            ("note", "line stretched in the yard"),
        ],
    ),
    ("refused", &[("car", "Q-12"), ("on", "2026-06-03"), ("note", "bolster cracked")]),
    (
        "quoted",
        &[("car", "UD-18"), ("price_usd", "9900"), ("until", "2026-07-15"), ("on", "2026-06-04")],
    ),
    ("dropped", &[("crossing", "B-19"), ("on", "2026-06-05"), ("note", "road closed")]),
    (
        "fixed",
        &[
            ("car", "UD-02"),
            ("crossing", "B-03"),
            ("on", "2026-06-05"),
            ("note", "promised to the school"),
        ],
    ),
];

/// Waits for the plan.
pub fn planned(tab: &Tab<'_>) {
    tab.until("location.pathname === '/plan' && document.querySelector('h1')?.textContent.includes(' crossings')");
}

/// Fills in the form of a decision and sends it.
fn decide(tab: &Tab<'_>, case: &Case, kind: &str, fields: &[(&str, &str)], again: bool) {
    tab.go(&case.page(&format!("/decide?kind={kind}")));
    for (name, value) in fields {
        match *name {
            "crossing" => tab.choose("[name=crossing]", value),
            "camber_in" => {
                tab.choose("[name=column]", name);
                tab.fill("[name=value]", value);
            }
            _ => tab.fill(&format!("[name={name}]"), value),
        }
    }
    if !again {
        tab.click("document.querySelector('[name=again]')");
    }
    tab.follow(&named("Write it down"));
}

#[test]
fn the_week_by_clicks_ends_in_the_decisions_file_and_the_plan_of_the_terminal() {
    let case = Case::demo("week");
    // The same week in a terminal, on files of its own.
    let twin: PathBuf = case.folder.join("twin");
    spanyard(&case.folder, &["demo", "twin"]);
    in_browser(&case, |tab, _| {
        let monday = spanyard(&twin, &["plan", "--format", "json"]);
        fs::write(twin.join("monday.json"), &monday).unwrap();
        tab.go(&case.page("/plan"));
        tab.click(&named("Find the best purchase"));
        planned(tab);
        tab.follow(&named("Keep this plan as agreed"));
        assert!(case.file("agreed.json") == monday, "the plans differ");
        for (number, (kind, fields)) in WEEK.iter().enumerate() {
            let words: Vec<String> =
                fields.iter().map(|(name, value)| format!("{name}={value}")).collect();
            let mut arguments = vec!["decide", kind];
            arguments.extend(words.iter().map(String::as_str));
            let said = spanyard(&twin, &arguments);
            assert!(said.contains("Written to"), "{said}");
            let again = number == 1 || number + 1 == WEEK.len();
            decide(tab, &case, kind, fields, again);
            let terminal = fs::read_to_string(twin.join("decisions.toml")).unwrap();
            assert_eq!(case.file("decisions.toml"), terminal, "after {kind}");
            if number == 1 {
                planned(tab);
                let text = tab.words("document.body.innerText");
                assert!(text.contains("18 cars where they lay; 2 changes."), "{text}");
                picture(tab, "changed");
                // What contradicts is refused, with its reason, and nothing is written.
                decide(tab, &case, "bought", &[("car", "UD-19"), ("price_usd", "12000")], false);
                let text = tab.words("document.body.innerText");
                assert!(text.contains("UD-19 is sold to others"), "{text}");
                assert_eq!(tab.words("document.querySelector('[name=price_usd]').value"), "12000");
                assert_eq!(case.file("decisions.toml"), terminal);
                picture(tab, "refused");
            }
        }
        planned(tab);
        tab.follow(&named("Keep this plan as agreed"));
        let friday = spanyard(&twin, &["plan", "--previous", "monday.json", "--format", "json"]);
        let friday = friday.replace("since monday.json: decisions.toml is new\n", "");
        assert!(case.file("agreed.json") == friday, "the plans differ");
        // Taking a decision back, and having the file back as it was.
        let before = case.file("decisions.toml");
        tab.go(&case.page("/decide"));
        picture(tab, "decide");
        tab.follow("[...document.querySelectorAll('.problems li button')].at(-1)");
        assert!(!case.file("decisions.toml").contains("[[fixed]]"));
        tab.follow(&named("Earlier states of the files"));
        picture(tab, "earlier");
        tab.follow(&named("look, bring back"));
        tab.follow(&named("Bring it back"));
        assert_eq!(case.file("decisions.toml"), before);
        // The papers, in the folder and to look at.
        tab.go(&case.page("/papers"));
        tab.follow(&named("Make all papers"));
        assert!(case.file("papers/plan.html").contains("Tessarow County"));
        tab.go(&case.page("/papers"));
        picture(tab, "papers");
        tab.go(&case.page("/papers/file?name=plan.html"));
        tab.until("document.body.innerText.includes('Part 1, for the board')");
        picture(tab, "paper");
    });
}

#[test]
fn trials_and_questions_touch_no_file_till_one_is_kept() {
    let case = Case::demo("trials");
    in_browser(&case, |tab, _| {
        let files =
            || ["crossings.csv", "decisions.toml", "rules.toml"].map(|name| case.file(name));
        let before = files();
        tab.go(&case.page("/plan"));
        tab.click(&named("Find the best purchase"));
        planned(tab);
        tab.go(&case.page("/what-if"));
        tab.fill("[name=budget]", "300k");
        tab.click(&named("Try it"));
        tab.until("location.pathname === '/what-if' && document.body.innerText.includes('budget $300,000')");
        tab.choose("[name=crossing]", "B-21");
        tab.choose("[name=column]", "clear_width_ft");
        tab.fill("[name=value]", "12");
        tab.click(&named("Try it"));
        tab.until("location.pathname === '/what-if' && document.querySelectorAll('.problems li').length === 2");
        picture(tab, "what-if");
        assert_eq!(files(), before);
        // What stands in a file can be brought into it, and back again.
        tab.follow(&named("bring into crossings.csv"));
        let row =
            |text: &str| text.lines().find(|line| line.starts_with("B-21,")).map(str::to_owned);
        let now = case.file("crossings.csv");
        assert_ne!(row(&now), row(&before[0]));
        let others = |text: &str| {
            text.lines()
                .filter(|line| !line.starts_with("B-21,"))
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        assert_eq!(others(&now), others(&before[0]));
        picture(tab, "what-if-brought");
        tab.follow(&named("Crossings"));
        assert_eq!(
            tab.words("document.querySelector('[aria-label=\"clear_width_ft, row 7\"]').value"),
            "12"
        );
        tab.go(&case.page("/earlier"));
        tab.follow(&named("look, bring back"));
        tab.follow(&named("Bring it back"));
        assert_eq!(files(), before);
        tab.go(&case.page("/what-if"));
        tab.choose("[name=crossing]", "B-21");
        tab.choose("[name=column]", "clear_width_ft");
        tab.fill("[name=value]", "12");
        tab.choose("[name=crossing2]", "B-19");
        tab.choose("[name=column2]", "priority");
        tab.fill("[name=value2]", "1");
        tab.click(&named("Try it"));
        tab.until("location.pathname === '/what-if' && document.querySelectorAll('.problems li').length === 2");
        tab.follow(&named("keep as a scenario"));
        assert!(
            case.file("scenarios/B-21 clear_width_ft 12- B-19 priority 1.json")
                .contains("\"crossings\"")
        );
        tab.follow("[...document.querySelectorAll('.problems button')].find(b => b.textContent === 'throw away')");
        tab.fill("[name=steps]", "3");
        tab.click(&named("Draw the curve"));
        tab.until("location.pathname === '/what-if' && document.querySelector('figure svg')");
        // The slider tells what the nearest step of the curve buys, and how far that is proven.
        tab.value(
            "void (() => { const slide = document.querySelector('[type=range]'); slide.value = slide.max; \
             slide.dispatchEvent(new Event('input')); })()",
        );
        let buys = tab.words("document.getElementById('buys').textContent");
        assert!(buys.contains("served") && buys.contains("proven"), "{buys}");
        picture(tab, "curve");
        // The file was touched, so the plan is one of other files till it is made again.
        tab.go(&case.page("/ask"));
        tab.click(&named("Find the best purchase"));
        planned(tab);
        tab.go(&case.page("/ask"));
        tab.click(&named("If a car fails"));
        tab.until("location.pathname === '/ask' && document.body.innerText.includes('If one car fails its inspection')");
        // A long search can be stopped, and what it has not looked into by then is said.
        tab.click(&named("What is missing where nothing serves"));
        tab.until("location.pathname === '/plan' && document.getElementById('search')");
        tab.click(&named("Stop and keep the best"));
        tab.until("location.pathname === '/ask' && document.body.innerText.includes('Cars to ask dealers for')");
        picture(tab, "ask");
        assert_eq!(files(), before);
    });
}
