//! V14: what is firm and what is to confirm, from the inputs and the decks alone.

use super::no_faults;
use crate::check::{Check, Code, Grade, Limit, Value};
use crate::model::car::{Car, GirderPlates, LeadStatus, MainGirder, MemberCondition, Plate};
use crate::model::columns::Columns as _;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory as C;
use crate::model::plan::{Confirmation, Deck, IfRefused, Plan, Served};
use crate::model::rules::{Least, Rules};
use crate::quantity::{CubicInches, Feet, Inches, Kips, Percent};
use crate::rate::rate_checks_at;

/// Rounding noise of the sums.
const NOISE: f64 = 1e-6;

/// V14.
pub fn confirmed(inputs: &Inputs, plan: &Plan) -> Check {
    let mut faults = Vec::new();
    for crossing in &plan.crossings {
        let Some(served) = crossing.served() else { continue };
        let id = &inputs.crossing(crossing.crossing).id;
        let mut found: Vec<(usize, CarIx, C, Option<Grade>)> =
            served.confirmations.iter().map(|c| (c.span, c.car, c.fact, c.now)).collect();
        for deck in &served.decks {
            let mut rows: Vec<CarIx> = deck.cars.iter().map(|placed| placed.car).collect();
            rows.sort_unstable();
            rows.dedup();
            for car in rows {
                for (fact, now) in not_enough(inputs, deck, car) {
                    match found.iter().position(|f| *f == (deck.site.span, car, fact, now)) {
                        Some(at) => drop(found.swap_remove(at)),
                        None => faults.push(format!(
                            "{id}: {} of {} is not said to be confirmed",
                            fact.column().name,
                            inputs.car(car).name()
                        )),
                    }
                }
            }
        }
        for (_, car, fact, _) in found {
            let name = inputs.car(car).name();
            faults.push(format!("{id}: {} of {name} needs no confirming", fact.column().name));
        }
        for one in &served.confirmations {
            let deck = served.decks.iter().find(|deck| deck.site.span == one.span);
            let holds = deck.is_some_and(|deck| value_holds(inputs, deck, one));
            if !holds {
                let (name, fact) = (inputs.car(one.car).name(), one.fact.column().name);
                faults.push(format!("{id}: the value needed of {fact} of {name} is another"));
            }
        }
        faults.extend(refused_faults(inputs, served).map(|fault| format!("{id}: {fault}")));
    }
    no_faults(Code::Confirmed, faults)
}

/// The facts of a car that its place needs and that are not enough to pay on.
fn not_enough(inputs: &Inputs, deck: &Deck, ix: CarIx) -> Vec<(C, Option<Grade>)> {
    let (car, rules) = (inputs.car(ix), &inputs.rules);
    let crossing = inputs.crossing(deck.site.crossing);
    let pay = &rules.evidence.to_pay;
    let mut asked: Vec<(C, Least)> = vec![
        (C::Kind, pay.kind),
        (C::Section, pay.kind),
        (C::Wrecked, pay.history),
        (C::MainGirder, pay.primary_members),
        (C::ExteriorGirders, pay.primary_members),
        (C::Bolsters, pay.primary_members),
        (C::CrossMembers, pay.secondary_members),
        (C::Stringers, pay.secondary_members),
        (C::Length, pay.lengths),
        (C::TruckCenters, pay.lengths),
        (C::Width, pay.width),
        (C::Camber, pay.camber),
        (C::Weight, pay.weight),
        (C::StringerModulus, pay.stringers),
        (C::StringerSpacing, pay.stringers),
        (C::CrossMemberModulus, pay.stringers),
        (C::CrossMemberSpacing, pay.stringers),
    ];
    match &car.girder.plates {
        Some(plates) => {
            asked.push((C::Webs, pay.plates));
            asked.extend((plates.webs < 2).then_some((C::Unbraced, pay.web)));
        }
        None => asked.extend([(C::Modulus, pay.modulus), (C::Webs, pay.web)]),
    }
    let mill = car.steel_yield.is_some() && grade(inputs, car, C::Yield) == Some(Grade::Documented);
    if !mill && car.year_built.is_some() {
        asked.push((C::YearBuilt, pay.year_built));
    }
    if crossing.most_abreast >= 2 {
        asked.push((C::ExteriorDepth, pay.exterior_depth));
    }
    let system = rules.deck.iter().find(|deck| deck.name == crossing.deck_system);
    if system.is_some_and(|deck| deck.keeps_car_deck) {
        asked.extend([(C::Deck, pay.deck), (C::DeckCondition, pay.deck)]);
    }
    if car.lead == Some(LeadStatus::Free) {
        asked.push((C::Lead, pay.lead));
    }
    if crossing.needed_by.is_some() {
        asked.push((C::Available, pay.available));
    }
    let graded = asked.into_iter().map(|(fact, least)| (fact, grade(inputs, car, fact), least));
    let short = graded.filter(|(_, now, least)| match (least, now) {
        (Least::Unknown, _) => false,
        (_, None) => true,
        (Least::Assumed, Some(_)) => false,
        (Least::Interpreted, Some(now)) => *now < Grade::Interpreted,
        (Least::Stated, Some(now)) => *now < Grade::Stated,
        (Least::Inspected, Some(now)) => *now < Grade::Inspected,
        (Least::Documented, Some(now)) => *now < Grade::Documented,
    });
    short.map(|(fact, now, _)| (fact, now)).collect()
}

