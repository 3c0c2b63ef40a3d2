//! All files of a run together: what each says, and whether they agree.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::crossings::{self, Known};
use super::dealer::Mappings;
use super::decisions::Decisions;
use super::inventory::{Cars, Context};
use super::left_out;
use super::lookalike::{self, Name};
use super::parts::Pace;
use super::problem::{Findings, Problem, Problems, shown};
use super::spot::Spot;
use super::table::Taken;
use super::text::SourceText;
use super::yards::{Lots, Yards};
use super::{
    Checked, FileKind, FileRead, Sources, decisions, hash, hauls, inventory, rules, yards,
};
use crate::check::Code;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::decision::Decided;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::place::RowPlace;
use crate::model::yard::Lot;

/// What the want of a file means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Missing {
    /// The job needs it.
    IsAProblem,
    /// What refers to it is not checked.
    IsNotChecked,
}

/// What came of the files.
#[derive(Default)]
struct Gathered {
    files: Vec<FileRead>,
    problems: Problems,
    warnings: Vec<Problem>,
    /// Whether rows that cannot be read are left out.
    leave_out: bool,
    /// Rows of one ID.
    doubled: Vec<RowPlace>,
}

impl Gathered {
    /// Takes the findings of a file, each once.
    fn tell(&mut self, findings: &mut Findings) {
        findings.sort();
        for (list, all) in [
            (&mut findings.problems, &mut self.problems.0),
            (&mut findings.warnings, &mut self.warnings),
        ] {
            // A mapping for several inventories is found wrong with each of them.
            list.dedup();
            all.append(list);
        }
    }

    fn add(
        &mut self,
        source: &SourceText,
        kind: FileKind,
        mut taken: Taken,
        mut findings: Findings,
    ) {
        let left_out = match self.leave_out && kind == FileKind::Inventory {
            true => left_out::leave_out(&source.name, &mut taken, &mut findings, &self.doubled),
            false => 0,
        };
        findings.unite();
        let file = FileRead {
            name: source.name.clone(),
            kind,
            sha256: hash::sha256(&source.bytes),
            rows: taken.rows,
            not_taken: taken.not_taken,
            left_out,
        };
        if findings.problems.is_empty() && file.rows > 0 && file.has_no_cars() {
            let wrong =
                format!("no car was read from it: none of its {} rows is that of a car", file.rows);
            let instead = "look at its header row, or leave the file away";
            findings.warnings.push(Problem::of_file(
                Code::HeaderUnsure,
                source.name.clone(),
                wrong,
                instead,
            ));
        }
        self.tell(&mut findings);
        self.files.push(file);
    }
}

/// Reads all files, in the order in which they refer to each other, and gathers the findings in the
/// order of [`Sources`].
pub(super) fn gather(sources: &Sources, today: Date, missing: Missing) -> Checked {
    gather_at(Pace::of_this_machine(), sources, today, missing)
}

