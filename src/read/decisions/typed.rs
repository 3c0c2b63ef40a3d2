//! From the texts of an entry to a decision, through the readers of inventories and crossings.

use super::entry::Entry;
use super::{ALWAYS, problem};
use crate::check::Code;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::crossing_columns::CrossingColumn;
use crate::model::decision::{Decision, Goods, Part, What};
use crate::model::inventory::Inventory;
use crate::model::place::RowPlace;
use crate::read::columns::Columns;
use crate::read::crossings::{self, Known};
use crate::read::inventory::{self, Cars, Context};
use crate::read::parts::Pace;
use crate::read::problem::{Findings, Problem};
use crate::read::text::SourceText;
use crate::read::yards::{Lots, yards};

/// Stands for a car or yard that the entry does not name, where a reader wants one.
const NOBODY: &str = "anywhere";

/// Our keys that are columns of an inventory under another name.
const LIKE_COLUMNS: &[(&str, &str)] =
    &[("count", "quantity"), ("until", "quote_expires"), ("price_usd", "price_usd")];

/// The decision of an entry, or none if it has a problem.
pub(super) fn decision(
    source: &SourceText,
    entry: &Entry,
    known: &Known,
    findings: &mut Findings,
) -> Option<Decision> {
    let before = findings.problems.len();
    let mut scribe = Scribe { source, entry, findings };
    let what = scribe.what(known);
    let on = scribe.on();
    let part = scribe.part();
    if findings.problems.len() > before {
        return None;
    }
    let place = RowPlace { file: source.name.clone(), line: entry.place.line };
    let (Some(what), Some(part)) = (what, part) else {
        // Every way here has told its problem; were one to forget, nothing may get lost unseen.
        let at = problem(&source.name, entry, "", Code::DecisionsMalformed);
        let (wrong, instead) =
            ("cannot be understood".to_owned(), "see docs/formats.md".to_owned());
        findings.problems.push(Problem { wrong, instead, ..at });
        return None;
    };
    Some(Decision { what, part, on, note: entry.get("note").map(str::to_owned), place })
}

fn added(kind: &str) -> String {
    format!("add the key to this [[{kind}]]")
}

struct Scribe<'s> {
    source: &'s SourceText,
    entry: &'s Entry,
    findings: &'s mut Findings,
}

