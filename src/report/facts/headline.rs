//! The answer in a few words.

use super::{count, totals};
use crate::model::plan::Plan;
use crate::quantity::Cents;

/// What the plan does and what must be paid for it.
#[must_use]
pub fn title(served: usize, all: usize, outlay: Cents) -> String {
    let crossings = count(all, "crossing");
    if served == 0 {
        return format!("none of {crossings} can be served.");
    }
    if served == all {
        let which = if all == 1 { "the crossing".to_owned() } else { format!("all {crossings}") };
        return format!("serves {which} for {outlay}.");
    }
    format!("serves {served} of {crossings} for {outlay}.")
}

/// What is proven of the plan, in sentences.
#[must_use]
pub fn proof(plan: &Plan) -> Vec<String> {
    let proof = &plan.proof;
    let mut said = Vec::new();
    if proof.stopped_early {
        said.push(
            "Stopped at the time limit: the plan is valid, and a longer search may find a better one."
                .to_owned(),
        );
    }
    said.push(if proof.service {
        "Proven: no other purchase serves more crossings, the more urgent first.".to_owned()
    } else {
        "Not proven: another purchase might serve more crossings.".to_owned()
    });
    if plan.served_count() == 0 {
        return said;
    }
    said.push(if proof.cheapest {
        "Proven: none that serves the same crossings costs less.".to_owned()
    } else {
        totals::gap(plan).map_or_else(
            || "Not proven: how far the net cost lies above the cheapest possible.".to_owned(),
            |gap| format!("The net cost is {}.", gap.words()),
        )
    });
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles() {
        for (served, all, text) in [
            (0, 3, "none of 3 crossings can be served."),
            (1, 1, "serves the crossing for $10.00."),
            (3, 3, "serves all 3 crossings for $10.00."),
            (2, 3, "serves 2 of 3 crossings for $10.00."),
        ] {
            assert_eq!(title(served, all, Cents::dollars(10)), text);
        }
    }
}
