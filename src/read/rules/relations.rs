//! Rules that are sound one by one and must also agree with each other.

use toml::Value;

use super::document::{Document, Item};
use crate::check::Code;
use crate::model::rules::{DEFAULT_RULES, Level};
use crate::model::vehicles::{BUILT_IN, VehicleClass};
use crate::read::problem::Findings;

/// Pairs of keys of one table of which the first must not be greater than the second.
const RISING: &[(&str, &str, &str)] = &[
    ("rating.allowable_stress_factors", "bending_inventory", "bending_operating"),
    ("rating.allowable_stress_factors", "shear_inventory", "shear_operating"),
    ("rating.resistance_factors", "live_design_operating", "live_design_inventory"),
    ("joint", "gap_min_in", "gap_max_in"),
];

/// Checks all relations, leaving out keys that have a problem of their own.
pub(super) fn check(document: &Document<'_>, findings: &mut Findings) {
    rising_pairs(document, findings);
    truck_share(document, findings);
    joint_shares(document, findings);
    unique_names(document, findings);
    years(document, findings);
    vehicles(document, findings);
    truckloads(document, findings);
    legal_level(document, findings);
    legal_vehicles(document, findings);
    super::grants::check(document, findings);
}

fn rising_pairs(document: &Document<'_>, findings: &mut Findings) {
    for &(table, low, high) in RISING {
        let (low_path, high_path) = (format!("{table}.{low}"), format!("{table}.{high}"));
        for item in document.list(table) {
            let values = (float(item.values.get(low)), float(item.values.get(high)));
            let (Some(at_low), Some(at_high)) = values else { continue };
            if at_low > at_high {
                let span = item.keys.get(high).unwrap_or(&item.span);
                let wrong = format!("is {at_high}, less than {low}, which is {at_low}");
                let instead = format!("write {low} at most {high}");
                let code = Code::Contradiction;
                findings.problems.push(document.at(span, code, &high_path, wrong, instead));
            }
        }
        let values = (float(document.value(&low_path)), float(document.value(&high_path)));
        let (Some(at_low), Some(at_high)) = values else { continue };
        // The built-in values agree, so at least one of the two is the file's.
        let given = [&high_path, &low_path]
            .into_iter()
            .find_map(|path| document.key(path).map(|span| (path, span)));
        if let (true, Some((path, span))) = (at_low > at_high, given) {
            let wrong = format!("makes {low} {at_low}, more than {high}, which is {at_high}");
            let instead = format!("write {low} at most {high}");
            let problem = document.at(span, Code::Contradiction, path, wrong, instead);
            findings.problems.push(problem);
        }
    }
}

fn float(value: Option<&Value>) -> Option<f64> {
    value?.as_float()
}

/// A share of the truck below one must come with its own source: nobody else answers for it.
fn truck_share(document: &Document<'_>, findings: &mut Findings) {
    const SHARE: &str = "rating.truck_share";
    let share = float(document.value(SHARE));
    let Some(span) = document.key(SHARE).filter(|_| share.is_some_and(|share| share < 1.0)) else {
        return;
    };
    let built_in = DEFAULT_RULES.parse::<toml::Table>().unwrap_or_default();
    let built_in = built_in.get("rating").and_then(|rating| rating.get("truck_share_source"));
    if document.value("rating.truck_share_source") == built_in {
        let wrong = "is less than 1, and rating.truck_share_source does not say who answers for it";
        let instead = "name the load test or the engineer's analysis in truck_share_source";
        findings.problems.push(document.at(span, Code::Contradiction, SHARE, wrong, instead));
    }
}

/// Signs by more than the lowest level follow somebody's practice, which must be named.
fn legal_level(document: &Document<'_>, findings: &mut Findings) {
    const LEVEL: &str = "rating.allowable_stress_factors.legal_level";
    const SOURCE: &str = "rating.allowable_stress_factors.legal_level_source";
    let level = document.value(LEVEL).and_then(Value::as_str).map(str::to_owned);
    let Some(span) = document.key(LEVEL) else { return };
    if level.is_some_and(|level| level != Level::Inventory.word()) && document.key(SOURCE).is_none()
    {
        let wrong =
            "posts signs by more than the inventory level, and legal_level_source is not given";
        let instead = "name the posting practice of the owner or state in legal_level_source";
        findings.problems.push(document.at(span, Code::Contradiction, LEVEL, wrong, instead));
    }
}

