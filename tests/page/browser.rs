//! The page in a real browser: Chromium without a window, driven by its command line.
//!
//! Runs where a browser is found, and says plainly where not; with `SPANYARD_REQUIRE_BROWSER=1`,
//! as `.ci/run` sets it, a missing browser is a failure.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use spanyard::report::{page, sheets};

use super::county::{context, county};

/// Measures the loaded page and tells the document around it.
/// Only this temporary copy has a script; the page itself has none.
const MEASURE: &str = r#"<script>
const errors = [];
addEventListener('error', e => errors.push(String(e.message || e.target.outerHTML)), true);
function rgb(text) { const m = text.match(/[\d.]+/g).map(Number); return m.length > 3 && m[3] === 0 ? null : m; }
function lum(c) { return [0.2126, 0.7152, 0.0722].reduce((sum, w, i) => {
  const v = c[i] / 255; return sum + w * (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); }, 0); }
function ground(e) { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c) return c; } return [255, 255, 255]; }
addEventListener('load', () => {
  const wide = document.documentElement.clientWidth, out = [], faint = [];
  let least = 21;
  for (const e of document.querySelectorAll('body *')) {
    const r = e.getBoundingClientRect();
    if (r.width && r.right > wide + 1 && !e.closest('.wide, .draw, .skip')) out.push(e.tagName + ' ' + (e.textContent || '').slice(0, 40));
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (own && !['TITLE', 'DESC', 'STYLE'].includes(e.tagName.toUpperCase()) && r.width) {
      const style = getComputedStyle(e), svg = e.namespaceURI.endsWith('svg');
      const front = rgb(svg ? style.fill : style.color), back = svg ? [255, 255, 255] : ground(e);
      const [a, b] = [lum(front), lum(back)].sort((x, y) => y - x), ratio = (a + 0.05) / (b + 0.05);
      least = Math.min(least, ratio);
      if (ratio < 4.5) faint.push(e.tagName + ' ' + ratio.toFixed(2));
    }
  }
  parent.postMessage(JSON.stringify({ wide, inner: innerWidth, scroll: document.documentElement.scrollWidth, out: out.slice(0, 9), faint: faint.slice(0, 9), least, errors,
    drawings: document.querySelectorAll('svg').length,
    unnamed: [...document.querySelectorAll('svg')].filter(s => !s.querySelector('title')?.textContent || !s.querySelector('desc')?.textContent).length }), '*');
});
</script>"#;

/// A window can be no narrower than about 500 px, a frame can. The frame's measures end in the
/// document, where `--dump-dom` prints them.
const FRAME: &str = r#"<!DOCTYPE html><body><pre id="found"></pre><script>
addEventListener('message', e => { document.getElementById('found').textContent = e.data; });
</script><iframe src="page.html" style="border:0;width:WIDTHpx;height:900px"></iframe></body>"#;

/// The browser; `None` where there is none and none is required.
fn browser() -> Option<PathBuf> {
    let named = std::env::var_os("SPANYARD_BROWSER").map(PathBuf::from);
    let path = std::env::var_os("PATH").unwrap_or_default();
    let found = named.or_else(|| {
        std::env::split_paths(&path)
            .flat_map(|folder| ["chromium", "chromium-browser"].map(|name| folder.join(name)))
            .find(|path| path.is_file())
    });
    if found.is_none() {
        let required = std::env::var("SPANYARD_REQUIRE_BROWSER").is_ok_and(|v| v == "1");
        assert!(!required, "SPANYARD_REQUIRE_BROWSER=1, and no chromium on the PATH");
        eprintln!("NOT RUN: no chromium on the PATH; install it or set SPANYARD_BROWSER");
    }
    found
}

/// A folder of this test, made new.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Runs the browser on a file; its output and what it logged.
fn run(browser: &Path, folder: &Path, page: &Path, arguments: &[String]) -> (String, String) {
    let output = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--hide-scrollbars",
            "--enable-logging=stderr",
        ])
        .arg(format!("--user-data-dir={}", folder.join("profile").display()))
        .args(arguments)
        .arg(format!("file://{}", page.display()))
        .output()
        .unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(output.status.success(), "{}", text(&output.stderr));
    (text(&output.stdout), text(&output.stderr))
}

fn demo_page() -> String {
    page::plan(county(), &context(county())).unwrap()
}

/// What the browser measures of a page at a width.
fn measured(browser: &Path, folder: &Path, text: &str, width: u32) -> Value {
    std::fs::write(
        folder.join("page.html"),
        text.replacen("<head>", &format!("<head>{MEASURE}"), 1),
    )
    .unwrap();
    let frame = folder.join("frame.html");
    std::fs::write(&frame, FRAME.replace("WIDTH", &width.to_string())).unwrap();
    let arguments = ["--window-size=1400,1000", "--dump-dom"].map(str::to_owned);
    let (dom, log) = run(browser, folder, &frame, &arguments);
    let console: Vec<&str> = log.lines().filter(|line| line.contains("CONSOLE")).collect();
    assert!(console.is_empty(), "{console:?}");
    let found = dom.split("<pre id=\"found\">").nth(1).expect("the page was measured");
    let found = found.split("</pre>").next().unwrap();
    let found = found.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    serde_json::from_str(&found).unwrap()
}