/// As [`gather`], at this pace. Parts and threads make no difference to what comes of the files.
fn gather_at(pace: Pace, sources: &Sources, today: Date, missing: Missing) -> Checked {
    let mut gathered = Gathered { leave_out: sources.leave_out, ..Gathered::default() };
    let unopened = sources.unopened.iter().map(|(_, problem)| problem.clone());
    gathered.problems.0.extend(unopened);
    let not_checked = |kind: FileKind| missing == Missing::IsNotChecked || sources.lacks(kind);

    let mut of_rules = Findings::default();
    let mut rules = rules::examine(sources.rules.as_ref(), &mut of_rules);
    if sources.lacks(FileKind::Rules) {
        // It may name vehicles and deck systems of its own.
        rules.known = Known::default();
    }
    let order_date = rules.order_date.unwrap_or(today);

    let mut of_yards = Findings::default();
    let yards = sources.yards.as_ref().map(|source| yards::yards(source, &mut of_yards));
    let (yards, yards_taken) = yards.unzip();

    let mut of_lots = Findings::default();
    let lots = sources.lots.as_ref().map(|file| yards::lots(file, yards.as_ref(), &mut of_lots));
    let (lots, lots_taken) = lots.unzip();
    let lots = lots.unwrap_or_else(|| Lots::without_file(not_checked(FileKind::Lots)));

    let mut cars = Cars::default();
    let context =
        Context { yards: yards.as_ref(), lots: &lots, order_year: order_date.year(), pace };
    let mappings = Mappings::read(sources);
    let mut of_inventories = Vec::new();
    for source in &sources.inventories {
        let mut findings = Findings::up_to(pace.findings);
        let taken = inventory::read(source, &mappings, &context, &mut cars, &mut findings);
        if yards.is_none() && !not_checked(FileKind::Yards) {
            findings.problems.push(no_yards(source));
        }
        of_inventories.push((source, taken, findings));
    }
    let mut of_mappings: Vec<_> = mappings.into_findings().collect();
    // What is wrong in a mapping may be the cause of what is wrong in the rows, so it is told first.
    for (source, findings) in &mut of_mappings {
        for (.., of_inventory) in &mut of_inventories {
            findings.add(of_inventory.take_of(&source.name));
        }
        gathered.tell(findings);
    }
    gathered.doubled = std::mem::take(&mut cars.doubled);
    let mut lots = lots;
    for (dealer, name) in &cars.unread {
        let is_it = |lot: &&mut Lot| {
            lot.dealer.eq_ignore_ascii_case(dealer) && lot.name.eq_ignore_ascii_case(name)
        };
        lots.list.iter_mut().filter(is_it).for_each(|lot| lot.unread_rows += 1);
    }
    if sources.leave_out && !gathered.doubled.is_empty() {
        let doubled = cars.list.iter().filter(|car| gathered.doubled.contains(&car.place));
        for ix in doubled.filter_map(|car| car.lot) {
            lots.list.iter_mut().skip(ix.0).take(1).for_each(|lot| lot.unread_rows += 1);
        }
        // Which of two rows is the true one, nobody can tell.
        cars.list.retain(|car| !gathered.doubled.contains(&car.place));
    }
    for (source, taken, findings) in of_inventories {
        gathered.add(source, FileKind::Inventory, taken, findings);
    }
    for (source, _) in of_mappings {
        gathered.add(source, FileKind::Mapping, Taken::default(), Findings::default());
    }
    let mut cars = cars.list;
    let mut of_part = Findings::default();
    let dealers = dealers(&cars);
    sources.part.keep_dealers(&mut cars, &mut lots.list);
    let order = order(cars.iter().map(|car| (car.dealer.as_str(), car.id.as_str())));
    arrange(&mut cars, order);
    let lots = with_cars(lots, &cars);

    let mut of_crossings = Findings::default();
    let crossings = sources
        .crossings
        .as_ref()
        .map(|source| crossings::read(source, &rules.known, &mut of_crossings));
    let (mut crossings, crossings_taken) = crossings.unzip();
    let crossings_reached = crossings_taken.as_ref().is_some_and(|taken: &Taken| taken.reached);
    if !sources.part.is_all() {
        let of_files = crossings.iter().flatten().map(|crossing| crossing.id.as_str());
        let added = sources.decisions.iter().flat_map(decisions::added);
        let added: Vec<String> = added.collect();
        let known: Vec<&str> = of_files.chain(added.iter().map(String::as_str)).collect();
        let dealers: Vec<&str> = dealers.iter().map(String::as_str).collect();
        sources.part.check(&dealers, &known, &mut of_part);
        crossings.iter_mut().for_each(|crossings| sources.part.keep_crossings(crossings));
    }
    gathered.tell(&mut of_part);

    if let (None, Some(source), false) = (&yards, &sources.lots, not_checked(FileKind::Yards)) {
        of_lots.problems.push(no_yards(source));
    }
    if !sources.inventories.is_empty() && !sources.lacks(FileKind::Inventory) && yards.is_some() {
        of_lots.warnings.extend(lots.list.iter().filter(|lot| lot.cars.is_empty()).map(|lot| {
            let wrong = format!("is a lot of {} without a car in the inventories", lot.dealer);
            let file = lot.place.file.clone();
            let instead = "add its cars, or remove the row";
            Problem {
                name: "lot".to_owned(),
                text: shown(&lot.name),
                ..Problem::of_file(Code::RefersToNothing, file, wrong, instead)
                    .at(Spot::of_line(lot.place.line))
            }
        }));
    }

    let mut of_hauls = Findings::default();
    let all = sources.part.is_all();
    let quotes = sources.hauls.as_ref().map(|source| {
        let known = hauls::Known {
            yards: yards.as_ref(),
            crossings: crossings
                .as_ref()
                .filter(|_| all && crossings_reached)
                .map(|crossings| crossings.iter().map(|crossing| crossing.id.as_str()).collect()),
            cars: (all && !sources.inventories.is_empty() && !sources.lacks(FileKind::Inventory))
                .then(|| cars.iter().map(|car| (car.dealer.as_str(), car.id.as_str())).collect()),
            order_date,
        };
        hauls::read(source, &known, &mut of_hauls)
    });
    let (quotes, hauls_taken) = quotes.unzip();

    let rest = [
        (&sources.yards, FileKind::Yards, yards_taken, of_yards),
        (&sources.lots, FileKind::Lots, lots_taken, of_lots),
        (&sources.crossings, FileKind::Crossings, crossings_taken, of_crossings),
        (&sources.hauls, FileKind::Hauls, hauls_taken, of_hauls),
        (&sources.rules, FileKind::Rules, None, of_rules),
    ];
    for (source, kind, taken, findings) in rest {
        if let Some(source) = source {
            gathered.add(source, kind, taken.unwrap_or_default(), findings);
        }
    }
    gathered.warnings.extend(looking_alike(&cars, &lots, crossings.as_deref().unwrap_or_default()));
    let not_checked = wanting(sources, yards.as_ref(), &lots);
    let inputs = rules.rules.filter(|_| gathered.problems.is_empty()).map(|rules| Inputs {
        cars,
        yards: yards.map(|yards| yards.list).unwrap_or_default(),
        lots: lots.list,
        crossings: crossings.unwrap_or_default(),
        haul_quotes: quotes.unwrap_or_default(),
        rules,
        order_date,
        decided: Decided::default(),
        part: sources
            .part
            .sentences()
            .into_iter()
            .chain(left_out::sentence(&gathered.files))
            .collect(),
        conditional: false,
    });
    // Without sound inputs there is nothing to decide about.
    let decisions = match (&sources.decisions, &inputs) {
        (Some(source), Some(_)) => {
            let mut findings = Findings::default();
            let (decisions, rows) =
                decisions::read(source, &rules.known, &sources.part, &mut findings);
            let taken = Taken { rows, reached: true, not_taken: Vec::new() };
            gathered.add(source, FileKind::Decisions, taken, findings);
            decisions
        }
        _ => Decisions::default(),
    };
    let Gathered { files, problems, warnings, .. } = gathered;
    let mut inputs = inputs.filter(|_| problems.is_empty());
    if let Some(inputs) = &mut inputs {
        crate::evidence::settle(inputs);
    }
    Checked { inputs, decisions, files, problems, warnings, not_checked }
}

