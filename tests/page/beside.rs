//! What stands beside the plan in its page: what each budget buys, lines under the map, the agency's
//! mark; and the buyer's tabulation.

use roxmltree::Document;
use spanyard::model::place::Position;
use spanyard::model::plan::IfRefused;
use spanyard::quantity::Cents;
use spanyard::report::facts::sweep::Point;
use spanyard::report::logo;
use spanyard::report::outline::{Chain, ChainKind, Outline};
use spanyard::report::page;
use spanyard::report::provenance::Beside;

use super::county::{context, county};

fn page_with(beside: Beside) -> String {
    page::plan(county(), &context(county()).with(beside)).unwrap()
}

/// The rows of a table, each its cells without markup.
fn rows(page: &str, caption: &str) -> Vec<Vec<String>> {
    let table = page.split(&format!("<caption>{caption}")).nth(1).unwrap();
    let body = table.split("<tbody>").nth(1).unwrap().split("</tbody>").next().unwrap();
    let cells = |row: &str| -> Vec<String> {
        row.split("</t").map(|cell| cell.rsplit('>').next().unwrap().trim().to_owned()).collect()
    };
    body.split("<tr").skip(1).map(cells).collect()
}

fn cents(text: &str) -> i64 {
    let digits: String = text.chars().filter(|c| c.is_ascii_digit()).collect();
    digits.parse::<i64>().unwrap() * if text.starts_with('-') { -1 } else { 1 }
}

#[test]
fn the_curve_of_budgets_marks_this_plan_and_tells_what_each_step_adds() {
    let report = county();
    let all: Vec<String> = report.inputs.crossings.iter().map(|row| row.id.clone()).collect();
    let point = |dollars: i64, served: &[&str], outlay: i64| Point {
        budget: Cents::dollars(dollars),
        service: vec![(1, served.len(), all.len())],
        unserved: all.iter().filter(|id| !served.contains(&id.as_str())).cloned().collect(),
        outlay: Cents::dollars(outlay),
        net: Cents::dollars(outlay),
        saves: None,
        left_to_other: Vec::new(),
        proven: dollars != 400_000,
    };
    let budgets = vec![
        point(200_000, &["B-03", "B-07"], 131_000),
        point(400_000, &["B-03", "B-12"], 390_000),
        point(600_000, &["B-03", "B-12"], 390_000),
    ];
    let text = page_with(Beside { budgets, ..Beside::default() });
    let steps = rows(&text, "What each step of the budget buys");
    let said: Vec<(&str, &str, &str, &str)> = steps
        .iter()
        .map(|row| (row[0].as_str(), row[1].as_str(), row[2].as_str(), row[3].as_str()))
        .collect();
    let outlay = report.plan.totals.outlay;
    assert_eq!(
        said[..3],
        [
            ("$200,000", "2 of 12", "B-03, B-07", "$131,000"),
            ("$400,000", "2 of 12 ?", "B-12, without B-07", "$390,000"),
            ("$600,000", "2 of 12", "nothing more", "$390,000"),
        ]
    );
    assert_eq!(said.len(), 4);
    assert_eq!(said[3].0, format!("{outlay:.0}, this plan"));
    assert_eq!(said[3].3, format!("{outlay:.0}"));
    assert!(text.contains("? not proven"));
    let chart = text.split("<figcaption>What each budget buys").nth(1).unwrap();
    let svg = &chart[chart.find("<svg").unwrap()..chart.find("</svg>").unwrap() + 6];
    let xml = Document::parse(svg).unwrap();
    let words: Vec<&str> = xml.descendants().filter_map(|node| node.text()).collect();
    for needed in ["this plan", "budget, US dollars", "served", "Crossings served at each budget"] {
        assert!(words.contains(&needed), "{needed}: {words:?}");
    }
    let bars = xml.descendants().filter(|node| node.has_attribute("data-budget-cents")).count();
    assert_eq!(bars, 4);
}

#[test]
fn a_page_without_a_range_of_budgets_has_no_curve() {
    assert!(!page_with(Beside::default()).contains("What each step of the budget buys"));
}

