//! The plan's page and every sheet, opened from their files: at two widths, and with axe-core.

use std::fs;
use std::path::Path;

use crate::chromium::{Browser, program};
use crate::looks::{axe, held};
use crate::spanyard;

/// Levels of headings, in order; and what a page must have once.
const HEADINGS: &str =
    "[...document.querySelectorAll('h1, h2, h3, h4')].map(h => Number(h.tagName[1]))";
const ONCE: &str = "['h1', 'main'].filter(name => document.querySelectorAll(name).length !== 1)";
/// Tables without a caption, without a head of a row or of a column, and boxes that can be reached by
/// the tab key and do not scroll.
const BARE: &str = "[...document.querySelectorAll('table')].filter(t => !t.caption || \
    !t.querySelector('th')).map(t => t.outerHTML.slice(0, 90)).concat(\
    [...document.querySelectorAll('[tabindex]')].map(e => e.outerHTML.slice(0, 90)))";

#[test]
fn the_page_and_every_sheet_are_of_use_with_aids() {
    let Some(program) = program() else { return };
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("desk-papers-aids");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    spanyard(&folder, &["demo", "county"]);
    let county = folder.join("county");
    let said = spanyard(
        &county,
        &[
            "plan",
            "--report",
            "plan.html",
            "--sheets",
            "sheets",
            "--curve",
            "200k..1000k",
            "--step",
            "400k",
        ],
    );
    assert!(said.contains("wrote plan.html"), "{said}");
    let mut pages = vec![county.join("plan.html")];
    let sheets = fs::read_dir(county.join("sheets")).unwrap().map(|entry| entry.unwrap().path());
    let mut sheets: Vec<_> =
        sheets.filter(|path| path.extension().is_some_and(|end| end == "html")).collect();
    sheets.sort();
    assert!(sheets.len() > 10);
    pages.extend(sheets);
    let axe = axe();
    let browser = Browser::start(&program, &folder);
    let tab = browser.tab();
    for page in pages {
        let name = page.file_stem().unwrap().to_string_lossy().into_owned();
        tab.go(&format!("file://{}", page.display()));
        held(&tab, axe.as_deref(), &format!("paper-{name}"));
        let levels: Vec<i64> =
            tab.value(HEADINGS).as_array().unwrap().iter().filter_map(|l| l.as_i64()).collect();
        assert_eq!(levels.first(), Some(&1), "{name}: {levels:?}");
        for pair in levels.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{name}: a heading is left out in {levels:?}");
        }
        assert_eq!(tab.value(ONCE), serde_json::json!([]), "{name}");
        assert_eq!(tab.value(BARE), serde_json::json!([]), "{name}");
    }
}