/// The vehicles of the sign are trucks: built in, or the agency's own. A design load is on no sign.
fn legal_vehicles(document: &Document<'_>, findings: &mut Findings) {
    const PATH: &str = "posting.legal_vehicles";
    let Some(span) = document.key(PATH) else { return };
    let listed = document.value(PATH).and_then(Value::as_array).cloned().unwrap_or_default();
    let own = document.names("vehicle");
    for name in listed.iter().filter_map(Value::as_str) {
        let built_in = BUILT_IN.iter().find(|known| known.name.eq_ignore_ascii_case(name));
        let is_own = own.iter().any(|own| own.trim().eq_ignore_ascii_case(name));
        let (code, wrong) = match built_in {
            Some(known) if known.class != VehicleClass::Design => continue,
            Some(known) => (
                Code::WordUnknown,
                format!("has {}, a design load, which is on no sign", known.name),
            ),
            None if is_own => continue,
            None => (
                Code::RefersToNothing,
                format!("has {name}, which neither the built-in table nor a [[vehicle]] has"),
            ),
        };
        let legal = BUILT_IN.iter().filter(|known| known.class == VehicleClass::Legal);
        let legal: Vec<&str> = legal.map(|known| known.name).collect();
        let instead =
            format!("write any of {}, or add a [[vehicle]] to the rules", legal.join(", "));
        findings.problems.push(document.at(span, code, PATH, wrong, instead));
    }
}

/// A share of the truck is stated once for each joint type, and for one that there is.
fn joint_shares(document: &Document<'_>, findings: &mut Findings) {
    const PATH: &str = "joint_share.joint";
    let joints = document.names("joint");
    let items = document.list("joint_share");
    let joint = |item: &Item| Some(item.values.get("joint")?.as_str()?.to_owned());
    for (place, item) in items.iter().enumerate() {
        let Some(name) = joint(item) else { continue };
        let span = item.keys.get("joint").unwrap_or(&item.span);
        if !joints.contains(&name) {
            let wrong = format!("is {name}, and no [[joint]] has that name");
            let instead = format!("write one of {}", joints.join(", "));
            findings.problems.push(document.at(span, Code::RefersToNothing, PATH, wrong, instead));
        } else if items[..place].iter().any(|before| joint(before).as_ref() == Some(&name)) {
            let wrong = format!("is {name}, which has a share already");
            let instead = "state one share for each joint type";
            findings.problems.push(document.at(span, Code::Duplicate, PATH, wrong, instead));
        }
    }
}

fn name(item: &Item) -> Option<&str> {
    item.values.get("name")?.as_str()
}

fn unique_names(document: &Document<'_>, findings: &mut Findings) {
    for list in ["joint", "deck", "vehicle", "fund"] {
        let items = document.list(list);
        for (place, item) in items.iter().enumerate() {
            let Some(name) = self::name(item) else { continue };
            let before = items[..place].iter().filter_map(self::name);
            let span = item.keys.get("name").unwrap_or(&item.span);
            let path = format!("{list}.name");
            if before.into_iter().any(|before| before.to_lowercase() == name.to_lowercase()) {
                let wrong = format!("is {name}, the name of an earlier [[{list}]]");
                let instead = "give each its own name";
                findings.problems.push(document.at(span, Code::Duplicate, &path, wrong, instead));
            }
        }
    }
}

