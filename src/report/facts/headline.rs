//! The answer in a few words.

use std::cmp::Ordering;

use super::confirm::firmness;
use super::{count, hauls, other_bridge, totals};
use crate::model::inputs::Inputs;
use crate::model::plan::{CrossingPlan, Plan, Stop};
use crate::model::rules::ServeFirst;
use crate::quantity::{Cents, Percent};

/// What the plan does, what must be paid for it, and how many of its bridges stand on facts that are
/// enough to pay on.
#[must_use]
pub fn title(inputs: &Inputs, plan: &Plan) -> String {
    let (served, all) = (plan.served_count(), plan.crossings.len());
    let title = serves(served, all, plan.totals.outlay);
    match served {
        0 => title,
        _ if inputs.conditional => {
            format!("{title}, but only if every question is answered as needed.")
        }
        _ => format!("{title}: {}.", firmness(plan)),
    }
}

fn serves(served: usize, all: usize, outlay: Cents) -> String {
    let crossings = count(all, "crossing");
    if served == 0 {
        return format!("none of {crossings} can be served.");
    }
    if served == all {
        let which = if all == 1 { "the crossing".to_owned() } else { format!("all {crossings}") };
        return format!("serves {which} for {outlay}");
    }
    format!("serves {served} of {crossings} for {outlay}")
}

/// That the plan is for a part of the files only; none where it is for all.
#[must_use]
pub fn part(inputs: &Inputs) -> Option<String> {
    (!inputs.part.is_empty())
        .then(|| format!("Asked of a part of the files: {}.", inputs.part.join("; ")))
}

/// The points of the crossings served, and of all; none where points do not decide.
#[must_use]
pub fn points(inputs: &Inputs, plan: &Plan) -> Option<(u32, u32)> {
    let service = &inputs.rules.service;
    let of = |planned: &CrossingPlan| service.points_of(inputs.crossing(planned.crossing).priority);
    let served = plan.crossings.iter().filter(|planned| planned.served().is_some()).map(of).sum();
    (service.first == ServeFirst::Points).then(|| (served, plan.crossings.iter().map(of).sum()))
}

/// What is proven of the plan, and what it is better than, in sentences.
#[must_use]
pub fn proof(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let mut said = Vec::new();
    said.extend(left_out(inputs, plan));
    said.extend(hauls::hauls(inputs, plan).sentence());
    said.extend(other_bridge::sentences(inputs, plan));
    said.extend(proven(inputs, plan));
    if plan.served_count() > 0 {
        said.extend(site_by_site(inputs, plan));
        said.extend(next_best(plan));
    }
    said
}

/// How far the plan is proven to be the best.
#[must_use]
pub fn proven(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let proof = &plan.proof;
    let mut said = Vec::new();
    if let Some(stop) = proof.stopped {
        let why = match stop {
            Stop::TimeLimit => "at the time limit",
            Stop::Gap => "at the gap asked for",
            Stop::Interrupt => "by hand",
        };
        said.push(format!(
            "Stopped {why}: the plan is valid, and a longer search may find a better one."
        ));
    }
    said.push(if proof.service {
        match inputs.rules.service.first {
            ServeFirst::Urgent => {
                "Proven: no other purchase serves more crossings, the more urgent first.".to_owned()
            }
            ServeFirst::Points => {
                "Proven: no other purchase serves crossings of more points.".to_owned()
            }
        }
    } else {
        "Not proven: another purchase might serve more crossings.".to_owned()
    });
    if plan.served_count() == 0 {
        return said;
    }
    said.push(if proof.cheapest {
        "Proven: no plan serving as many costs less.".to_owned()
    } else {
        totals::gap(plan).map_or_else(
            || "Not proven: how far the net cost lies above the cheapest possible.".to_owned(),
            |gap| format!("The net cost is {}.", gap.words()),
        )
    });
    said
}

/// What the figures do not hold, beside them: a bid for a whole bridge does.
fn left_out(inputs: &Inputs, plan: &Plan) -> Option<String> {
    let served: Vec<_> = plan.crossings.iter().filter(|c| c.served().is_some()).collect();
    if served.is_empty() {
        return None;
    }
    let not_stated = served.iter().filter(|c| inputs.crossing(c.crossing).other.is_none()).count();
    let overhead = &inputs.rules.overhead;
    let none = |percent: Percent, words| (percent.0 == 0.0).then_some(words);
    let tax = none(overhead.sales_tax_pct, "sales tax, ").unwrap_or_default();
    let contingency = none(overhead.contingency_pct, "contingency, ").unwrap_or_default();
    let always = format!("{tax}{contingency}permits of the work itself");
    let design = none(overhead.engineering_pct, ", engineering, inspection of the work");
    let works = format!("foundations, abutments, approaches{}", design.unwrap_or_default());
    Some(match (not_stated, served.len()) {
        (0, _) => {
            format!("Not in these figures: {always}. Other works are as the crossings file states.")
        }
        (few, all) if few < all => format!(
            "Not in these figures: {always}; and at {few} of {} {works}, for which no price is stated.",
            count(all, "crossing")
        ),
        _ => format!("Not in these figures: {works}, {always}."),
    })
}