#[test]
fn nothing_overflows_and_nothing_fails_at_1280_and_390() {
    let Some(browser) = browser() else { return };
    let folder = folder("browser-width");
    let report = county();
    let mut pages = vec![("page".to_owned(), demo_page())];
    let files = sheets::all(report, &context(report)).unwrap();
    for start in ["request-", "order-", "inspection-", "crew-"] {
        let sheet = files.iter().find(|f| f.name.starts_with(start) && f.name.ends_with(".html"));
        pages.extend(sheet.map(|file| (file.name.clone(), file.content.clone())));
    }
    assert_eq!(pages.len(), 5);
    for (name, text) in pages {
        for width in [1280, 390] {
            let found = measured(&browser, &folder, &text, width);
            assert_eq!(found["inner"], width, "{name}");
            let scroll = found["scroll"].as_u64().unwrap();
            assert!(scroll <= u64::from(width), "{name} at {width} px scrolls to {scroll}");
            assert_eq!(found["out"], serde_json::json!([]), "{name} at {width} px");
            assert_eq!(found["errors"], serde_json::json!([]), "{name} at {width} px");
            assert_eq!(found["faint"], serde_json::json!([]), "{name} at {width} px");
            assert_eq!(found["unnamed"], 0, "{name}");
            assert!(found["least"].as_f64().unwrap() < 21.0, "some lettering was measured");
        }
    }
}

#[test]
fn prints_a_page_or_more_for_each_crossing_with_its_origin_on_every_page() {
    let Some(browser) = browser() else { return };
    let folder = folder("browser-print");
    let (page, pdf) = (folder.join("page.html"), folder.join("page.pdf"));
    std::fs::write(&page, demo_page()).unwrap();
    let print = format!("--print-to-pdf={}", pdf.display());
    run(&browser, &folder, &page, &["--no-pdf-header-footer".to_owned(), print]);
    let bytes = std::fs::read(&pdf).unwrap();
    assert!(bytes.starts_with(b"%PDF"));
    let pages = count(&bytes, b"/Type /Page\n") + count(&bytes, b"/Type /Page ");
    // Board 2, a sheet for each crossing served, buyer 3, appendices.
    assert!((15..=26).contains(&pages), "{pages} pages");
    // Letter: 612 x 792 points.
    assert!(count(&bytes, b"612 792]") >= 1, "US Letter");
    let Ok(output) = Command::new("pdftotext").arg("-layout").arg(&pdf).arg("-").output() else {
        eprintln!("NOT RUN: no pdftotext, so footers and page breaks were not read");
        return;
    };
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let texts: Vec<&str> = text.trim_end_matches('\u{c}').split('\u{c}').collect();
    assert_eq!(texts.len(), pages, "pdftotext sees the same pages");
    let context = context(county());
    for (number, text) in (1..).zip(&texts) {
        for needed in [context.plan_id.as_str(), "2026-06-01", "Tessarow County Road Department"] {
            assert!(text.contains(needed), "page {number} lacks {needed}: {text}");
        }
        assert!(text.contains(&format!("page {number} of {pages}")), "page {number}: {text}");
    }
    for crossing in county().plan.crossings.iter().filter(|c| c.served().is_some()) {
        let crossing = county().inputs.crossing(crossing.crossing);
        let begins = texts.iter().filter(|text| {
            let lines = text.lines().filter(|line| !line.trim().is_empty());
            let head: String = lines.take(3).collect();
            let needed = ["Part 2, for the engineer", &crossing.id, &crossing.road];
            needed.iter().all(|needed| head.contains(needed))
        });
        assert_eq!(begins.count(), 1, "{} begins a page", crossing.id);
    }
    assert!(texts[1].contains("Decision of the board"));
    contents_name_the_right_pages(&std::fs::read_to_string(&page).unwrap(), &texts);
}

/// Each page that the contents name begins with what they promise there.
fn contents_name_the_right_pages(page: &str, texts: &[&str]) {
    let contents = page.split("id=\"contents\"").nth(1).unwrap().split("</nav>").next().unwrap();
    let mut named = 0;
    for line in contents.split("<li>").skip(1) {
        let title = line.split('>').nth(1).unwrap().split('<').next().unwrap();
        let Some((_, number)) = line.split_once(", page ") else { continue };
        let number: usize = number.split('<').next().unwrap().parse().unwrap();
        let text = texts[number - 1];
        let part = title.split(',').next().unwrap();
        assert!(text.contains(part), "page {number} is not {title}: {text}");
        if let Some((_, crossing)) = title.split_once(": ") {
            let head: String = text.lines().take(6).collect();
            assert!(head.contains(crossing), "page {number} is not {title}: {text}");
        }
        named += 1;
    }
    assert!(named > 2, "the contents name pages");
}

fn count(bytes: &[u8], needle: &[u8]) -> usize {
    bytes.windows(needle.len()).filter(|window| *window == needle).count()
}