/// Warnings of names that look like others of their kind.
fn looking_alike(cars: &[Car], lots: &Lots, crossings: &[Crossing]) -> Vec<Problem> {
    let of_cars =
        cars.iter().map(|car| Name { owner: &car.dealer, name: &car.id, place: &car.place });
    let of_lots =
        lots.list.iter().map(|lot| Name { owner: &lot.dealer, name: &lot.name, place: &lot.place });
    let of_crossings = crossings.iter().map(|crossing| Name {
        owner: "",
        name: &crossing.id,
        place: &crossing.place,
    });
    let mut warnings = lookalike::warnings("car", of_cars);
    warnings.extend(lookalike::warnings("lot", of_lots));
    warnings.extend(lookalike::warnings("crossing", of_crossings));
    warnings
}

/// The names of the cars' dealers, each once.
fn dealers(cars: &[Car]) -> std::collections::BTreeSet<String> {
    let mut dealers = std::collections::BTreeSet::new();
    for car in cars {
        if !dealers.contains(&car.dealer) {
            dealers.insert(car.dealer.clone());
        }
    }
    dealers
}

/// The order of names by their owners: for each place, which of them comes there.
fn order<'n>(names: impl Iterator<Item = (&'n str, &'n str)>) -> Vec<usize> {
    // Owners are few, so numbers stand for them while sorting; first in the order in which they come.
    let mut numbers = BTreeMap::new();
    let mut last = None;
    let mut places = Vec::with_capacity(names.size_hint().0);
    for (at, (owner, name)) in names.enumerate() {
        let number = match last {
            Some((before, number)) if before == owner => number,
            _ => {
                let next = numbers.len();
                *numbers.entry(owner).or_insert(next)
            }
        };
        last = Some((owner, number));
        places.push((number, beginning(name), name, at));
    }
    let mut ranks = vec![0; numbers.len()];
    for (rank, number) in numbers.into_values().enumerate() {
        ranks[number] = rank;
    }
    for (number, ..) in &mut places {
        *number = ranks[*number];
    }
    places.sort_unstable();
    places.into_iter().map(|(.., at)| at).collect()
}

/// Puts things into an order. Each is moved once, for cars are large.
fn arrange<T>(things: &mut [T], mut order: Vec<usize>) {
    for first in 0..order.len() {
        // Round the places that hold each other's things.
        let mut at = first;
        loop {
            let from = std::mem::replace(&mut order[at], at);
            if from == first {
                break;
            }
            things.swap(at, from);
            at = from;
        }
    }
}

/// The first bytes of a text as a number with the order of the texts, by which most differ already.
fn beginning(text: &str) -> u64 {
    let mut first = [0; 8];
    for (byte, of_text) in first.iter_mut().zip(text.bytes()) {
        *byte = of_text;
    }
    u64::from_be_bytes(first)
}

/// The lots with their cars, which are sorted already.
fn with_cars(mut lots: Lots, cars: &[Car]) -> Lots {
    for (index, car) in cars.iter().enumerate() {
        if let Some(lot) = car.lot.and_then(|lot| lots.list.get_mut(lot.0)) {
            lot.cars.push(CarIx(index));
        }
    }
    lots
}

/// Cars and lots stand in yards, so there must be some.
fn no_yards(source: &SourceText) -> Problem {
    Problem::of_file(
        Code::RefersToNothing,
        source.name.clone(),
        "names yards, and no yards file was given",
        "give the yards file with --yards",
    )
}

/// What could not be checked for want of a file.
fn wanting(sources: &Sources, yards: Option<&Yards>, lots: &Lots) -> Vec<String> {
    let mut list = Vec::new();
    if yards.is_none() && (!sources.inventories.is_empty() || sources.lots.is_some()) {
        list.push("yards of cars and lots: no yards file was given".to_owned());
    }
    if sources.lots.is_none() && lots.wanted() {
        list.push("lots of cars: no lots file was given".to_owned());
    }
    list
}

#[cfg(test)]
mod tests;
