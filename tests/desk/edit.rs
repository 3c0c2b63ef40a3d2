//! Lists and crossings: dropped, read back, edited, and never written over.

use std::fs;
use std::io::Read as _;

use crate::{Case, in_browser, named, picture, spanyard};

/// The button of an answer to the question that is about this.
fn answer(about: &str, words: &str) -> String {
    format!(
        "[...document.querySelectorAll('.asks fieldset')].find(f => f.querySelector('legend').textContent.includes({about:?}))\
         ?.querySelectorAll('button').values().find(b => b.textContent === {words:?})"
    )
}

/// Types an answer to the question that is about this, and sends it.
fn typed(tab: &crate::chromium::Tab<'_>, about: &str, words: &str) {
    tab.value(&format!(
        "void (() => {{ const f = [...document.querySelectorAll('.asks fieldset')].find(f => f.querySelector('legend')\
         .textContent.includes({about:?})); f.querySelector('[name=typed]').value = {words:?}; }})()"
    ));
    tab.follow(&answer(about, "so"));
}

#[test]
fn a_messy_list_from_drop_to_read_back() {
    let case = Case::demo("messy");
    let list = case.folder.join("Spur June.csv");
    // A dealer's own table: title, other names, feet and inches, words, a total below.
    let text = "Offer of June,,,,,,\nStock no,Series,Length,Width,Main sill,Bolsters,Price\n\
                W-1,D-60A,60'-0\",9'-2\",good,good,9800\nW-2,D-60A,60'-0\",9'-2\",good,rusty,9500\n\
                W-3,D-60A,60'-0\",9'-2\",good,good,9600\nTotal,,,,,,28900\n";
    fs::write(&list, text).unwrap();
    spanyard(&case.folder, &["demo", "twin"]);
    in_browser(&case, |tab, _| {
        tab.go(&case.page("/lists"));
        picture(tab, "lists");
        tab.fill("#day", "2026-06-01");
        tab.drop("#drop", &[&list]);
        tab.until("location.pathname === '/lists/new'");
        // Nothing is written before it is asked about and looked at.
        let county = case.folder.join("county/lists");
        // Locks stay, and begin with a dot.
        let shown = |entry: &fs::DirEntry| !entry.file_name().to_string_lossy().starts_with('.');
        let standing = || fs::read_dir(&county).unwrap().flatten().filter(shown).count();
        let before = standing();
        picture(tab, "list-new");
        crate::looks::held(tab, crate::looks::axe().as_deref(), "list-new");
        typed(tab, "dealer", "Drumfell Reclaim");
        typed(tab, "yard", "Upper Drum");
        let text_of = || tab.words("document.querySelector('main').innerText");
        assert!(text_of().contains("`good` stands in 5 cells of 2 columns"), "{}", text_of());
        picture(tab, "list-words");
        tab.follow(&answer("good", "sound"));
        // What rust means nobody knows here: it stays open, and is asked of the dealer.
        assert!(text_of().contains("rusty") && !text_of().contains("`good`"), "{}", text_of());
        assert_eq!(standing(), before);
        tab.follow(&named("Add the list"));
        assert_eq!(case.file("lists/spur-june-2026-06-01.csv"), text);
        let said = spanyard(
            &case.folder.join("twin"),
            &[
                "add",
                "../Spur June.csv",
                "constants.dealer=Drumfell Reclaim",
                "constants.yard=Upper Drum",
                "words.members.good=sound",
                "--date",
                "2026-06-01",
            ],
        );
        let name = "lists/spur-june-2026-06-01.mapping.toml";
        let twin = fs::read_to_string(case.folder.join("twin").join(name));
        assert_eq!(case.file(name), twin.unwrap_or_default(), "{said}");
        assert!(text_of().contains("W-1") && text_of().contains("60'-0\""), "{}", text_of());
        picture(tab, "list-read-back");
        // A question is answered later just as well.
        tab.follow(&answer("rusty", "leave unknown"));
        assert!(case.file(name).contains("rusty = \"\""), "{}", case.file(name));
        // A cell is corrected, and a row left out, from the read-back; the dealer's file stays.
        tab.follow(&named("G4"));
        tab.fill("[name=is]", "9400");
        picture(tab, "list-cell");
        tab.follow(&named("Correct the cell"));
        assert!(
            text_of().contains("$9,400.00") && text_of().contains("corrected"),
            "{}",
            text_of()
        );
        tab.follow(&named("G5"));
        tab.fill("[name=why]", "sold by telephone");
        tab.follow(&named("Leave the whole row out"));
        assert!(text_of().contains("left out by the mapping: sold by telephone"), "{}", text_of());
        assert_eq!(case.file("lists/spur-june-2026-06-01.csv"), text);
        let said =
            spanyard(&case.folder.join("county"), &["check", "--list", "spur-june-2026-06-01"]);
        assert!(said.contains("left out by the mapping: sold by telephone"), "{said}");
        // The dealer's next list shows its difference first.
        let next = text.replace("9800", "9700").replace("W-2", "W-9");
        fs::write(&list, next).unwrap();
        tab.go(&case.page("/lists"));
        tab.choose("#follows", "spur-june");
        tab.fill("#day", "2026-06-08");
        tab.drop("#drop", &[&list]);
        tab.until("location.pathname === '/lists/new'");
        for words in ["cheaper: W-1, $9,700.00", "new: W-3, W-9", "gone: W-2", "is no longer read"]
        {
            assert!(text_of().contains(words), "{words}: {}", text_of());
        }
        picture(tab, "list-since");
        tab.follow(&named("Throw it away"));
        assert!(!case.file("lists/spur-june-2026-06-01.csv").is_empty());
        assert_eq!(standing(), before + 2);
        // The same day again is refused, in words.
        tab.choose("#follows", "spur-june");
        tab.fill("#day", "2026-06-01");
        tab.drop("#drop", &[&list]);
        tab.until("document.getElementById('said').textContent.includes('is there already')");
        // What was changed in another window is not written over.
        tab.go(&case.page("/lists/cell?list=lists%2Fspur-june-2026-06-01.csv&cell=G3&row=3"));
        let mapping = case.folder.join("county").join(name);
        let changed = case.file(name) + "# Mine.\n";
        fs::write(&mapping, &changed).unwrap();
        tab.fill("[name=is]", "1");
        tab.follow(&named("Correct the cell"));
        assert!(text_of().contains("was changed by another program"), "{}", text_of());
        assert_eq!(case.file(name), changed);
    });
}

