//! What engineer and crew ask of a served bridge beside its checks: the camber left in each car, where it is
//! lifted, and what each pier carries.

use crate::check::TOLERANCE;
use crate::model::crossing::Crossing;
use crate::model::ends::ends;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::plan::{Deck, Served};
use crate::model::season::Seasons;
use crate::price;
use crate::quantity::{Inches, Kips, feet_inches};
use crate::rate::{camber_left, pier_dead_load, pier_reactions};

/// The camber left in a car under its deck; `None`: a measure that it takes is not known.
fn left(inputs: &Inputs, car: CarIx, site: Site) -> Option<Inches> {
    let crossing = inputs.crossing(site.crossing);
    camber_left(inputs.car(car), crossing, inputs.span(site), &inputs.rules)
}

/// The same in words, to the hundredth of an inch, rounded down.
#[must_use]
pub fn left_words(inputs: &Inputs, car: CarIx, site: Site) -> String {
    let Some(left) = left(inputs, car, site) else { return "not known".to_owned() };
    let hundredths = (left.0 * 100.0 + 1e-9).floor() / 100.0;
    if hundredths < 0.0 {
        format!("hangs {:.2} in", -hundredths)
    } else {
        format!("{hundredths:.2} in")
    }
}

/// Where a car is lifted: how far each bolster lies from its end of the car as it comes; none where it is not
/// known. Where the cut takes the bolsters off there is nothing left to lift by, and that is said.
#[must_use]
pub fn lift_points(inputs: &Inputs, car: CarIx, site: Site) -> Option<String> {
    let of = inputs.car(car);
    let (length, centers) = (of.length?, of.truck_centers?);
    let inside = (centers - inputs.span(site)) / 2.0;
    let (rules, crossing) = (&inputs.rules.screen, inputs.crossing(site.crossing));
    let kept = ends(rules, crossing, site, length, Some(centers)).map(|end| end.left() - inside);
    let gone = kept.iter().any(|kept| kept.0 < -TOLERANCE);
    if !price::is_cut_at_yard(inputs, car, site) {
        let points = feet_inches((length - centers) / 2.0);
        return Some(if gone {
            format!("{points}, before the ends are cut: the bolsters come off with them")
        } else {
            points
        });
    }
    if gone {
        return Some("no bolster left: by the engineer's lifting plan".to_owned());
    }
    let [one, other] = kept.map(feet_inches);
    Some(if one == other { one } else { format!("{one} near end, {other} far end") })
}

/// The closed seasons of a crossing in words.
#[must_use]
pub fn seasons(crossing: &Crossing) -> String {
    let words = |seasons: &Option<Seasons>| {
        seasons.as_ref().map_or_else(|| "not asked".to_owned(), Seasons::to_string)
    };
    format!(
        "no hauling: {}; no work in the stream: {}",
        words(&crossing.no_haul),
        words(&crossing.no_stream_work)
    )
}

/// What each pier carries: dead load of the cars that lie there, and the greatest reaction of one lane.
#[must_use]
pub fn piers(inputs: &Inputs, served: &Served) -> Vec<String> {
    let pairs = served.decks.windows(2).enumerate();
    pairs.filter_map(|(pier, pair)| one_pier(inputs, served.layout, pier, pair)).collect()
}

fn one_pier(inputs: &Inputs, layout: usize, pier: usize, pair: &[Deck]) -> Option<String> {
    let [one, other] = pair else { return None };
    let crossing = inputs.crossing(one.site.crossing);
    let cars = [one, other]
        .map(|deck| deck.cars.iter().map(|placed| inputs.car(placed.car)).collect::<Vec<_>>());
    let dead = pier_dead_load(crossing, layout, pier, [&cars[0], &cars[1]], &inputs.rules);
    let dead = dead.map_or_else(|| "not known".to_owned(), whole);
    let live = pier_reactions(crossing, layout, pier, &inputs.rules).ok()?;
    let most = live.iter().max_by(|a, b| a.reaction.total_cmp(&b.reaction))?;
    let named: Vec<String> = live
        .iter()
        .filter(|found| crossing.vehicles.contains(&found.vehicle))
        .map(|found| format!("{} {}", found.vehicle, whole(found.reaction)))
        .collect();
    Some(format!(
        "Pier {}: dead load of both spans {dead}; one lane without impact, {}; greatest of the legal \
         vehicles and these {}, {}",
        pier + 1,
        named.join(", "),
        most.vehicle,
        whole(most.reaction)
    ))
}

/// To the tenth of a kip, rounded up.
fn whole(kips: Kips) -> String {
    format!("{:.1} kip", (kips.0 * 10.0 - 1e-9).ceil() / 10.0)
}
