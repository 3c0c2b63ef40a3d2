//! The rule of one deck said as checks, for people.

use std::collections::BTreeSet;

use itertools::Itertools;

use super::matching::{MatchRule, RULES, Unknown, match_rule};
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::Car;
use crate::model::crossing::Keep;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site, YardIx};
use crate::model::inventory::Inventory;
use crate::model::rules::{GroupRules, JointType};
use crate::model::width::{WidthRange, admitted, total_width};
use crate::quantity::{Feet, Inches, Percent};

/// The checks of one deck in the order of the registry, G09 once for each joint: the cars in order
/// across the deck, and the joint type with its gap (none for a single car).
#[must_use]
pub fn deck_checks(
    inputs: &Inputs,
    site: Site,
    cars_in_order: &[CarIx],
    joint: Option<(&JointType, Inches)>,
) -> Vec<Check> {
    let cars: Vec<&Car> = cars_in_order.iter().map(|&ix| inputs.car(ix)).collect();
    let crossing = inputs.crossing(site.crossing);
    let group = &inputs.rules.group;
    let mut checks = vec![one_section(&cars)];
    let confirmed = cars.iter().all(|car| inputs.decided.has_measured(car, Inventory::Section));
    checks.extend(RULES.iter().filter_map(|rule| alike(rule, &cars, confirmed, group)));
    checks.push(Check::between(
        Code::Abreast,
        Value::Count(i64::try_from(cars.len()).unwrap_or(i64::MAX)),
        Value::Count(1),
        Value::Count(i64::from(crossing.most_abreast)),
    ));
    checks.extend(widths(&cars, joint, admitted(&inputs.rules, crossing)));
    checks.extend([gap(cars.len(), joint), girders(&cars, joint)]);
    checks.extend(steps(&cars, group.camber_step_in));
    checks.extend(kept_apart(&cars));
    if crossing.keep.contains(&Keep::OneYard) {
        checks.push(one_yard(inputs, &cars));
    }
    checks.sort_by_key(|check| check.code);
    checks
}

/// Whether this check of a deck asks how its cars match, whatever their widths and joints.
#[must_use]
pub fn is_match(code: Code) -> bool {
    matches!(code, Code::OneSection | Code::KeptApart) || match_rule(code).is_some()
}

/// G12: asked only of decks with a car that is kept apart from others.
fn kept_apart(cars: &[&Car]) -> Option<Check> {
    let names = cars.iter().filter_map(|car| car.apart.as_deref()).map(str::to_lowercase);
    let names = names.counts();
    let most = names.values().max()?;
    let shared = names.iter().filter(|(_, count)| **count > 1).map(|(name, _)| name);
    let check = Check::at_most(Code::KeptApart, Value::Count(*most as i64), Value::Count(1));
    Some(match shared.min() {
        Some(name) => check.note(format!("cars named {name} in `apart`")),
        None => check,
    })
}

/// G10: asked only of crossings that want it.
fn one_yard(inputs: &Inputs, cars: &[&Car]) -> Check {
    let yards: BTreeSet<YardIx> = cars.iter().map(|car| car.yard).collect();
    let names = yards.iter().map(|yard| inputs.yard(*yard).name.as_str()).join(", ");
    Check::words(Code::OneYard, names, Limit::words("one yard"), yards.len() == 1)
}

/// G11 of all cars of a crossing, where the crossing asks for it.
#[must_use]
pub fn across_spans(inputs: &Inputs, crossing: CrossingIx, cars: &[CarIx]) -> Option<Check> {
    inputs.crossing(crossing).keep.contains(&Keep::OneSection).then(|| {
        let sections: BTreeSet<&str> = cars
            .iter()
            .map(|car| inputs.car(*car).section.as_deref().unwrap_or("unknown"))
            .collect();
        let limit = Limit::words("one section on all spans");
        let names = sections.iter().join(", ");
        Check::words(Code::OneSectionAcross, names, limit, sections.len() == 1)
    })
}