/// How well a fact is known; of plates the weakest of those that every girder has.
fn grade(inputs: &Inputs, car: &Car, fact: C) -> Option<Grade> {
    if fact == C::Webs {
        car.girder.plates?;
        let plates = C::EACH.iter().filter(|column| {
            let name = column.column().name;
            name == "webs" || name == "web_depth_in" || name == "web_thickness_in" || {
                let flange = name.contains("_flange_");
                flange && (name.ends_with("width_in") || name.ends_with("thickness_in"))
            }
        });
        return plates.map(|column| car.evidence(*column).grade).min();
    }
    if !fact.is_known(car) {
        return None;
    }
    let grade = car.evidence(fact).grade;
    let source = match fact {
        C::Modulus => car.girder.modulus_source.as_deref(),
        C::Yield => car.yield_source.as_deref(),
        _ => None,
    };
    let document = source.is_some_and(|source| inputs.rules.evidence.is_document(source));
    Some(if grade == Grade::Stated && document { Grade::Documented } else { grade })
}

/// Whether the value said to be needed is the one that the deck needs, where it is a number.
fn value_holds(inputs: &Inputs, deck: &Deck, one: &Confirmation) -> bool {
    let Some(at) = deck.cars.iter().position(|placed| placed.car == one.car) else { return false };
    let (rules, crossing) = (&inputs.rules, inputs.crossing(deck.site.crossing));
    let others: Vec<&Car> = (0..deck.cars.len())
        .filter(|other| *other != at)
        .map(|other| inputs.car(deck.cars[other].car))
        .collect();
    let ends = |of: fn(&Car) -> Option<f64>, tolerance: f64| {
        let values: Vec<f64> = others.iter().filter_map(|car| of(car)).collect();
        let high = values.iter().copied().reduce(f64::max).map(|high| high - tolerance);
        let low = values.iter().copied().reduce(f64::min).map(|low| low + tolerance);
        (high, low)
    };
    let load = deck.shared_load(at).map(<[usize]>::len);
    let truckload = load.and_then(|cars| rules.haul.truckload(cars));
    let said = |(least, most): (Option<f64>, Option<f64>)| is(&one.value, least, most);
    match one.fact {
        C::TruckCenters => {
            let (least, most) = ends(
                |car| car.truck_centers.map(|centers| centers.0),
                rules.group.truck_centers_tolerance_ft.0,
            );
            said((Some(least.map_or(deck.span.0, |least| least.max(deck.span.0))), most))
        }
        C::Camber => {
            let others: Vec<f64> =
                others.iter().filter_map(|car| car.camber).map(|c| c.0).collect();
            camber_holds(&others, &one.value, rules)
        }
        C::ExteriorDepth => {
            let (least, most) = ends(
                |car| car.exterior_depth.map(|depth| depth.0),
                rules.group.exterior_depth_tolerance_in.0,
            );
            let joint = deck
                .joint
                .as_ref()
                .and_then(|joint| rules.joint.iter().find(|kind| kind.name == joint.name));
            let joint = joint.map(|joint| joint.exterior_depth_min_in.0);
            said((joint.into_iter().chain(least).reduce(f64::max), most))
        }
        C::Width => {
            let widths: f64 = others.iter().filter_map(|car| car.width).map(|w| w.0).sum();
            let joint = deck
                .joint
                .as_ref()
                .and_then(|joint| rules.joint.iter().find(|kind| kind.name == joint.name));
            let gaps = others.len() as f64;
            let gap = |inches: Option<f64>| gaps * inches.unwrap_or(0.0) / 12.0;
            let needed = crossing.clear_width.0 + 2.0 * rules.rail.width_ft.0;
            let least = needed - widths - gap(joint.map(|joint| joint.gap_max_in.0));
            let most = needed + rules.group.width_allowance_ft.0
                - widths
                - gap(joint.map(|joint| joint.gap_min_in.0));
            let most = crossing.haul_width_limit.map_or(most, |limit| most.min(limit.0));
            said((Some(least), Some(most)))
        }
        C::Weight if truckload.is_none() => {
            let hook = crossing.crane_limit.map(|limit| limit.0 / rules.screen.pick_weight_factor);
            let road = crossing.haul_weight_limit.map(|limit| limit.0);
            weight_holds(inputs, deck, one, road.into_iter().chain(hook).reduce(f64::min))
        }
        C::Unbraced => unbraced_holds(inputs, deck, one),
        C::Webs if inputs.car(one.car).girder.plates.is_none() => webs_hold(inputs, deck, one),
        C::Modulus => modulus_holds(inputs, deck, one),
        C::Webs if inputs.car(one.car).girder.plates.is_some() => modulus_holds(inputs, deck, one),
        _ => true,
    }
}