impl Scribe<'_> {
    fn complain(
        &mut self,
        key: &str,
        code: Code,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) {
        let problem = problem(&self.source.name, self.entry, key, code);
        self.findings.problems.push(Problem {
            wrong: wrong.into(),
            instead: instead.into(),
            ..problem
        });
    }

    /// A text that must be there.
    fn text(&mut self, key: &str) -> Option<String> {
        let text = self.entry.get(key).filter(|text| !text.is_empty()).map(str::to_owned);
        if text.is_none() {
            self.complain(key, Code::CellBlank, "is missing", added(self.entry.kind));
        }
        text
    }

    fn on(&mut self) -> Option<jiff::civil::Date> {
        let text = self.entry.get("on")?;
        let day = text.parse().ok();
        if day.is_none() {
            self.complain("on", Code::NotADate, "is not a day", "write the day like 2026-05-31");
        }
        day
    }

    /// What part of the row is meant: `None` after a problem, `Some(None)` for the whole row.
    fn part(&mut self) -> Option<Option<Part>> {
        let name = self.entry.get("as").map(str::to_owned);
        match (self.entry.get("count"), name) {
            (None, None) => Some(None),
            (None, Some(_)) => {
                let wrong = "names a part of a row, and count is missing";
                self.complain("as", Code::CellBlank, wrong, "write how many cars in `count`");
                None
            }
            (Some(_), name) => {
                let car = self.values()?;
                Some(Some(Part { count: car.quantity, name }))
            }
        }
    }

    fn goods(&mut self) -> Option<Goods> {
        let dealer = self.text("dealer");
        match (self.entry.get("car"), self.entry.get("lot")) {
            (Some(_), Some(_)) => {
                let wrong = "stands beside a car";
                self.complain("lot", Code::Contradiction, wrong, "name the car or the lot");
                None
            }
            (None, Some(lot)) => Some(Goods::Lot { dealer: dealer?, lot: lot.to_owned() }),
            _ => {
                let car = self.text("car");
                Some(Goods::Car { dealer: dealer?, car: car? })
            }
        }
    }

    fn what(&mut self, known: &Known) -> Option<What> {
        match self.entry.kind {
            "added" => return self.crossing(known).map(Box::new).map(What::Added),
            "dropped" => return self.text("crossing").map(What::Dropped),
            "changed" => return self.changed(known),
            "built" => {
                let cars = self.entry.get("cars").unwrap_or_default().split(';').map(str::trim);
                let cars = cars.filter(|car| !car.is_empty()).map(str::to_owned).collect();
                let crossing = self.text("crossing")?;
                return Some(What::Built { crossing, cars, looked_at: true });
            }
            _ => {}
        }
        let goods = self.goods();
        match self.entry.kind {
            "sold" => goods.map(What::Sold),
            "refused" => goods.map(What::Refused),
            "held" => goods.map(What::Held),
            "answered" => {
                self.text("note");
                goods.map(What::Answered)
            }
            "different" => {
                self.text("note");
                goods.map(What::Different)
            }
            "fixed" => {
                let crossing = self.text("crossing");
                Some(What::Fixed { goods: goods?, crossing: crossing? })
            }
            "bought" => {
                self.text("price_usd");
                let price = self.values()?.price;
                Some(What::Bought { goods: goods?, price: price? })
            }
            "quoted" => {
                self.text("price_usd");
                let values = self.values()?;
                let until = values.quote_expires;
                Some(What::Quoted { goods: goods?, price: values.price?, until })
            }
            "reserved" => {
                self.text("until");
                let values = self.values()?;
                let until = values.quote_expires?;
                Some(What::Reserved { goods: goods?, until, price: values.price })
            }
            _ => {
                let given = |column: &Inventory| {
                    column.is_measurable() && self.entry.get(column.column().name).is_some()
                };
                let columns: Vec<_> = Inventory::EACH.iter().copied().filter(given).collect();
                if columns.is_empty() {
                    let wrong = "holds no measured value";
                    self.complain("car", Code::CellBlank, wrong, "add one, such as camber_in");
                }
                let values = Box::new(self.values()?);
                let said = |key: &str| self.entry.get(key).map(str::to_owned);
                let (by, document) = (said("by"), said("document"));
                Some(What::Measured { goods: goods?, values, columns, by, document })
            }
        }
    }

    /// The entry as a row of an inventory: limits, units and words are the same.
    fn values(&mut self) -> Option<Car> {
        let entry = self.entry;
        let dealer = entry.get("dealer")?;
        let mut row = Row::default();
        row.push("car", entry.get("car").unwrap_or(NOBODY));
        row.push("dealer", dealer);
        row.push("yard", NOBODY);
        for key in &entry.keys {
            let like = LIKE_COLUMNS.iter().find(|(name, _)| *name == key.name);
            match like {
                Some((_, column)) => row.push(column, &key.text),
                None if Inventory::named(&key.name).is_some_and(Inventory::is_measurable) => {
                    row.push(&key.name, &key.text);
                }
                None => {}
            }
        }
        let mut quiet = Findings::default();
        let yards_file = Row::default()
            .with("dealer", dealer)
            .with("yard", NOBODY)
            .with("latitude_deg", "44")
            .with("longitude_deg", "-40")
            .with("loading_usd", "0")
            .with("trip_usd", "0")
            .source(self.source);
        let (yards, _) = yards(&yards_file, &mut quiet);
        let lots = Lots::without_file(true);
        let context =
            Context { yards: Some(&yards), lots: &lots, order_year: i16::MAX, pace: Pace::whole() };
        let (mut cars, mut found) = (Cars::default(), Findings::default());
        inventory::read_tidy(&row.source(self.source), &context, &mut cars, &mut found);
        found.unite();
        self.tell(found);
        cars.list.pop()
    }

    /// The changed columns of a crossing. What it does not change is filled in, and not looked at.
    fn changed(&mut self, known: &Known) -> Option<What> {
        use CrossingColumn as C;
        let id = self.text("crossing")?;
        let given = |column: &C| {
            let name = column.column().name;
            name != "crossing" && self.entry.get(name).is_some()
        };
        let columns: Vec<C> = C::COLUMNS.iter().copied().filter(given).collect();
        if columns.is_empty() {
            let instead = "add one, such as span_ft = 62";
            self.complain("crossing", Code::CellBlank, "changes nothing", instead);
            return None;
        }
        let layouts = [C::PierLayouts, C::PierCost];
        if layouts.iter().any(|column| columns.contains(column))
            && !layouts.iter().all(|column| columns.contains(column))
        {
            let instead = "write both, `pier_layouts_ft` and `pier_usd`";
            let (wrong, key) = ("is only one of two that belong together", columns.iter());
            let key = key.copied().find(|column| layouts.contains(column)).map(|c| c.column().name);
            self.complain(key.unwrap_or_default(), Code::Contradiction, wrong, instead);
            return None;
        }
        let first = |names: &Option<Vec<String>>| {
            names
                .as_ref()
                .and_then(|names| names.first())
                .cloned()
                .unwrap_or_else(|| "x".to_owned())
        };
        let (vehicle, deck) = (first(&known.vehicles), first(&known.decks));
        let mut row = Row::default();
        for (name, filler) in [
            ("crossing", id.as_str()),
            ("road", "x"),
            ("span_ft", "40"),
            ("clear_width_ft", "14"),
            ("vehicles", &vehicle),
            ("deck", &deck),
            ("most_abreast", "2"),
            ("priority", "5"),
            ("latitude_deg", "1"),
            ("longitude_deg", "1"),
        ] {
            row.push(name, self.entry.get(name).unwrap_or(filler));
        }
        for column in &columns {
            let name = column.column().name;
            if !row.names.iter().any(|known| known == name) {
                row.push(name, self.entry.get(name).unwrap_or_default());
            }
        }
        let mut found = Findings::default();
        let (mut crossings, _) = crossings::read(&row.source(self.source), known, &mut found);
        // That a span and piers differ is for the crossing as it becomes.
        found.warnings.clear();
        self.tell(found);
        let values = Box::new(crossings.pop()?);
        Some(What::Changed { crossing: id, values, columns })
    }

    fn crossing(&mut self, known: &Known) -> Option<Crossing> {
        let mut row = Row::default();
        for key in self.entry.keys.iter().filter(|key| !ALWAYS.contains(&key.name.as_str())) {
            row.push(&key.name, &key.text);
        }
        let mut found = Findings::default();
        let (mut crossings, _) = crossings::read(&row.source(self.source), known, &mut found);
        self.tell(found);
        let mut crossing = crossings.pop()?;
        crossing.place = RowPlace { file: self.source.name.clone(), line: self.entry.place.line };
        Some(crossing)
    }

    /// Tells what a reader found at the keys of the entry; told already is not told again.
    fn tell(&mut self, found: Findings) {
        let here = |told: Problem, entry: &Entry| {
            let like = LIKE_COLUMNS.iter().find(|(_, column)| *column == told.name);
            let key = like.map_or(told.name.as_str(), |(key, _)| *key);
            // What a table lacks as a column, an entry lacks as a key.
            if told.code == Code::ColumnMissing {
                let at = problem(&self.source.name, entry, key, Code::CellBlank);
                return Problem {
                    wrong: "is missing".to_owned(),
                    instead: added(entry.kind),
                    ..at
                };
            }
            let at = problem(&self.source.name, entry, key, told.code);
            Problem { wrong: told.wrong, instead: told.instead, ..at }
        };
        let problems = found.problems.into_iter().map(|told| here(told, self.entry));
        let new: Vec<_> = problems.filter(|told| !self.findings.problems.contains(told)).collect();
        self.findings.problems.extend(new);
        let warnings = found.warnings.into_iter().map(|told| here(told, self.entry));
        let new: Vec<_> = warnings.filter(|told| !self.findings.warnings.contains(told)).collect();
        self.findings.warnings.extend(new);
    }
}

/// One row of a table with its header.
#[derive(Default)]
struct Row {
    names: Vec<String>,
    cells: Vec<String>,
}

impl Row {
    fn push(&mut self, name: &str, cell: &str) {
        self.names.push(name.to_owned());
        // A cell is one line; what people put on several is read as one.
        self.cells.push(cell.split_whitespace().collect::<Vec<_>>().join(" "));
    }

    fn with(mut self, name: &str, cell: &str) -> Self {
        self.push(name, cell);
        self
    }

    fn source(&self, file: &SourceText) -> SourceText {
        let quoted = |cells: &[String]| {
            let cells = cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")));
            cells.collect::<Vec<_>>().join(",")
        };
        SourceText::new(&file.name, format!("{}\n{}\n", quoted(&self.names), quoted(&self.cells)))
    }
}
