//! The page: complete in itself, safe, legible, and its sums are the plan's.

use std::collections::BTreeSet;

use roxmltree::Document;
use spanyard::model::plan::Fate;
use spanyard::report::page;
use spanyard::report::provenance::{PageContext, Paper};
use spanyard::report::sheets;

use super::county::{context, county, hostile};

fn demo_page() -> String {
    page::plan(county(), &context(county())).unwrap()
}

/// Everything printed, sheets too.
fn pages(report: &spanyard::report::facts::PlanReport<'_>) -> Vec<String> {
    let context = context(report);
    let mut pages = vec![page::plan(report, &context).unwrap()];
    let sheets = sheets::all(report, &context).unwrap();
    pages.extend(
        sheets.into_iter().filter(|s| s.name.ends_with(".html")).map(|sheet| sheet.content),
    );
    assert!(pages.len() > 5);
    pages
}

#[test]
fn needs_no_network_and_no_script() {
    for text in pages(county()) {
        assert!(text.starts_with("<!DOCTYPE html>"));
        for forbidden in ["<script", "<link", "<img", "<iframe", "@import", "src=", "javascript:"] {
            assert!(!text.contains(forbidden), "{forbidden}");
        }
        // The only addresses are places in the page, and the name of the SVG language.
        let rest = text.replace("http://www.w3.org/2000/svg", "");
        assert!(!rest.contains("http:") && !rest.contains("https:"));
        for (at, _) in text.match_indices("url(") {
            assert!(text[at..].starts_with("url(#"));
        }
    }
}

#[test]
fn hostile_names_never_become_markup() {
    for text in pages(&hostile()) {
        assert!(!text.contains("<script"));
        assert!(text.contains("&lt;script&gt;") || text.contains("&#60;script&#62;"));
        assert!(!text.contains('\u{1b}') || !text.contains("=\"\u{1b}"));
    }
}

#[test]
fn a_hostile_command_line_stays_in_the_footer() {
    let files = Vec::new();
    let command = "spanyard plan --report \"</style><script>alert(1)</script>\\";
    let context = PageContext::new(county(), files, command, Paper::A4);
    let text = page::plan(county(), &context).unwrap();
    assert!(!text.contains("<script"));
    assert_eq!(
        text.matches("</style>").count(),
        1 + text.matches("<svg").count() - unstyled(&text)
    );
    assert!(text.contains("size: A4"));
}

/// Drawings without a style of their own.
fn unstyled(text: &str) -> usize {
    text.split("<svg").skip(1).filter(|svg| !svg.contains("<style>")).count()
}

#[test]
fn ids_are_unique_and_links_arrive() {
    for text in pages(county()) {
        let mut ids = BTreeSet::new();
        for part in text.split(" id=\"").skip(1) {
            let id = part.split('"').next().unwrap();
            assert!(ids.insert(id), "{id} stands twice");
        }
        for part in text.split("href=\"#").skip(1) {
            let id = part.split('"').next().unwrap();
            assert!(ids.contains(id), "nothing has the ID {id}");
        }
        for part in text.split("aria-labelledby=\"").skip(1) {
            for id in part.split('"').next().unwrap().split(' ') {
                assert!(ids.contains(id));
            }
        }
    }
}

#[test]
fn says_what_the_plan_says() {
    let (report, text) = (county(), demo_page());
    let context = context(report);
    let plan = report.plan;
    for needed in [
        plan.totals.outlay.to_string(),
        plan.totals.net.to_string(),
        context.plan_id.clone(),
        context.inputs_hash.clone(),
        context.version.clone(),
        "licensed engineer".to_owned(),
        "What was not checked".to_owned(),
    ] {
        assert!(text.contains(&needed), "{needed}");
    }
    for crossing in &plan.crossings {
        let id = &report.inputs.crossing(crossing.crossing).id;
        assert!(text.contains(&format!(">{id}</span>")), "{id}");
        match &crossing.fate {
            Fate::Served(served) => {
                assert!(text.contains(&served.total().to_string()), "{id}");
                for line in &served.lines {
                    assert!(text.contains(&line.amount.to_string()), "{id} {line:?}");
                }
            }
            Fate::Unserved(unserved) => assert!(!unserved.reasons.is_empty()),
        }
    }
}