#[test]
fn two_tabs_at_the_crossings_lose_nothing() {
    let case = Case::demo("tabs");
    in_browser(&case, |tab, browser| {
        let second = browser.tab();
        second.size(1280, 900, false);
        tab.go(&case.page("/crossings"));
        second.go(&case.page("/crossings"));
        picture(tab, "grid");
        let road = "[aria-label='road, row 1']";
        tab.fill(road, "School Lane");
        tab.follow(&named("Save the crossings"));
        assert!(case.file("crossings.csv").contains("School Lane,"));
        second.fill(road, "Wether Lane");
        second.follow(&named("Save the crossings"));
        let page = second.words("document.body.innerText");
        assert!(page.contains("was changed by another program or in another window"), "{page}");
        assert!(page.contains("the file has: School Lane"), "{page}");
        assert_eq!(second.words(&format!("document.querySelector({road:?}).value")), "Wether Lane");
        assert!(!case.file("crossings.csv").contains("Wether Lane"));
        picture(&second, "conflict");
        second.follow(&named("Save the crossings"));
        assert!(case.file("crossings.csv").contains("Wether Lane"));
        // A cell that the reader does not take says so, and nothing is saved.
        let before = case.file("crossings.csv");
        second.fill("[aria-label='clear_width_ft, row 1']", "two lanes");
        second.follow(&named("Save the crossings"));
        let says = second.words("document.querySelector('td.bad .says').textContent");
        assert!(says.contains("number"), "{says}");
        assert_eq!(case.file("crossings.csv"), before);
        picture(&second, "grid-bad");
        // A piece of a spreadsheet, pasted at a cell.
        second.go(&case.page("/crossings"));
        second.value(
            "void (() => { const data = new DataTransfer(); data.setData('text/plain', '17\\n18\\n'); \
             document.querySelector('[aria-label=\"clear_width_ft, row 1\"]').dispatchEvent(\
             new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true })); })()",
        );
        assert_eq!(
            second.words("document.querySelector('[aria-label=\"clear_width_ft, row 2\"]').value"),
            "18"
        );
    });
}