#[test]
fn lines_of_the_county_lie_under_the_map_and_inside_its_frame() {
    let at = |longitude_deg, latitude_deg| Position { latitude_deg, longitude_deg };
    let chain = |kind, positions| Chain { kind, positions };
    let outline = Outline {
        chains: vec![
            chain(ChainKind::Edge, vec![at(-41.0, 43.0), at(-39.0, 43.0), at(-39.0, 45.0)]),
            chain(ChainKind::Water, vec![at(-60.0, 44.0), at(-20.0, 44.1)]),
            chain(ChainKind::Road, vec![at(10.0, 10.0), at(11.0, 11.0)]),
        ],
    };
    let text = page_with(Beside { outline, ..Beside::default() });
    let map = text.split("<figcaption>Where the cars come from").nth(1).unwrap();
    let svg = &map[map.find("<svg").unwrap()..map.find("</svg>").unwrap() + 6];
    let xml = Document::parse(svg).unwrap();
    let lines: Vec<_> = xml.descendants().filter(|node| node.has_tag_name("polyline")).collect();
    // The river crosses both maps; what lies on another continent is on neither.
    assert!((2..=4).contains(&lines.len()), "{}", lines.len());
    for line in lines {
        for point in line.attribute("points").unwrap().split(' ') {
            let x: f64 = point.split(',').next().unwrap().parse().unwrap();
            assert!((0.9..=699.1).contains(&x), "{point}");
        }
    }
}

#[test]
fn the_agencys_mark_is_carried_in_the_page() {
    let logo = logo::data_address(b"<svg xmlns='http://www.w3.org/2000/svg'/>").unwrap();
    let text = page_with(Beside { logo: Some(logo.clone()), ..Beside::default() });
    assert!(text.contains(&format!("alt=\"Tessarow County Road Department\" src=\"{logo}\"")));
    assert!(!page_with(Beside::default()).contains("<img"));
}

/// Price, haul and fit-up add up to the total, and the total of a deck not taken is the chosen one's and
/// what the plan would cost more.
#[test]
fn the_bid_tabulation_adds_up_and_says_why_a_deck_is_not_taken() {
    let (report, text) = (county(), page_with(Beside::default()));
    let table = rows(&text, "Bid tabulation");
    let mut found = table.iter();
    let (mut seconds, mut thirds) = (0, 0);
    for planned in &report.plan.crossings {
        let Some(served) = planned.served() else { continue };
        let chosen = found.next().unwrap();
        let id = &report.inputs.crossing(planned.crossing).id;
        assert_eq!(&chosen[0], id);
        let own: Vec<i64> = chosen[3..7].iter().map(|cell| cents(cell)).collect();
        assert_eq!(own[0] + own[1] + own[2], own[3], "{chosen:?}");
        assert_eq!(own[3], served.total().0);
        let second = found.next().unwrap();
        assert_eq!(second[0], "second");
        let mut decks = vec![second];
        if let Some(other) = &served.alternative {
            assert_eq!(second[6], format!("dearer by {}", other.extra));
            assert_eq!(cents(&second[5]), (served.total() + other.extra).0);
            seconds += 1;
        }
        if found.clone().next().is_some_and(|row| row[0] == "third") {
            let third = found.next().unwrap();
            let extras = served.if_refused.iter().filter_map(|(_, then)| match then {
                IfRefused::Instead(other) => Some(format!("dearer by {}", other.extra)),
                _ => None,
            });
            let known: Vec<String> = extras.collect();
            assert!(known.iter().any(|words| third[6].starts_with(words.as_str())), "{third:?}");
            decks.push(third);
            thirds += 1;
        }
        for deck in decks.iter().filter(|deck| !deck[2].is_empty()) {
            let parts: Vec<i64> = deck[2..6].iter().map(|cell| cents(cell)).collect();
            assert_eq!(parts[0] + parts[1] + parts[2], parts[3], "{deck:?}");
        }
    }
    assert!(found.next().is_none());
    assert!(seconds > 5 && thirds > 2, "{seconds} {thirds}");
}

#[test]
fn the_board_reads_no_program_language() {
    let text = page_with(Beside::default());
    for words in ["rows on offer", "other_usd", "at least 1 row"] {
        assert!(!text.contains(words), "{words}");
    }
    assert!(text.contains("No car on offer can span"));
}

#[test]
fn other_bridges_stand_beside_the_flat_cars_with_their_prices() {
    let (report, text) = (county(), page_with(Beside::default()));
    let table = rows(&text, "Against another bridge");
    let stated: Vec<_> =
        report.inputs.crossings.iter().filter(|c| c.other_bridge.is_some()).collect();
    assert!(!stated.is_empty());
    assert_eq!(table.len(), stated.len());
    for (row, crossing) in table.iter().zip(stated) {
        assert_eq!(row[0], crossing.id);
        assert_eq!(row[2], crossing.other_bridge.as_ref().unwrap().cost.to_string());
    }
}