/// The purchase made site by site, against the plan.
fn site_by_site(inputs: &Inputs, plan: &Plan) -> Option<String> {
    let other = plan.site_by_site?;
    let more = other.net - plan.totals.net;
    let start = "Bought site by site, each crossing in turn at its cheapest:";
    match other.served.cmp(&plan.served_count()) {
        Ordering::Less => Some(format!(
            "{start} {} served, {} fewer than here, for {} net.",
            count(other.served, "crossing"),
            plan.served_count() - other.served,
            other.net
        )),
        Ordering::Equal if more > Cents::ZERO => {
            Some(format!("{start} the same number of crossings for {more} more."))
        }
        Ordering::Equal if more == Cents::ZERO => {
            Some(format!("{start} the same number of crossings at the same cost."))
        }
        // As many or more for less money: what the plan is better in is known where that is proven.
        more_or_less if plan.proof.service && (more_or_less.is_gt() || plan.proof.cheapest) => {
            let but = match inputs.rules.service.first {
                ServeFirst::Urgent => "fewer of the more urgent ones",
                ServeFirst::Points => "of fewer points",
            };
            Some(format!("{start} {} served, but {but}.", count(other.served, "crossing")))
        }
        _ => {
            let served = count(other.served, "crossing");
            Some(format!("{start} {served} served for {} net.", other.net))
        }
    }
}

/// The cheapest change of one crossing.
fn next_best(plan: &Plan) -> Option<String> {
    let served = plan.crossings.iter().filter_map(CrossingPlan::served);
    let proven = served.clone().all(|served| served.alternative_proven);
    let extra = served.filter_map(|served| Some(served.alternative.as_ref()?.extra)).min()?;
    let found = if proven { "" } else { ", the least found before the time was up" };
    Some(format!(
        "Next best, with one crossing's bridge changed and the rest as it is: {extra} more{found}."
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::plan::SiteBySite;

    /// Each sentence about what is proven, and what is compared with, where it holds and nowhere else.
    #[test]
    fn each_sentence_is_said_where_it_is_true_and_nowhere_else() {
        let inputs = crate::report::fixture::inputs();
        let proven = |service, cheapest, stopped| {
            move |plan: &mut Plan| {
                plan.proof.service = service;
                plan.proof.cheapest = cheapest;
                plan.proof.stopped = stopped;
            }
        };
        let compared = |served: usize, more: i64| {
            move |plan: &mut Plan| {
                let net = plan.totals.net + Cents::dollars(more);
                plan.site_by_site = Some(SiteBySite { served, net });
            }
        };
        let all = crate::report::fixture::plan().served_count();
        let late = Some(Stop::TimeLimit);
        let nothing = |_: &mut Plan| ();
        let no_bound = |plan: &mut Plan| {
            (plan.proof.bound, plan.proof.cheapest) = (Cents(-1), false);
        };
        let none_served = |plan: &mut Plan| {
            plan.crossings.retain(|crossing| crossing.served().is_none());
        };
        type Change<'a> = &'a dyn Fn(&mut Plan);
        let said = |changes: &[Change]| {
            let mut plan = crate::report::fixture::plan();
            changes.iter().for_each(|change| change(&mut plan));
            proof(&inputs, &plan)
        };
        let best = proven(true, true, None);
        let open = proven(false, false, late);
        let dear = proven(true, false, late);
        let cases: [(&str, &[Change], &[Change]); 14] = [
            ("Stopped at the time limit: ", &[&open], &[&best]),
            ("Stopped at the gap asked for: ", &[&proven(true, false, Some(Stop::Gap))], &[&open]),
            ("Stopped by hand: ", &[&proven(true, false, Some(Stop::Interrupt))], &[&open]),
            ("Proven: no other purchase serves more crossings", &[&dear], &[&open]),
            ("Not proven: another purchase might serve more", &[&open], &[&dear]),
            ("Proven: no plan serving as many costs less.", &[&best], &[&dear]),
            ("The net cost is at most ", &[&dear], &[&best]),
            ("Not proven: how far the net cost lies", &[&dear, &no_bound], &[&dear]),
            ("The net cost is at most ", &[&open], &[&open, &none_served]),
            (", 1 fewer than here, for ", &[&compared(all - 1, -9)], &[&compared(all, 9)]),
            ("the same number of crossings for $9.00 more.", &[&compared(all, 9)], &[&nothing]),
            (
                "the same number of crossings at the same cost.",
                &[&compared(all, 0)],
                &[&compared(all, 1)],
            ),
            (
                "but fewer of the more urgent ones.",
                &[&best, &compared(all, -9)],
                &[&dear, &compared(all, -9)],
            ),
            (
                "but fewer of the more urgent ones.",
                &[&dear, &compared(all + 1, -9)],
                &[&open, &compared(all + 1, -9)],
            ),
        ];
        for (sentence, holds, fails) in cases {
            let has = |said: Vec<String>| said.iter().any(|said| said.contains(sentence));
            assert!(has(said(holds)), "{sentence}: {:?}", said(holds));
            assert!(!has(said(fails)), "{sentence}: {:?}", said(fails));
        }
        let nothing_compared = said(&[&|plan: &mut Plan| plan.site_by_site = None]);
        assert!(!nothing_compared.iter().any(|said| said.starts_with("Bought site by site")));
    }

    #[test]
    fn titles() {
        for (served, all, text) in [
            (0, 3, "none of 3 crossings can be served."),
            (1, 1, "serves the crossing for $10.00"),
            (3, 3, "serves all 3 crossings for $10.00"),
            (2, 3, "serves 2 of 3 crossings for $10.00"),
        ] {
            assert_eq!(serves(served, all, Cents::dollars(10)), text);
        }
    }
}
