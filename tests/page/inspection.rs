//! The inspection form: limits at which the inspector stops, and forms for substitutes.

use spanyard::confirm::{PlateOf, least_thicknesses};
use spanyard::group::deck_checks;
use spanyard::model::car::{Car, Plate};
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::plan::{Deck, IfRefused, PlacedCar, Served};
use spanyard::quantity::Inches;
use spanyard::report::facts::reasons::signs;
use spanyard::report::sheets;
use spanyard::survey;

use super::county::{context, county};

/// UD-08 at B-07 has two webs of 26 x 3/8 in and flanges of 20 x 1 1/8 in, and needs a section modulus
/// of 650 in3, the least whole number that is enough. By hand, with the bottom flange 1.10 in thick:
/// 64.0 in2, centroid 14.21 in above the underside, 9,280 in4, so 653 in3; with 1.09 in: 648.6 in3.
#[test]
fn a_flange_may_be_as_thin_as_the_sum_by_hand_allows() {
    let (inputs, deck, place) = placed("UD-08");
    let of = |plate| least_thicknesses(inputs, deck, place).into_iter().find(|l| l.plate == plate);
    let bottom = of(PlateOf::BottomFlange).unwrap();
    assert_eq!((bottom.least, bottom.listed), (Inches(1.1), Inches(1.125)));
    assert_eq!(of(PlateOf::BottomCover), None);
    let form = form_of("UD-08");
    assert!(form.contains("bottom flange below 1.1 in (listed 1.125 in)"), "{form}");
}

/// Against the whole list of checks of the car and of its deck, with a car that measures so.
#[test]
fn thinner_than_the_limit_something_bars_and_at_it_nothing() {
    let report = county();
    let mut asked = 0;
    for served in report.plan.crossings.iter().filter_map(|planned| planned.served()) {
        for (span, deck) in served.decks.iter().enumerate() {
            for place in 0..deck.cars.len() {
                for limit in least_thicknesses(report.inputs, deck, place) {
                    let holds = |thickness: f64| {
                        holds(report.inputs, (served, span, place), limit.plate, thickness)
                    };
                    let id = &report.inputs.car(deck.cars[place].car).id;
                    let (plate, least) = (limit.plate, limit.least.0);
                    assert!(least <= limit.listed.0, "{id} {plate:?}");
                    assert!(holds(least), "{id} {plate:?} at {least}");
                    assert!(!holds(least - 0.0101), "{id} {plate:?} below {least}");
                    asked += 1;
                }
            }
        }
    }
    assert!(asked > 20, "{asked}");
}

/// Whether the deck stands with one plate of one car so thick, net of its loss: every check of the car
/// and of the deck, and the weight sign no lower.
fn holds(
    inputs: &Inputs,
    (served, span, place): (&Served, usize, usize),
    plate: PlateOf,
    net: f64,
) -> bool {
    let mut inputs = inputs.clone();
    let mut served = served.clone();
    let deck = &mut served.decks[span];
    let mut car: Car = inputs.car(deck.cars[place].car).clone();
    let plates = car.girder.plates.as_mut().unwrap();
    let (of, loss): (&mut Plate, _) = match plate {
        PlateOf::Web => (&mut plates.web, plates.web_loss_pct),
        PlateOf::TopFlange => (&mut plates.top_flange, plates.top_loss_pct),
        PlateOf::BottomFlange => (&mut plates.bottom_flange, plates.bottom_loss_pct),
        PlateOf::TopCover => (plates.top_cover.as_mut().unwrap(), plates.top_loss_pct),
        PlateOf::BottomCover => (plates.bottom_cover.as_mut().unwrap(), plates.bottom_loss_pct),
    };
    of.thickness_in = Inches(net / (1.0 - loss.fraction()));
    let before = signs(&served);
    let ix = CarIx(inputs.cars.len());
    inputs.cars.push(car);
    let deck = &mut served.decks[span];
    let checks = survey::checks(&inputs, ix, deck.site);
    let bars = checks.iter().any(|check| check.outcome.bars());
    deck.cars[place] = PlacedCar { car: ix, checks };
    let cars: Vec<CarIx> = deck.cars.iter().map(|placed| placed.car).collect();
    let joint = deck.joint.as_ref();
    let joint = joint.map(|used| (inputs.rules.joint_type(&used.name).unwrap(), used.gap));
    let of_deck = deck_checks(&inputs, deck.site, &cars, joint);
    // No vehicle has less on the sign than before, and none is new on it.
    let sign_stays = signs(&served).iter().all(|now| {
        before.iter().any(|sign| sign.vehicle == now.vehicle && now.weight >= sign.weight)
    });
    !bars && !of_deck.iter().any(|check| check.outcome.bars()) && sign_stays
}

