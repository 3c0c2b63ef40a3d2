//! Decks: suitable cars, the matching rules written out a second time, a deck on every span.

use super::{no_faults, seasons};
use crate::check::{Check, Code};
use crate::model::car::{Car, Fabrication};
use crate::model::crossing::Keep;
use crate::model::inputs::Inputs;
use crate::model::plan::{CrossingPlan, Deck, Plan, Served};
use crate::model::rules::GroupRules;
use crate::rate::Stiffness;
use crate::survey;

/// Rounding noise allowed in a comparison, in feet or inches.
const NOISE: f64 = 1e-6;

fn decks(plan: &Plan) -> impl Iterator<Item = &Deck> {
    plan.crossings.iter().filter_map(CrossingPlan::served).flat_map(|served| &served.decks)
}

/// V03: every check of every placed car, asked again, lets it through, and is the check printed.
pub fn cars_suitable(inputs: &Inputs, plan: &Plan) -> Check {
    let mut faults = Vec::new();
    for deck in decks(plan) {
        for placed in &deck.cars {
            let again = survey::checks(inputs, placed.car, deck.site);
            let name = inputs.car(placed.car).name();
            if let Some(bar) = again.iter().find(|check| check.outcome.bars()) {
                faults.push(format!("{name}: {}", bar.sentence()));
            } else if again != placed.checks {
                faults.push(format!("{name}: the checks printed are not the checks found"));
            }
            let (car, crossing) = (inputs.car(placed.car), inputs.crossing(deck.site.crossing));
            let of_days = seasons::fault(inputs, car, crossing, &placed.checks);
            faults.extend(of_days.map(|fault| format!("{name}: {fault}")));
        }
    }
    no_faults(Code::CarsSuitable, faults)
}

/// V04: section, camber, truck centers, number abreast, width and joint, from the inventory.
pub fn decks_valid(inputs: &Inputs, plan: &Plan) -> Check {
    let faults = decks(plan).flat_map(|deck| {
        let crossing = &inputs.crossing(deck.site.crossing).id;
        deck_faults(inputs, deck).into_iter().map(move |fault| format!("{crossing}: {fault}"))
    });
    let mut faults: Vec<String> = faults.collect();
    for planned in &plan.crossings {
        let crossing = inputs.crossing(planned.crossing);
        let Some(served) = planned.served() else { continue };
        let cars = served.decks.iter().flat_map(|deck| &deck.cars);
        let mut sections = cars.map(|placed| &inputs.car(placed.car).section);
        let first = sections.next();
        if crossing.keep.contains(&Keep::OneSection) && sections.any(|other| Some(other) != first) {
            faults.push(format!("{}: spans of several sections, one is asked for", crossing.id));
        }
    }
    no_faults(Code::DecksValid, faults)
}

fn deck_faults(inputs: &Inputs, deck: &Deck) -> Vec<String> {
    let rules = &inputs.rules;
    let crossing = inputs.crossing(deck.site.crossing);
    let cars: Vec<&Car> = deck.cars.iter().map(|placed| inputs.car(placed.car)).collect();
    let mut faults = Vec::new();
    let mut require = |kept: bool, fault: &str| {
        if !kept {
            faults.push(fault.to_owned());
        }
    };

    require(!cars.is_empty(), "no cars");
    require(cars.len() <= usize::from(crossing.most_abreast), "too many cars abreast");

    let first = cars.first().and_then(|car| car.section.as_ref());
    let alike = cars.iter().all(|car| car.section.is_some() && car.section.as_ref() == first);
    require(alike, "cars of different or unknown section");

    let apart = |car: &&Car| car.apart.as_ref().map(|name| name.to_lowercase());
    let mut apart: Vec<String> = cars.iter().filter_map(apart).collect();
    apart.sort_unstable();
    require(apart.windows(2).all(|pair| pair[0] != pair[1]), "cars together that are kept apart");

    let yard = cars.first().map(|car| car.yard);
    let together =
        !crossing.keep.contains(&Keep::OneYard) || cars.iter().all(|car| Some(car.yard) == yard);
    require(together, "cars of several yards, and one yard is asked for");

    let cambers: Vec<f64> = cars.iter().filter_map(|car| car.camber).map(|c| c.0).collect();
    require(cambers.len() == cars.len(), "unknown camber");
    let tolerance = rules.group.camber_tolerance_in.0;
    require(spread(&cambers) <= tolerance + NOISE, "camber spread beyond the tolerance");
    require(cambers.is_sorted(), "cars not in order of camber");
    let step = cambers.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max);
    require(
        step <= rules.group.camber_step_in.0 + NOISE,
        "camber step at a joint beyond the limit",
    );

    let centers: Vec<f64> = cars.iter().filter_map(|car| car.truck_centers).map(|c| c.0).collect();
    require(centers.len() == cars.len(), "unknown truck centers");
    let tolerance = rules.group.truck_centers_tolerance_ft.0;
    require(spread(&centers) <= tolerance + NOISE, "truck centers beyond the tolerance");

    for (a, b) in cars.iter().enumerate().flat_map(|(at, a)| cars[..at].iter().map(move |b| (a, b)))
    {
        for fault in unlike(a, b, &rules.group) {
            require(false, fault);
        }
    }

    let widths: Vec<f64> = cars.iter().filter_map(|car| car.width).map(|w| w.0).collect();
    require(widths.len() == cars.len(), "unknown width");
    let gaps = cars.len().saturating_sub(1) as f64;
    let gap_in = deck.joint.as_ref().map_or(0.0, |joint| joint.gap.0);
    let total: f64 = widths.iter().sum::<f64>() + gaps * gap_in / 12.0;
    let required = crossing.clear_width.0 + 2.0 * rules.rail.width_ft.0;
    require((total - deck.total_width.0).abs() < NOISE, "total width not as recomputed");
    require((required - deck.required_width.0).abs() < NOISE, "required width not as recomputed");
    require(total >= required - NOISE, "too narrow");
    require(total <= required + rules.group.width_allowance_ft.0 + NOISE, "too wide");

    match &deck.joint {
        None => require(cars.len() <= 1, "no joint between cars"),
        Some(joint) => match rules.joint.iter().find(|kind| kind.name == joint.name) {
            None => require(false, "joint type not in the rules"),
            Some(kind) => {
                let gap = joint.gap.0;
                let in_range = gap >= kind.gap_min_in.0 - NOISE && gap <= kind.gap_max_in.0 + NOISE;
                require(in_range, "gap outside the joint's range");
                let deep = cars.iter().all(|car| {
                    car.exterior_depth.is_some_and(|d| d.0 >= kind.exterior_depth_min_in.0 - NOISE)
                });
                require(deep, "exterior girder too shallow for the joint");
            }
        },
    }
    faults
}

