//! Lists and crossings: dropped, read back, edited, and never written over.

use std::fs;
use std::io::Read as _;

use crate::{Case, in_browser, named, picture};

#[test]
fn a_messy_list_from_drop_to_read_back() {
    let case = Case::demo("messy");
    let list = case.folder.join("Spur June.csv");
    // A dealer's own table: title, other names, feet and inches, a total below.
    let text = "Offer of June,,,,\nStock no,Series,Length,Width,Price\nW-1,D-60A,60'-0\",9'-2\",9800\n\
                W-2,D-60A,60'-0\",9'-2\",9500\nTotal,,,,19300\n";
    fs::write(&list, text).unwrap();
    in_browser(&case, |tab, _| {
        tab.go(&case.page("/lists"));
        picture(tab, "lists");
        tab.drop("#drop", &[&list]);
        tab.until("location.pathname === '/lists/back'");
        assert_eq!(case.file("lists/Spur June.csv"), text);
        picture(tab, "list-new");
        // It is not understood yet; a draft of its mapping stands there to be answered.
        let draft = tab.words("document.querySelector('textarea').value");
        assert!(draft.contains("[columns]"), "{draft}");
        let answered = draft
            .replace("# dealer = \"...\"", "dealer = \"Drumfell Reclaim\"")
            .replace("# yard = \"...\"", "yard = \"Upper Drum\"");
        tab.value(&format!("void (document.querySelector('textarea').value = {answered:?})"));
        tab.follow(&named("Save, and read the list again"));
        assert_eq!(case.file("lists/Spur June.mapping.toml"), answered);
        let page = tab.words("document.body.innerText");
        assert!(page.contains("W-1") && page.contains("60'-0\""), "{page}");
        picture(tab, "list-read-back");
        // The same list again is the same; another of its name is not written over it.
        fs::write(&list, "another\n").unwrap();
        tab.go(&case.page("/lists"));
        tab.drop("#drop", &[&list]);
        tab.until("document.getElementById('said').textContent.includes('says something else')");
        assert_eq!(case.file("lists/Spur June.csv"), text);
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