#[test]
fn the_keyboard_alone_leads_from_the_overview_to_a_decision() {
    let case = Case::demo("keys");
    in_browser(&case, |tab, _| {
        tab.go(&case.page("/"));
        // Tab by tab to the link, and Enter.
        let reach = |words: &str| {
            for _ in 0..200 {
                tab.key("Tab");
                if tab.words("document.activeElement?.textContent?.trim() ?? ''") == words {
                    let seen = tab
                        .value("getComputedStyle(document.activeElement).outlineStyle !== 'none'");
                    assert_eq!(seen, true, "{words} shows that it has the focus");
                    return;
                }
            }
            panic!("the keyboard does not reach {words}");
        };
        tab.key("Tab");
        assert_eq!(tab.words("document.activeElement.textContent"), "To the page");
        reach("Plan the purchase");
        tab.value("void (window.old = true)");
        tab.key("Enter");
        tab.until("!window.old");
        reach("Find the best purchase");
        tab.key("Enter");
        crate::week::planned(tab);
        reach("Decide");
        tab.value("void (window.old = true)");
        tab.key("Enter");
        tab.until("!window.old");
        reach("Crossing dropped");
        tab.value("void (window.old = true)");
        tab.key("Enter");
        tab.until("!window.old && document.querySelector('[name=crossing]')");
        reach("Write it down");
        tab.value("void (window.old = true)");
        tab.key("Enter");
        tab.until("!window.old");
        assert!(case.file("decisions.toml").contains("[[dropped]]"));
    });
}

#[test]
fn an_own_county_begins_with_an_empty_folder() {
    let case = Case::start("own", &["mill-creek"]);
    in_browser(&case, |tab, _| {
        assert_eq!(tab.words("document.querySelectorAll('[name=name]')[1].value"), "mill-creek");
        tab.follow(&named("Make an empty folder"));
        assert!(case.folder.join("mill-creek/crossings.xlsx").is_file());
        picture(tab, "own");
        let blank = fs::read(case.folder.join("mill-creek/crossings.xlsx")).unwrap();
        tab.follow(&named("Crossings"));
        for (column, value) in [
            ("crossing", "M-1"),
            ("road", "Mill Lane"),
            ("span_ft", "40"),
            ("clear_width_ft", "16"),
            ("vehicles", "H15"),
            ("deck", "timber"),
            ("most_abreast", "3"),
            ("priority", "1"),
            ("latitude_deg", "44"),
            ("longitude_deg", "-40"),
        ] {
            tab.fill(&format!("[aria-label='{column}, row 1']"), value);
        }
        tab.follow(&named("Save the crossings"));
        // It stands in the workbook, whose other parts are as they were: the notes in its header are kept.
        let saved = fs::read(case.folder.join("mill-creek/crossings.xlsx")).unwrap();
        assert_ne!(saved, blank);
        let parts = |bytes: &[u8]| {
            let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes.to_vec())).unwrap();
            let names: Vec<String> = archive.file_names().flatten().map(Into::into).collect();
            let all = names.into_iter().map(|name| {
                let mut text = Vec::new();
                archive.by_name(&name).unwrap().read_to_end(&mut text).unwrap();
                (name, text)
            });
            all.collect::<std::collections::BTreeMap<_, _>>()
        };
        let (before, after) = (parts(&blank), parts(&saved));
        assert_eq!(before.keys().collect::<Vec<_>>(), after.keys().collect::<Vec<_>>());
        let changed = before.keys().filter(|name| before[*name] != after[*name]);
        assert_eq!(changed.collect::<Vec<_>>(), ["xl/worksheets/sheet1.xml"]);
        let said = crate::spanyard(&case.folder, &["check", "mill-creek/crossings.xlsx"]);
        assert!(said.contains("crossings     1"), "{said}");
        picture(tab, "own-grid");
        // A place is pointed at on the map.
        tab.value("void document.querySelector('[aria-label=\"latitude_deg, row 1\"]').focus()");
        tab.click("document.querySelector('#map svg rect')");
        let north = tab.words("document.querySelector('[data-part=latitude]').value");
        let east = tab.words("document.querySelector('[data-part=longitude]').value");
        // The one crossing stood in the middle of its map.
        assert!((north.parse::<f64>().unwrap() - 44.0).abs() < 0.01, "{north}");
        assert!((east.parse::<f64>().unwrap() + 40.0).abs() < 0.01, "{east}");
        tab.fill("[aria-label='span_ft, row 1']", "many");
        tab.key("Tab");
        // Told as soon as the cell is left.
        tab.until("document.querySelector('td.bad .says')?.textContent.includes('number')");
        picture(tab, "grid-map");
    });
}