/// Years must rise, and the last row must reach every later year, so that no car falls out of the
/// table.
fn years(document: &Document<'_>, findings: &mut Findings) {
    let items = document.list("steel_by_year");
    let year = |item: &Item| item.values.get("built_through").and_then(Value::as_integer);
    let path = "steel_by_year.built_through";
    for pair in items.windows(2) {
        let (Some(before), Some(after)) = (year(&pair[0]), year(&pair[1])) else { continue };
        if after <= before {
            let span = pair[1].keys.get("built_through").unwrap_or(&pair[1].span);
            let wrong = format!("is {after}, not later than {before} of the row before");
            let instead = "put the rows in the order of their years";
            findings.problems.push(document.at(span, Code::Contradiction, path, wrong, instead));
        }
    }
    if let Some((last, through)) = items.last().and_then(|last| Some((last, year(last)?)))
        && through < 9999
    {
        let span = last.keys.get("built_through").unwrap_or(&last.span);
        let wrong = format!("is {through} in the last row, so later cars have no strength");
        let instead = "write 9999 in the last row";
        findings.problems.push(document.at(span, Code::Contradiction, path, wrong, instead));
    }
}

fn vehicles(document: &Document<'_>, findings: &mut Findings) {
    for item in document.list("vehicle") {
        if let Some(name) = name(item) {
            let span = item.keys.get("name").unwrap_or(&item.span);
            let path = "vehicle.name";
            if BUILT_IN.iter().any(|built_in| built_in.name.eq_ignore_ascii_case(name)) {
                let wrong = format!("is {name}, the name of a built-in vehicle");
                let instead = "give the vehicle a name of its own";
                findings.problems.push(document.at(span, Code::Duplicate, path, wrong, instead));
            }
            if name.contains(';') {
                let wrong = "has a semicolon, which separates names in the crossings file";
                let instead = "write the name without it";
                findings.problems.push(document.at(span, Code::WordUnknown, path, wrong, instead));
            }
        }
        let count = |key: &str| Some(item.values.get(key)?.as_array()?.len());
        if let (Some(axles), Some(spacings)) = (count("axles_kip"), count("spacings_ft"))
            && spacings + 1 != axles
        {
            let span = item.keys.get("spacings_ft").unwrap_or(&item.span);
            let wrong = format!("has {spacings} distances for {axles} axles");
            let instead = "write one distance fewer than axles";
            let path = "vehicle.spacings_ft";
            findings.problems.push(document.at(span, Code::Contradiction, path, wrong, instead));
        }
    }
}

/// Of trailers that take more cars none may take heavier or longer ones, and all are laid in one way:
/// then a load with a car less is always a load too.
fn truckloads(document: &Document<'_>, findings: &mut Findings) {
    const LIST: &str = "haul.truckload";
    let cars = |item: &Item| item.values.get("cars").and_then(Value::as_integer);
    let laid = |item: &Item| item.values.get("laid").and_then(Value::as_str).map(str::to_owned);
    let items = document.list(LIST);
    let mut problem = |item: &Item, key: &str, code, wrong: String, instead: &str| {
        let span = item.keys.get(key).unwrap_or(&item.span);
        let path = format!("{LIST}.{key}");
        findings.problems.push(document.at(span, code, &path, wrong, instead));
    };
    for (place, item) in items.iter().enumerate() {
        let Some(here) = cars(item) else { continue };
        let earlier = &items[..place];
        if earlier.iter().any(|before| cars(before) == Some(here)) {
            let wrong = format!("is {here}, as in an earlier [[{LIST}]]");
            problem(item, "cars", Code::Duplicate, wrong, "write one table for each number");
            continue;
        }
        for key in ["each_at_most_lb", "each_at_most_ft"] {
            let limit = |item: &Item| float(item.values.get(key));
            let Some(most) = limit(item) else { continue };
            for before in earlier {
                let (Some(there), Some(other)) = (cars(before), limit(before)) else { continue };
                let (more, less) = if there < here { (most, other) } else { (other, most) };
                if more > less {
                    let (few, many) = (there.min(here), there.max(here));
                    let wrong = format!("allows {more} to {many} cars, and {less} to {few}");
                    let instead = "give the greater number of cars no greater limit";
                    problem(item, key, Code::Contradiction, wrong, instead);
                }
            }
        }
        let mut others = earlier.iter().filter_map(laid);
        if let (Some(here), Some(other)) = (laid(item), others.next())
            && here != other
        {
            let wrong = format!("is {here}, and {other} in an earlier [[{LIST}]]");
            problem(item, "laid", Code::Contradiction, wrong, "write one way for all");
        }
    }
}