/// At either end of the window the cambers go together, and beyond it they do not.
fn camber_holds(others: &[f64], limit: &Limit, rules: &Rules) -> bool {
    const BEYOND: f64 = 0.01;
    let together = |camber: f64| {
        let mut all = others.to_vec();
        all.push(camber);
        all.sort_by(f64::total_cmp);
        let spread = all[all.len() - 1] - all[0] <= rules.group.camber_tolerance_in.0 + NOISE;
        let step = rules.group.camber_step_in.0 + NOISE;
        spread
            && all.windows(2).all(|pair| pair[1] - pair[0] <= step)
            && camber >= rules.screen.camber_least_in.0 - NOISE
    };
    let low = |end: f64| together(end) && !together(end - BEYOND);
    match limit {
        Limit::AtLeast(least) => others.is_empty() && least.number().is_some_and(low),
        Limit::Between(least, most) => {
            least.number().is_some_and(low)
                && most.number().is_some_and(|end| together(end) && !together(end + BEYOND))
        }
        _ => false,
    }
}

/// The unbraced length said is short enough; a tenth of a foot more is too long, or longer than the car.
fn unbraced_holds(inputs: &Inputs, deck: &Deck, one: &Confirmation) -> bool {
    let Limit::AtMost(Value::Feet(most)) = one.value else {
        return matches!(one.value, Limit::Words(_));
    };
    let crossing = inputs.crossing(deck.site.crossing);
    let bends = |length: f64| {
        let mut car = inputs.car(one.car).clone();
        car.girder.unbraced_ft = Some(Feet(length));
        let checks = rate_checks_at(&car, crossing, deck.site, &inputs.rules);
        checks.iter().any(bars_by_bending)
    };
    let longer = most.0 + 0.1;
    let whole = inputs.car(one.car).length.is_some_and(|length| longer > length.0);
    !bends(most.0) && (whole || bends(longer))
}

/// With webs as said no vehicle of the crossing rates lower by shear than by bending, up to 1.
fn webs_hold(inputs: &Inputs, deck: &Deck, one: &Confirmation) -> bool {
    let Limit::Words(words) = &one.value else { return false };
    let mut numbers = words.split(' ').filter_map(|word| word.parse::<f64>().ok());
    let (Some(area), Some(ratio)) = (numbers.next(), numbers.next()) else { return true };
    let crossing = inputs.crossing(deck.site.crossing);
    let mut car = inputs.car(one.car).clone();
    let factors = |car: &Car, codes: [Code; 2]| -> Vec<(Code, String, f64)> {
        let checks = rate_checks_at(car, crossing, deck.site, &inputs.rules).into_iter();
        let of = checks.filter(|check| codes.contains(&check.code));
        of.filter_map(|check| Some((check.code, check.part.clone(), check.measured.number()?)))
            .collect()
    };
    let bending = factors(&car, [Code::BendingAllowable, Code::BendingFactored]);
    let depth = (area * ratio / 2.0).sqrt();
    let plate = |width: f64, thickness: f64| Plate {
        width_in: Inches(width),
        thickness_in: Inches(thickness),
    };
    let none = Percent(0.0);
    car.girder = MainGirder {
        plates: Some(GirderPlates {
            webs: 2,
            web: plate(depth, depth / ratio),
            web_depth_at_trucks_in: None,
            top_flange: plate(12.0, 0.25),
            bottom_flange: plate(12.0, 0.25),
            top_cover: None,
            bottom_cover: None,
            web_loss_pct: none,
            top_loss_pct: none,
            bottom_loss_pct: none,
        }),
        ..MainGirder::default()
    };
    car.members.main_girder = Some(MemberCondition::Sound);
    let shear = factors(&car, [Code::ShearAllowable, Code::ShearFactored]);
    let rating = &inputs.rules.rating;
    let counts = |code: Code| match (rating.allowable_stress, rating.load_and_resistance) {
        (false, false) => true,
        (stress, factors) => {
            if code == Code::ShearAllowable {
                stress
            } else {
                factors
            }
        }
    };
    shear.len() == bending.len()
        && shear.iter().zip(&bending).all(|((code, part, shear), (_, of, bending))| {
            part == of && (!counts(*code) || *shear >= bending.min(1.0) - NOISE.sqrt())
        })
}