#[test]
fn every_substitute_at_a_yard_has_a_form_there() {
    let report = county();
    let files = sheets::all(report, &context(report)).unwrap();
    let mut forms = 0;
    for (purchase, number) in report.plan.purchases.iter().zip(1..) {
        let start = format!("inspection-{number}-");
        let page = &files.iter().find(|file| file.name.starts_with(&start)).unwrap().content;
        let mut wanted: Vec<(&str, CarIx)> = Vec::new();
        for planned in &report.plan.crossings {
            let Some(served) = planned.served() else { continue };
            let now = |car: &CarIx| {
                served.decks.iter().any(|deck| deck.cars.iter().any(|placed| placed.car == *car))
            };
            for (_, then) in &served.if_refused {
                let IfRefused::Instead(other) = then else { continue };
                for car in other.decks.iter().flatten().filter(|car| !now(car)) {
                    let id = report.inputs.crossing(planned.crossing).id.as_str();
                    if report.inputs.car(*car).yard == purchase.yard
                        && !wanted.contains(&(id, *car))
                    {
                        wanted.push((id, *car));
                    }
                }
            }
        }
        let substitutes: Vec<&str> = page
            .split("<section ")
            .filter(|section| section.starts_with("class=\"sheet engineer substitute\""))
            .collect();
        assert_eq!(substitutes.len(), wanted.len(), "{start}");
        for (crossing, car) in &wanted {
            let car = format!(">{}</span>", report.inputs.car(*car).id);
            let found = substitutes
                .iter()
                .any(|form| form.contains(&car) && form.contains(&format!("For {crossing}, ")));
            assert!(found, "no form for {car} at {crossing}");
        }
        forms += substitutes.len();
    }
    assert!(forms > 3, "{forms}");
}

#[test]
fn a_form_says_what_a_refusal_costs_where_the_substitute_stands_in_the_same_yard() {
    let report = county();
    let mut told = 0;
    for served in report.plan.crossings.iter().filter_map(|planned| planned.served()) {
        for (car, then) in &served.if_refused {
            let (car, IfRefused::Instead(other)) = (report.inputs.car(*car), then) else {
                continue;
            };
            let here = |ix: &CarIx| report.inputs.car(*ix).dealer == car.dealer;
            let words = format!(", +{}.", other.extra);
            let form = form_of(&car.id);
            if other.decks.iter().flatten().all(here) {
                assert!(form.contains(&words), "{}: {words}", car.id);
                told += 1;
            }
        }
    }
    assert!(told >= 3, "{told}");
}

/// The deck in which a car of the demonstration lies, and its place.
fn placed(id: &str) -> (&'static Inputs, &'static Deck, usize) {
    let report = county();
    let served = report.plan.crossings.iter().filter_map(|planned| planned.served());
    for deck in served.flat_map(|served| &served.decks) {
        let place = deck.cars.iter().position(|placed| report.inputs.car(placed.car).id == id);
        if let Some(place) = place {
            return (report.inputs, deck, place);
        }
    }
    panic!("{id} is not placed");
}

/// The form of a car that is bought.
fn form_of(id: &str) -> String {
    let files = sheets::all(county(), &context(county())).unwrap();
    let pages = files.iter().filter(|file| file.name.starts_with("inspection-"));
    let forms = pages.flat_map(|file| file.content.split("<section "));
    let own = format!(">{id}</span>");
    let mut forms = forms.filter(|f| f.starts_with("class=\"sheet engineer\"") && f.contains(&own));
    forms.next().unwrap().to_owned()
}
