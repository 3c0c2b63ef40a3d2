//! Pages at two widths, for eyes and for aids.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::chromium::Tab;
use crate::{Case, in_browser, named, picture};

/// The rules by which pages are held to be of use with aids, as a script; kept between runs. Where the
/// registry cannot be reached, `SPANYARD_NO_AXE=1` leaves them out.
pub fn axe() -> Option<String> {
    if std::env::var_os("SPANYARD_NO_AXE").is_some() {
        eprintln!("NOT RUN: SPANYARD_NO_AXE is set, so pages were not held against axe-core");
        return None;
    }
    // Where nobody asks for the browser, a machine without npm leaves this out too, and says so.
    let asked = std::env::var_os("SPANYARD_REQUIRE_BROWSER").is_some();
    if !asked && Command::new("npm").arg("--version").output().is_err() {
        eprintln!("NOT RUN: there is no npm to fetch axe-core with");
        return None;
    }
    let folder: PathBuf = Path::new(env!("CARGO_TARGET_TMPDIR")).join("axe-core-4.14.1");
    let script = folder.join("package/axe.min.js");
    if !script.is_file() {
        fs::create_dir_all(&folder).unwrap();
        let run = |program: &str, arguments: &[&str]| {
            let ran = Command::new(program).args(arguments).current_dir(&folder).output();
            assert!(ran.is_ok_and(|ran| ran.status.success()), "{program} {arguments:?}");
        };
        run("npm", &["pack", "axe-core@4.14.1", "--silent"]);
        run("tar", &["xzf", "axe-core-4.14.1.tgz"]);
    }
    Some(fs::read_to_string(script).unwrap())
}

/// What sticks out of the window sideways.
const SIDEWAYS: &str = "(() => { const wide = document.documentElement.clientWidth; \
    const out = [...document.querySelectorAll('body *')].filter(e => { const r = e.getBoundingClientRect(); \
      return r.width && r.right > wide + 1 && !e.closest('.wide, .draw, .skip, .track, pre, .cell'); }); \
    return [document.documentElement.scrollWidth - wide, out.slice(0, 5).map(e => e.outerHTML.slice(0, 90))]; })()";

/// Holds a page against all that every page must be.
pub fn held(tab: &Tab<'_>, axe: Option<&str>, name: &str) {
    for (width, height) in [(1280, 900), (390, 844)] {
        tab.size(width, height, width == 390);
        tab.until("true");
        let out = tab.value(SIDEWAYS);
        assert_eq!(out, serde_json::json!([0, []]), "{name} at {width} px");
        picture(tab, &format!("{name}-{width}"));
    }
    tab.size(1280, 900, false);
    let Some(axe) = axe else { return };
    tab.value(&format!("void (() => {{ {axe} }})()"));
    let found = tab.value(
        "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations\
         .filter(v => ['serious', 'critical'].includes(v.impact))\
         .map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' | ')))",
    );
    assert_eq!(found, serde_json::json!([]), "{name}");
}

#[test]
fn every_page_fits_both_widths_and_is_of_use_with_aids() {
    let case = Case::demo("looks");
    let axe = axe();
    in_browser(&case, |tab, _| {
        tab.go(&case.page("/plan"));
        tab.click(&named("Find the best purchase"));
        tab.until("document.querySelector('h1')?.textContent.includes('of 12 crossings')");
        for (name, path) in [
            ("overview", "/"),
            ("plan", "/plan"),
            ("crossing", "/plan/crossing?id=B-16"),
            ("unserved", "/plan/crossing?id=B-38"),
            ("cars", "/cars"),
            ("car", "/car?dealer=Drumfell+Reclaim&car=UD-05&crossing=B-21"),
            ("sheet", "/rate?dealer=Drumfell+Reclaim&car=UD-08&crossing=B-07"),
            ("source", "/source?file=lists/drumfell.csv&line=9&column=camber_in"),
            ("why", "/why?code=R03"),
            ("lists", "/lists"),
            ("list", "/lists/back?list=lists%2Forlhaven.xlsx"),
            ("crossings", "/crossings"),
            ("decide", "/decide?kind=measured"),
            ("decide-added", "/decide?kind=added"),
            ("decide-changed", "/decide?kind=changed&crossing=B-19"),
            ("costs", "/plan/costs?item=haul"),
            ("rules", "/rules"),
            ("source-workbook", "/source?file=lists/orlhaven.xlsx&line=9&column=camber_in"),
            ("what-if", "/what-if"),
            ("ask", "/ask"),
            ("papers", "/papers"),
            ("earlier", "/earlier"),
            ("missing", "/nothing"),
        ] {
            tab.go(&case.page(path));
            held(tab, axe.as_deref(), name);
        }
    });
}
