//! S17: cars of this width can make a roadway of the width required.

use std::collections::HashMap;

use super::Pair;
use crate::check::{Check, Code, Limit, Outcome, TOLERANCE, Value};
use crate::model::inputs::Inputs;
use crate::model::rules::JointType;
use crate::model::width::{Gaps, WidthRange, admitted, total_width};
use crate::quantity::{Feet, Inches};

/// S17: side by side with cars of its own width, in any number that the crossing allows and with
/// any joint that its girders carry, the car reaches a total width that the rules admit.
///
/// Where that fails, a neighbor of another width may still help; then the check is a caution and
/// the grouping decides. It bars where no car of its section on offer could.
pub fn possible(pair: &Pair) -> Check {
    let range = admitted(pair.rules, pair.crossing);
    let WidthRange { least, most } = range;
    let Some(width) = pair.car.width else {
        let limit = Limit::Between(Value::Feet(least), Value::Feet(most));
        return Check::unknown(Code::WidthPossible, limit, "width not measured");
    };
    let best = best_row(pair, width, range);
    let mut check = Check::between(
        Code::WidthPossible,
        Value::Feet(best.total),
        Value::Feet(least),
        Value::Feet(most),
    )
    .note_if(pair.remarks, || best.words());
    if check.outcome == Outcome::Fail {
        let (narrowest, widest) = widths_of_section(pair, width);
        if mixed_row_possible(pair, width, (narrowest, widest), range) {
            check.outcome = Outcome::Caution;
            if pair.remarks {
                check.note.push_str(&format!(
                    "; possible only beside cars of its section of another width, {narrowest} to \
                     {widest} on offer"
                ));
            }
        }
    }
    check
}

/// A row of cars alike.
struct Row<'a> {
    cars: usize,
    joint: Option<(&'a JointType, Inches)>,
    total: Feet,
}

impl Row<'_> {
    fn words(&self) -> String {
        match self.joint {
            None => "1 car alone".to_owned(),
            Some((joint, gap)) => {
                format!("as {} cars alike with {} joints of {gap}", self.cars, joint.name)
            }
        }
    }
}

/// Of all rows of cars alike the one that lies deepest inside the admitted range of total widths,
/// or nearest to it from outside; of equal ones the one with fewest cars.
fn best_row<'a>(pair: &'a Pair, width: Feet, range: WidthRange) -> Row<'a> {
    let middle = (range.least + range.most) / 2.0;
    let mut best = Row { cars: 1, joint: None, total: width };
    for cars in 2..=usize::from(pair.crossing.most_abreast) {
        let widths = width * cars as f64;
        for joint in carried(pair) {
            let gap = Gaps::of(joint).toward(middle, widths, cars);
            let total = total_width(widths, cars, gap);
            if range.margin(total).0 > range.margin(best.total).0 + TOLERANCE {
                best = Row { cars, joint: Some((joint, gap)), total };
            }
        }
    }
    best
}

/// The joint types that the car's girders carry. An unknown depth is the business of S07; here it
/// excludes no joint.
fn carried<'a>(pair: &'a Pair) -> impl Iterator<Item = &'a JointType> {
    let depth = pair.car.exterior_depth.map_or(f64::INFINITY, |depth| depth.0);
    pair.rules.joint.iter().filter(move |joint| depth >= joint.exterior_depth_min_in.0 - TOLERANCE)
}

/// Narrowest and widest car on offer, by section.
pub struct OfSections(HashMap<String, (Feet, Feet)>);

impl OfSections {
    pub fn of(inputs: &Inputs) -> Self {
        let mut all: HashMap<String, (Feet, Feet)> = HashMap::new();
        for car in &inputs.cars {
            let (Some(section), Some(width)) = (&car.section, car.width) else { continue };
            match all.get_mut(section) {
                Some(range) => *range = (range.0.min(width), range.1.max(width)),
                None => drop(all.insert(section.clone(), (width, width))),
            }
        }
        Self(all)
    }
}

/// Narrowest and widest car of this car's section on offer, the car itself included.
fn widths_of_section(pair: &Pair, own: Feet) -> (Feet, Feet) {
    let screening = pair.screening;
    let all = screening.widths.get_or_init(|| OfSections::of(screening.inputs));
    let section = pair.car.section.as_ref();
    section.and_then(|section| all.0.get(section)).copied().unwrap_or((own, own))
}

/// Whether this car beside others whose widths lie in a range could reach the admitted range. It
/// asks too little of the neighbors on purpose: a caution may turn out vain, a bar may not.
fn mixed_row_possible(
    pair: &Pair,
    own: Feet,
    (low, high): (Feet, Feet),
    range: WidthRange,
) -> bool {
    (2..=usize::from(pair.crossing.most_abreast)).any(|cars| {
        let with_others = |width: Feet| own + width * (cars - 1) as f64;
        carried(pair).any(|joint| {
            let sums = range.of_cars(cars, Gaps::of(joint));
            with_others(high).0 >= sums.least.0 - TOLERANCE
                && with_others(low).0 <= sums.most.0 + TOLERANCE
        })
    })
}