/// In what two cars of one deck are too unlike, as far as both are known.
fn unlike(a: &Car, b: &Car, rules: &GroupRules) -> Vec<&'static str> {
    let apart = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| (a - b).abs());
    let over =
        |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| 100.0 * (a.max(b) / a.min(b) - 1.0));
    let stiffness = |car: &Car| Stiffness::of(car);
    let inertia = |car: &Car| stiffness(car)?.inertia.map(|inertia| inertia.0);
    let modulus = |car: &Car| stiffness(car).map(|stiffness| stiffness.modulus.0);
    let depth = |car: &Car| car.exterior_depth.map(|depth| depth.0);
    let length = |car: &Car| car.length.map(|length| length.0);
    let webs = |car: &Car| car.girder.plates.map(|plates| f64::from(plates.webs));
    let over_all = |car: &Car| car.depth_over_all.map(|depth| depth.0);
    let ride = |car: &Car| car.ride_height.map(|height| height.0);
    let welded = |car: &Car| car.fabrication.map(|how| f64::from(how == Fabrication::Welded));
    let weight = |car: &Car| Some(car.weight?.0 / car.length?.0);
    let stiff = rules.stiffness_tolerance_pct.0;
    let all = [
        (over(inertia(a), inertia(b)), stiff, "girders of unlike stiffness"),
        (over(modulus(a), modulus(b)), stiff, "girders of unlike section modulus"),
        (
            apart(depth(a), depth(b)),
            rules.exterior_depth_tolerance_in.0,
            "exterior girders of unlike depth",
        ),
        (apart(length(a), length(b)), rules.length_tolerance_ft.0, "cars of unlike length"),
        (apart(webs(a), webs(b)), 0.0, "girders of unlike number of webs"),
        (
            apart(over_all(a), over_all(b)),
            rules.depth_tolerance_in.0,
            "cars of unlike depth over all",
        ),
        (apart(ride(a), ride(b)), rules.ride_height_tolerance_in.0, "cars of unlike ride height"),
        (apart(welded(a), welded(b)), 0.0, "a riveted girder beside a welded one"),
        (
            over(weight(a), weight(b)),
            rules.weight_tolerance_pct.0,
            "cars of unlike weight per foot",
        ),
    ];
    let beyond = all.into_iter().filter(|(found, most, _)| found.is_some_and(|f| f > most + NOISE));
    beyond.map(|(_, _, fault)| fault).collect()
}

fn spread(values: &[f64]) -> f64 {
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    (high - low).max(0.0)
}

/// V05: every served crossing has exactly one deck on every span of its layout, of that span.
pub fn spans_served(inputs: &Inputs, plan: &Plan) -> Check {
    let mut faults = Vec::new();
    for crossing in &plan.crossings {
        let matched = crossing.served().is_none_or(|served| spans_match(inputs, crossing, served));
        if !matched {
            let id = &inputs.crossing(crossing.crossing).id;
            faults.push(format!("{id}: decks and spans do not match"));
        }
    }
    let listed: Vec<_> = plan.crossings.iter().map(|crossing| crossing.crossing).collect();
    if listed != inputs.crossing_indices().collect::<Vec<_>>() {
        faults.push("the plan does not list every crossing once".to_owned());
    }
    no_faults(Code::SpansServed, faults)
}

fn spans_match(inputs: &Inputs, crossing: &CrossingPlan, served: &Served) -> bool {
    let layouts = &inputs.crossing(crossing.crossing).layouts;
    let Some(layout) = layouts.get(served.layout) else { return false };
    layout.spans.len() == served.decks.len()
        && served.decks.iter().zip(&layout.spans).enumerate().all(|(span, (deck, length))| {
            deck.site.crossing == crossing.crossing
                && deck.site.layout == served.layout
                && deck.site.span == span
                && deck.span == *length
        })
}