/// G01.
fn one_section(cars: &[&Car]) -> Check {
    let limit = Limit::words("one section throughout");
    let mut names: Vec<&str> = Vec::new();
    for car in cars {
        let Some(name) = car.section.as_deref() else {
            return Check::unknown(
                Code::OneSection,
                limit,
                format!("section of {} is not known", car.name()),
            );
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    Check::words(Code::OneSection, names.join(", "), limit, names.len() == 1)
}

/// Share of a tolerance from which on a measure that is to be confirmed is worth a caution.
/// Common practice, no source.
const NEAR: f64 = 0.75;

/// One rule of the table: how far the measures of the cars lie apart.
///
/// Where the rule bars what is not known, it is asked of a car alone too; the others need two cars.
/// `confirmed`: somebody looked at every car of the deck and found it to be of its section.
fn alike(rule: &MatchRule, cars: &[&Car], confirmed: bool, rules: &GroupRules) -> Option<Check> {
    let bars = rule.unknown == Unknown::Bars;
    let tolerance = rule.tolerance(rules);
    if cars.len() < 2 && !bars {
        return None;
    }
    let known: Vec<(Value, &Car)> =
        cars.iter().filter_map(|&car| Some(((rule.measure)(car)?, car))).collect();
    let missing = cars.iter().filter(|car| (rule.measure)(car).is_none());
    let missing: Vec<String> = missing.map(|car| car.name()).unique().collect();
    let number = |value: &Value| value.number().unwrap_or(f64::NAN);
    let by_number = |a: &&(Value, &Car), b: &&(Value, &Car)| number(&a.0).total_cmp(&number(&b.0));
    let ends = known.iter().min_by(by_number).zip(known.iter().max_by(by_number));
    let check = ends.map(|((low, shortest), (high, longest))| {
        let apart = match &tolerance {
            Value::Percent(_) => over(low, high),
            _ => high.minus(low).unwrap_or(Value::Unknown),
        };
        let mut check = Check::at_most(rule.code, apart, tolerance.clone());
        // The search's own comparison decides, so that the two cannot differ by a rounding.
        let beyond = rule.is_beyond(low, high, rules);
        check.outcome = if beyond { Outcome::Fail } else { Outcome::Pass };
        let names = format!(" ({} and {})", shortest.name(), longest.name());
        let names = if beyond && !bars { &names } else { "" };
        check.note(match rule.code {
            Code::FabricationSpread if beyond => format!("riveted beside welded{names}"),
            Code::FabricationSpread => "all alike".to_owned(),
            _ => format!("from {low} to {high}{names}"),
        })
    });
    let beyond = check.as_ref().is_some_and(|check| check.outcome == Outcome::Fail);
    if !missing.is_empty() && !beyond {
        let missing = missing.join(", ");
        let limit = Limit::AtMost(tolerance);
        return match rule.unknown {
            Unknown::Bars => {
                Some(Check::unknown(rule.code, limit, format!("{missing} has no value")))
            }
            Unknown::LeftToAnother => check.filter(|_| known.len() > 1),
            Unknown::Confirm if confirmed => Some(
                Check::new(rule.code, Value::Unknown, limit, Outcome::Pass)
                    .note("not known of every car; the section of each was confirmed on site"),
            ),
            Unknown::Confirm => Some(
                Check::new(rule.code, Value::Unknown, limit, Outcome::Caution)
                    .note(format!("to confirm, not known of {missing}")),
            ),
        };
    }
    if cars.is_empty() {
        return Some(Check::unknown(rule.code, Limit::AtMost(tolerance), "no cars"));
    }
    check.map(|mut check| {
        let share = |check: &Check| Some(check.measured.number()? / tolerance.number()?);
        if !bars && !beyond && share(&check).is_some_and(|share| share > NEAR) {
            check.outcome = Outcome::Caution;
            check.note.push_str("; near the limit, to confirm before the cars are ordered");
        }
        check
    })
}

/// How much one value is over another, in per cent.
fn over(low: &Value, high: &Value) -> Value {
    match (low.number(), high.number()) {
        (Some(low), Some(high)) => Value::Percent(Percent(100.0 * (high / low - 1.0))),
        _ => Value::Unknown,
    }
}

/// G05 and G06.
fn widths(cars: &[&Car], joint: Option<(&JointType, Inches)>, range: WidthRange) -> [Check; 2] {
    let (least, most) = (Value::Feet(range.least), Value::Feet(range.most));
    let known: Option<Vec<Feet>> = cars.iter().map(|car| car.width).collect();
    let Some(known) = known else {
        let note = "the width of a car is not known";
        return [
            Check::unknown(Code::WidthLeast, Limit::AtLeast(least), note),
            Check::unknown(Code::WidthMost, Limit::AtMost(most), note),
        ];
    };
    let gap = joint.map_or(Inches(0.0), |(_, gap)| gap);
    let total = total_width(known.into_iter().sum(), cars.len(), gap);
    [
        Check::at_least(Code::WidthLeast, Value::Feet(total), least),
        Check::at_most(Code::WidthMost, Value::Feet(total), most),
    ]
}

/// G07.
fn gap(cars: usize, joint: Option<(&JointType, Inches)>) -> Check {
    match joint {
        Some((joint, gap)) if cars > 1 => Check::between(
            Code::JointGap,
            Value::Inches(gap),
            Value::Inches(joint.gap_min_in),
            Value::Inches(joint.gap_max_in),
        )
        .part(&joint.name),
        Some((joint, _)) => Check::words(
            Code::JointGap,
            format!("{}, between no neighbors", joint.name),
            Limit::words("no joint in a deck of one car"),
            false,
        ),
        None if cars > 1 => {
            Check::words(Code::JointGap, "no joint", Limit::words("a joint type"), false)
        }
        None => no_joint(Code::JointGap),
    }
}

/// G08.
fn girders(cars: &[&Car], joint: Option<(&JointType, Inches)>) -> Check {
    let Some((joint, _)) = joint.filter(|_| cars.len() > 1) else {
        if cars.len() > 1 {
            let limit = Limit::words("deep enough for a joint type");
            return Check::words(Code::JointGirders, "no joint", limit, false);
        }
        return no_joint(Code::JointGirders);
    };
    let least = Value::Inches(joint.exterior_depth_min_in);
    let mut shallowest: Option<(Inches, &Car)> = None;
    for &car in cars {
        let Some(depth) = car.exterior_depth else {
            return Check::unknown(
                Code::JointGirders,
                Limit::AtLeast(least),
                format!("exterior girder of {} is not measured", car.name()),
            )
            .part(&joint.name);
        };
        if shallowest.is_none_or(|(other, _)| depth < other) {
            shallowest = Some((depth, car));
        }
    }
    match shallowest {
        Some((depth, car)) => Check::at_least(Code::JointGirders, Value::Inches(depth), least)
            .part(&joint.name)
            .note(format!("shallowest on {}", car.name())),
        None => no_joint(Code::JointGirders),
    }
}

fn no_joint(code: Code) -> Check {
    Check::new(code, Value::Text("no joint".to_owned()), Limit::None, Outcome::Pass)
        .note("a single car has no neighbor")
}

/// G09, once for each pair of neighbors: the step is what the crew meets at the joint.
fn steps<'a>(cars: &'a [&Car], most: Inches) -> impl Iterator<Item = Check> + 'a {
    let most = Value::Inches(most);
    cars.windows(2).enumerate().filter_map(move |(place, pair)| {
        let [left, right] = pair else { return None };
        let check = match (left.camber, right.camber) {
            (Some(a), Some(b)) => {
                Check::at_most(Code::CamberStep, Value::Inches((b - a).abs()), most.clone())
            }
            _ => Check::unknown(
                Code::CamberStep,
                Limit::AtMost(most.clone()),
                "the camber of a neighbor is not known",
            ),
        };
        Some(check.part(format!("joint {}", place + 1)))
    })
}