#[test]
fn every_drawing_in_the_page_is_well_formed() {
    let text = demo_page();
    let drawings: Vec<&str> =
        text.split("<svg").skip(1).map(|part| part.split("</svg>").next().unwrap()).collect();
    assert!(drawings.len() > 10);
    for drawing in drawings {
        let svg = format!("<svg{drawing}</svg>");
        assert!(Document::parse(&svg).is_ok(), "{svg}");
    }
}

/// Relative luminance and contrast as WCAG 2.1 defines them (W3C Recommendation of 5 June 2018,
/// from memory).
fn contrast(a: &str, b: &str) -> f64 {
    let luminance = |hex: &str| {
        let hex = hex.trim_start_matches('#');
        let part = |at: usize| {
            let c = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
            if c <= 0.03928 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(0) + 0.7152 * part(2) + 0.0722 * part(4)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn contrast_formula() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    // A known pair at the limit: #767676 on white is 4.54 (from memory).
    assert!((contrast("#767676", "#ffffff") - 4.54).abs() < 0.01);
}

#[test]
fn all_lettering_stands_out_from_every_ground() {
    let text = demo_page();
    let color = |name: &str| {
        let at = text.find(&format!("--{name}: #")).unwrap_or_else(|| panic!("no --{name}"));
        let from = at + name.len() + 4;
        text[from..from + 7].to_owned()
    };
    for front in ["ink", "soft", "oxide"] {
        for ground in ["paper", "ground", "band"] {
            let found = contrast(&color(front), &color(ground));
            // WCAG AA for text of any size.
            assert!(found >= 4.5, "--{front} on --{ground}: {found:.2}");
        }
    }
    // Every color of lettering in the style sheet is one of these.
    let style = text.split("</style>").next().unwrap();
    for part in style.split("color: ").skip(1) {
        let value = part.split([';', ' ', '}']).next().unwrap();
        let known = ["var(--ink)", "var(--soft)", "var(--oxide)", &color("soft")];
        assert!(known.contains(&value), "color: {value}");
    }
    // And so is every one in a drawing, on white.
    for part in text.split("<text").skip(1) {
        assert!(!part.split('>').next().unwrap().contains("fill="));
    }
    for part in text.split("<g ").skip(1) {
        let tag = part.split('>').next().unwrap();
        if let Some(fill) = tag.split("fill=\"").nth(1) {
            let fill = fill.split('"').next().unwrap();
            assert!(contrast(fill, "#ffffff") >= 4.5, "{fill}");
        }
    }
}

#[test]
fn every_table_repeats_its_header_and_says_what_it_is() {
    let text = demo_page();
    let tables = text.matches("<table").count();
    assert!(tables > 20);
    assert!(text.matches("<thead>").count() >= tables - 3, "all but totals, decision and review");
    assert!(text.contains("thead { display: table-header-group; }"));
    for text in pages(county()) {
        let body = text.rsplit("</style>").next().unwrap();
        assert_eq!(body.matches("<table").count(), body.matches("<caption").count());
        for (at, _) in
            text.match_indices("<th").filter(|(at, _)| !text[*at..].starts_with("<thead"))
        {
            let tag = text[at..].split('>').next().unwrap();
            assert!(tag.contains("scope=\"row\"") || tag.contains("scope=\"col\""), "{tag}");
        }
        assert!(!text.contains("tabindex"), "no stop of the tab key without a scroll of its own");
    }
}

#[test]
fn headings_go_down_one_level_at_a_time_from_one_first() {
    for text in pages(county()) {
        let mut levels = Vec::new();
        for (at, _) in text.match_indices("<h") {
            let level = text[at + 2..].chars().next().and_then(|c| c.to_digit(10));
            levels.extend(level);
        }
        assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1, "{levels:?}");
        assert_eq!(levels.first(), Some(&1));
        for pair in levels.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{levels:?}");
        }
        assert!(text.contains("<main"));
    }
}
