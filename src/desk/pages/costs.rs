//! Where the plan's money comes from: every cost line with its arithmetic, and the rules whose rates stand
//! in it.

use spanyard::model::plan::{CostLine, Plan, sum};
use spanyard::model::rules::DEFAULT_RULES;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::rules_in_force::rules_in_force;

use super::links::crossing_href;
use super::{Place, Shown, capital};
use crate::desk::exchange::encoded;
use crate::desk::view::{Row, Table, Tables, figure, head, page, text};

/// Where the lines of an item stand.
pub fn item_href(item: &str) -> String {
    format!("/plan/costs?item={}", encoded(item))
}

/// Where the lines of a yard stand.
pub fn yard_href(dealer: &str, yard: &str) -> String {
    format!("/plan/costs?yard={}", encoded(&format!("{dealer}, {yard}")))
}

/// A cost line and where it belongs.
struct Placed<'a> {
    place: String,
    href: String,
    line: &'a CostLine,
}

/// Every line of the plan: those of the crossings, then those of the yards.
fn lines<'a>(report: &PlanReport<'_>, plan: &'a Plan) -> Vec<Placed<'a>> {
    let inputs = report.inputs;
    let mut all = Vec::new();
    for crossing in &plan.crossings {
        let Some(served) = crossing.served() else { continue };
        let id = &inputs.crossing(crossing.crossing).id;
        let href = format!("{}#costs", crossing_href(id));
        let placed = |line| Placed { place: id.clone(), href: href.clone(), line };
        all.extend(served.lines.iter().map(placed));
    }
    for purchase in &plan.purchases {
        let yard = inputs.yard(purchase.yard);
        let href = format!("/source?file={}&line={}", encoded(&yard.place.file), yard.place.line);
        let name = format!("{}, {}", yard.dealer, yard.name);
        let lots = purchase.lots.iter().flat_map(|lot| &lot.left_over_lines);
        let lines = purchase.lines.iter().chain(&purchase.spare_lines).chain(lots);
        all.extend(lines.map(|line| Placed { place: name.clone(), href: href.clone(), line }));
    }
    all
}

/// The lines of an item, of a yard, or all.
pub fn show(at: &Place<'_>) -> Shown {
    let made = at.desk.made().ok_or_else(|| at.missing("there is no plan yet"))?;
    let (item, yard) = (at.asked.text("item"), at.asked.text("yard"));
    let title = match (item.is_empty(), yard.is_empty()) {
        (false, _) => capital(&item),
        (_, false) => yard.clone(),
        _ => "Every cost line".to_owned(),
    };
    let mut view = Tables::new(at.frame(&title, "Plan"), title.clone());
    let table = made.report(|report| {
        let mut table = Table::new(title, &["Where", "What", "Of", "How", "#Amount"]);
        let wanted = |placed: &&Placed<'_>| {
            (item.is_empty() || placed.line.item.word() == item)
                && (yard.is_empty() || placed.place == yard)
        };
        let all = lines(report, report.plan);
        let found: Vec<&Placed<'_>> = all.iter().filter(wanted).collect();
        for Placed { place, href, line } in &found {
            table.row(vec![
                head(place.clone()).to(href.clone()),
                text(capital(line.item.word())),
                text(line.subject.clone()),
                text(line.basis.clone()),
                figure(line.amount),
            ]);
        }
        let lines: Vec<CostLine> = found.iter().map(|placed| placed.line.clone()).collect();
        let total = vec![head("In all"), text(""), text(""), text(""), figure(sum(&lines))];
        table.rows.push(Row { class: "sum", cells: total });
        table
    });
    let table = table.ok_or_else(|| at.missing("the plan is gone"))?;
    if table.rows.len() == 1 {
        return Err(at.missing("the plan has no such cost"));
    }
    view.tables.push(table);
    view.links.push(("/rules".to_owned(), "The rules whose rates stand here".to_owned()));
    Ok(page(&view))
}

/// The rules in force: what differs from the built-in ones, and those with their sources.
pub fn rules(at: &Place<'_>) -> Shown {
    let inputs = at.inputs()?;
    let mut view = Tables::new(at.frame("Rules", ""), "The rules in force");
    let rules = rules_in_force(&inputs.rules);
    view.words.push(format!(
        "Fingerprint {}. A value that is not in the first table is the built-in one below, which states \
         its source.",
        rules.fingerprint
    ));
    let file = at.known.files.rules.as_ref().map(|file| file.display().to_string());
    let of = file.clone().unwrap_or_else(|| "the rules".to_owned());
    let heads = ["Key", "In force", "Built in"];
    let mut changed =
        Table::new(format!("What {of} has otherwise than the built-in rules"), &heads);
    let own = file.as_deref().map(|_| {
        spanyard::folder::open_text(&at.known.files.at(at.known.files.rules.as_deref()?)).ok()
    });
    let own = own.flatten().unwrap_or_default();
    for rule in &rules.changed {
        let value = |value: &Option<String>| value.clone().unwrap_or_else(|| "none".to_owned());
        let last = rule.key.rsplit(['.', ' ']).next().unwrap_or_default().trim_matches('"');
        let line = (1..).zip(own.lines()).find(|(_, line)| line.trim_start().starts_with(last));
        let href = match (&file, line) {
            (Some(file), Some((line, _))) => format!("/source?file={}&line={line}", encoded(file)),
            _ => String::new(),
        };
        changed.row(vec![
            head(rule.key.clone()),
            text(value(&rule.value)).to(href),
            text(value(&rule.built_in)),
        ]);
    }
    view.tables.push(changed);
    let mut table = Table::new("The built-in rules, with their sources", &["#Line", "Text"]);
    for (number, line) in (1..).zip(DEFAULT_RULES.lines()) {
        table.row(vec![figure(number), text(line)]);
    }
    view.tables.push(table);
    Ok(page(&view))
}
