//! Cars refused, by reason.

use std::collections::BTreeMap;

use itertools::Itertools;

use crate::report::facts::nearest::misfits;
use crate::report::facts::refusals::refusals;
use crate::report::facts::{PlanReport, count};

/// The chapter.
pub struct Refused {
    pub sentence: String,
    pub reasons: Vec<Reason>,
    pub groups: Vec<Group>,
}

/// A check that bars.
pub struct Reason {
    pub code: &'static str,
    pub name: &'static str,
    pub everywhere: usize,
    pub somewhere: usize,
    pub unknown: usize,
    pub remedy: &'static str,
}

/// Cars that the same checks bar.
pub struct Group {
    pub reason: String,
    pub count: usize,
    pub cars: String,
}

pub fn refused(report: &PlanReport<'_>) -> Refused {
    let refusals = refusals(report.inputs, report.matching);
    Refused {
        sentence: format!(
            "{} of {} fit no crossing.",
            refusals.fit_none,
            count(refusals.cars, "car")
        ),
        reasons: refusals
            .reasons
            .iter()
            .map(|refusal| {
                let kind = refusal.code.kind();
                Reason {
                    code: kind.id,
                    name: kind.name,
                    everywhere: refusal.everywhere,
                    somewhere: refusal.somewhere,
                    unknown: refusal.for_want_of_data,
                    remedy: kind.remedy,
                }
            })
            .collect(),
        groups: groups(report),
    }
}

/// Cars that fit nowhere, together where the same checks bar them, the largest group first.
fn groups(report: &PlanReport<'_>) -> Vec<Group> {
    let inputs = report.inputs;
    let mut groups: BTreeMap<String, (usize, Vec<String>)> = BTreeMap::new();
    for misfit in misfits(report) {
        let barred = misfit.barred;
        let reason = barred
            .codes()
            .map(|code| {
                let unknown = if barred.unknown(code) { ": unknown" } else { "" };
                format!("{} {}{unknown}", code.id(), code.kind().name)
            })
            .join(" and ");
        let car = inputs.car(misfit.car);
        let times =
            if car.quantity > 1 { format!(" ({} alike)", car.quantity) } else { String::new() };
        let group = groups.entry(reason).or_default();
        group.0 += car.quantity as usize;
        group.1.push(format!("{}{times}", car.name()));
    }
    groups
        .into_iter()
        .map(|(reason, (count, cars))| Group { reason, count, cars: cars.join(", ") })
        .sorted_by_key(|group| std::cmp::Reverse(group.count))
        .collect()
}
