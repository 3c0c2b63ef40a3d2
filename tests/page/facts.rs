//! No paper says less than the terminal of what decides: a table of facts and the papers that must
//! hold each.

use spanyard::model::car::LeadStatus;
use spanyard::report::facts::board::{lead_word, order_by, posting};
use spanyard::report::facts::reasons::{lowest_rating, signs};
use spanyard::report::facts::{PlanReport, confirm};
use spanyard::report::{geojson, json, page, sheets, tables, terminal};

use super::county::{context, county};

/// The papers, each as one text with its spaces made single.
struct Papers {
    terminal: String,
    /// The board's two pages, the buyer's part, the engineer's part.
    board: String,
    /// The board's line of what opens with a weight sign.
    posted: String,
    buyer: String,
    engineer: String,
    json: String,
    geojson: String,
    tables: String,
    sheets: Vec<(String, String)>,
}

fn single(text: &str) -> String {
    let text = text.replace("&#39;", "'").replace("&#34;", "\"");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn papers(report: &PlanReport<'_>) -> Papers {
    let context = context(report);
    let whole = single(&page::plan(report, &context).unwrap());
    let (board, rest) = whole.split_once("Part 2, for the engineer").unwrap();
    let (sheets_of, rest) = rest.split_once("id=\"shopping\"").unwrap();
    let (buyer, appendices) = rest.split_once("Appendix A").unwrap();
    let engineer = format!("{sheets_of} {appendices}");
    let tables: Vec<String> =
        tables::all(report, &context).iter().map(|table| table.csv().unwrap()).collect();
    let sheets = sheets::all(report, &context).unwrap().into_iter();
    Papers {
        terminal: single(&terminal::plan(report, 200)),
        posted: board
            .split_once("Served with a weight posting: ")
            .map_or_else(String::new, |(_, after)| after.split_once("</p>").unwrap().0.to_owned()),
        board: board.rsplit_once("</style>").unwrap().1.to_owned(),
        buyer: buyer.to_owned(),
        engineer,
        json: json::plan(report).unwrap(),
        geojson: geojson::plan(report, &context),
        tables: single(&tables.join("\n")),
        sheets: sheets.map(|sheet| (sheet.name, single(&sheet.content))).collect(),
    }
}

/// A fact, and each paper that must say it with the words in which it does.
type Row<'a> = (String, Vec<(&'static str, &'a str, String)>);

impl Papers {
    /// The engineer's sheet of a crossing.
    fn sheet_of(&self, id: &str) -> &str {
        let plate = format!("<span class=\"plate\">{id}</span>");
        let mut sheets = self.engineer.split("<h2>").filter(|sheet| sheet.starts_with(&plate));
        sheets.next().unwrap()
    }

    fn sheet(&self, start: &str) -> &str {
        &self.sheets.iter().find(|(name, _)| name.starts_with(start)).unwrap().1
    }
}

#[test]
fn no_paper_says_less_than_the_terminal() {
    let report = county();
    let PlanReport { inputs, plan, .. } = *report;
    let papers = papers(report);
    let mut rows: Vec<Row<'_>> = Vec::new();
    let (mut posted, mut unserved) = (0, 0);
    for planned in &plan.crossings {
        let crossing = inputs.crossing(planned.crossing);
        let crew = format!("crew-{}-", planned.crossing.0 + 1);
        let Some(served) = planned.served() else {
            unserved += 1;
            let in_board = format!("<th scope=\"row\">{}</th>", crossing.id);
            rows.push((
                format!("{} goes without", crossing.id),
                vec![
                    ("terminal", &papers.terminal, "NOT SERVED".to_owned()),
                    ("board", &papers.board, in_board),
                    ("engineer", &papers.engineer, "What to do:".to_owned()),
                ],
            ));
            continue;
        };
        if let Some(words) = posting(served) {
            posted += 1;
            let sign = &signs(served)[0];
            rows.push((
                format!("posting of {}", crossing.id),
                vec![
                    ("terminal", &papers.terminal, format!("WEIGHT SIGN: {words}")),
                    ("board", &papers.board, words.clone()),
                    ("board, first lines", &papers.posted, crossing.id.clone()),
                    ("engineer", &papers.engineer, format!("WEIGHT SIGN: {words}")),
                    ("crew", papers.sheet(&crew), words.clone()),
                    // A cell of a table has no semicolon, at which some spreadsheets would split it.
                    ("tables", &papers.tables, words.replace(';', ",")),
                    ("json", &papers.json, format!("\"vehicle\": \"{}\"", sign.vehicle)),
                    ("geojson", &papers.geojson, words.clone()),
                ],
            ));
        }
        if let Some(day) = crossing.needed_by {
            rows.push((
                format!("{} needed by", crossing.id),
                vec![
                    ("terminal", &papers.terminal, format!("needed by {day}")),
                    ("board", &papers.board, day.to_string()),
                    ("buyer", &papers.buyer, day.to_string()),
                    ("crew", papers.sheet(&crew), format!("Needed by {day}")),
                    ("geojson", &papers.geojson, format!("\"needed_by\": \"{day}\"")),
                ],
            ));
        }
        for of_car in confirm::of_bridge(inputs, plan, served) {
            let id = &inputs.car(of_car.car).id;
            for (known, facts) in &of_car.facts {
                // The terminal tells once what is the same of each car of the bridge.
                rows.extend(facts.iter().map(|fact| {
                    let told = vec![("terminal", papers.terminal.as_str(), fact.clone())];
                    (format!("to confirm of {id}"), told)
                }));
                // On the sheet, what is asked of all cars of a bridge is told once.
                for fact in facts {
                    let sheet = papers.sheet_of(&crossing.id);
                    let told = sheet.split("<li>").any(|item| {
                        item.split(&format!("{known}: "))
                            .nth(1)
                            .is_some_and(|facts| facts.contains(&single(fact)))
                            && item
                                .split(&format!(", {known}"))
                                .next()
                                .is_some_and(|cars| cars.split(", ").any(|car| car == id))
                    });
                    assert!(told, "{}: {id}, {known}, {fact}: {sheet}", crossing.id);
                }
            }
            rows.push((
                format!("if {id} is refused"),
                vec![("engineer", &papers.engineer, of_car.if_refused.clone())],
            ));
        }
        let lowest = lowest_rating(inputs, served).unwrap();
        rows.push((
            format!("lowest rating factor of {}", crossing.id),
            vec![
                (
                    "terminal",
                    &papers.terminal,
                    format!("Lowest rating factor: {}", lowest.check.measured),
                ),
                (
                    "engineer",
                    &papers.engineer,
                    format!("</strong> {}, {}", lowest.check.measured, lowest.check.code.id()),
                ),
                ("json", &papers.json, "\"lowest_rating\"".to_owned()),
            ],
        ));
        for placed in served.decks.iter().flat_map(|deck| &deck.cars) {
            let car = inputs.car(placed.car);
            let word = lead_word(car.lead);
            let said = match car.lead {
                Some(LeadStatus::Free) => String::new(),
                Some(LeadStatus::Present) => "lead found".to_owned(),
                None => "not tested, so lead is assumed".to_owned(),
            };
            rows.push((
                format!("lead in the paint of {}", car.id),
                vec![
                    ("terminal", &papers.terminal, said.clone()),
                    ("buyer", &papers.buyer, format!("<td class=\"opt\">{word}</td>")),
                    ("engineer", &papers.engineer, format!("<td>{word}</td>")),
                    ("crew", papers.sheet(&crew), format!("<strong>{word}</strong>")),
                    ("json", &papers.json, said),
                ],
            ));
        }
    }
    rows.push((
        "facts to confirm".to_owned(),
        vec![
            ("terminal", &papers.terminal, confirm::total(inputs, plan).unwrap()),
            ("board", &papers.board, confirm::total(inputs, plan).unwrap()),
        ],
    ));
    let (day, _) = order_by(inputs, plan).unwrap();
    rows.push((
        "first day to order by".to_owned(),
        vec![
            ("terminal", &papers.terminal, format!("Order by {day}")),
            ("board", &papers.board, format!("Order by {day}")),
            ("buyer", &papers.buyer, format!("Order by {day}")),
            ("tables", &papers.tables, day.to_string()),
            ("json", &papers.json, format!("\"first_quote_ends\": \"{day}\"")),
        ],
    ));
    for number in 1..=plan.purchases.len() {
        rows.push((
            format!("order {number}"),
            vec![("order", papers.sheet(&format!("order-{number}-")), "Order by".to_owned())],
        ));
    }
    for said in spanyard::report::facts::reasons::not_checked(inputs, plan) {
        let code = said.check.code.id().to_owned();
        rows.push((
            format!("{code} not checked"),
            vec![
                ("terminal", &papers.terminal, code.clone()),
                ("engineer", &papers.engineer, code.clone()),
                ("json", &papers.json, code),
            ],
        ));
    }
    assert!(posted > 0 && unserved > 0 && rows.len() > 40, "{posted} {unserved} {}", rows.len());
    for (fact, places) in rows {
        for (paper, text, words) in places {
            assert!(text.contains(&single(&words)), "{fact}: the {paper} does not say {words:?}");
        }
    }
}