/// The weight said is no more than road and hook take, and the girder carries it; a tenth of a kip more
/// one of them does not.
fn weight_holds(inputs: &Inputs, deck: &Deck, one: &Confirmation, most: Option<f64>) -> bool {
    let (Limit::AtMost(Value::Kips(said)), Some(most)) = (&one.value, most) else {
        return most.is_none() && one.value == Limit::None;
    };
    let crossing = inputs.crossing(deck.site.crossing);
    let carries = |weight: f64| {
        let mut car = inputs.car(one.car).clone();
        car.weight = Some(Kips(weight));
        let checks = rate_checks_at(&car, crossing, deck.site, &inputs.rules);
        !checks.iter().any(|check| check.outcome.bars())
    };
    let whole = (said.0 - most).abs() < NOISE;
    said.0 <= most + NOISE && carries(said.0) && (whole || !carries(said.0 + 0.1))
}

fn bars_by_bending(check: &Check) -> bool {
    let bending = matches!(
        check.code,
        Code::BendingAllowable | Code::BendingFactored | Code::Posting | Code::LegalTrucks
    );
    bending && check.outcome.bars()
}

/// Whether a limit has these ends.
fn is(limit: &Limit, least: Option<f64>, most: Option<f64>) -> bool {
    let near = |value: &Value, number: f64| {
        value.number().is_some_and(|found| (found - number).abs() < NOISE)
    };
    match (limit, least, most) {
        (Limit::None, None, None) => true,
        (Limit::AtLeast(low), Some(least), None) => near(low, least),
        (Limit::AtMost(high), None, Some(most)) => near(high, most),
        (Limit::Between(low, high), Some(least), Some(most)) => {
            near(low, least) && near(high, most)
        }
        _ => false,
    }
}

/// The modulus said to be needed is enough, and one cubic inch less is not.
fn modulus_holds(inputs: &Inputs, deck: &Deck, one: &Confirmation) -> bool {
    let Limit::AtLeast(Value::CubicInches(needed)) = one.value else { return false };
    let crossing = inputs.crossing(deck.site.crossing);
    let bends = |modulus: f64| {
        let mut car = inputs.car(one.car).clone();
        car.members.main_girder = Some(MemberCondition::Sound);
        car.girder = MainGirder {
            stated_modulus: Some(CubicInches(modulus)),
            modulus_source: Some("drawing".to_owned()),
            ..MainGirder::default()
        };
        let checks = rate_checks_at(&car, crossing, deck.site, &inputs.rules);
        checks.iter().any(bars_by_bending)
    };
    !bends(needed.0) && (needed.0 <= 1.0 || bends(needed.0 - 1.0))
}

/// What is said to follow a refusal names each row once, and puts no refused car back.
fn refused_faults<'a>(inputs: &'a Inputs, served: &'a Served) -> impl Iterator<Item = String> + 'a {
    let mut placed: Vec<CarIx> =
        served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car).collect();
    placed.sort_unstable();
    served.if_refused.iter().filter_map(move |(car, then)| {
        let name = inputs.car(*car).name();
        if !placed.contains(car) {
            return Some(format!("{name} lies elsewhere and cannot be refused here"));
        }
        let IfRefused::Instead(other) = then else { return None };
        let again = other.decks.iter().flatten().filter(|other| *other == car).count();
        let left = inputs.car(*car).quantity.saturating_sub(1) as usize;
        (again > left).then(|| format!("{name} takes its own place"))
    })
}
