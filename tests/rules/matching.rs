//! The deck rule is told once and asked in several forms: extended car by car as the search does,
//! of a whole deck, as checks for people, by the choice itself, and written out a second time in the
//! verification. On random decks all of them say the same.

use spanyard::check::{Code, all_pass};
use spanyard::choose::{Demand, Effort, LayoutDemand, Market, Offer, SpanDemand, choose};
use spanyard::group::{
    Candidate, DeckState, RULES, Sections, candidate, deck_checks, deck_rule, order_across,
};
use spanyard::model::car::{Car, Fabrication};
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::quantity::{Cents, CubicInches, Feet, Inches, Kips};

use crate::testkit::fixture::{SITE, inputs_with, plate};
use crate::testkit::market::Rng;

type Draw = (Code, fn(&mut Car, &mut Rng));

/// Draws a measure for each rule of the table, mostly near the sound car's, so that decks match about
/// as often as not.
const DRAWS: [Draw; 11] = [
    (Code::CamberSpread, |car, rng| {
        car.camber = Some(Inches(1.5 + 0.125 * rng.int(-6, 6) as f64));
    }),
    (Code::CentersSpread, |car, rng| {
        car.truck_centers = Some(Feet(65.5 + 0.1 * rng.int(-7, 7) as f64));
    }),
    (Code::StiffnessSpread, |car, rng| {
        if let Some(plates) = &mut car.girder.plates {
            plates.bottom_cover = Some(plate(20.0, 0.5 + 0.125 * rng.int(0, 6) as f64));
        }
    }),
    (Code::ModulusSpread, |car, rng| {
        car.girder.plates = None;
        let modulus = CubicInches(1_000.0 + 20.0 * rng.int(0, 20) as f64);
        car.girder.stated_modulus = Some(modulus).filter(|_| rng.chance(0.9));
    }),
    (Code::DepthSpread, |car, rng| {
        car.exterior_depth = Some(Inches(14.0 + 0.25 * rng.int(-4, 4) as f64));
    }),
    (Code::LengthSpread, |car, rng| {
        car.length = Some(Feet(76.0 + 0.25 * rng.int(-4, 4) as f64));
    }),
    (Code::WebsSpread, |car, rng| {
        if let Some(plates) = &mut car.girder.plates {
            plates.webs = rng.pick(&[1, 2, 2, 2]);
        }
    }),
    (Code::WeightSpread, |car, rng| {
        car.weight = Some(Kips(40.0 + rng.int(-4, 4) as f64));
    }),
    (Code::DepthOverAllSpread, |car, rng| {
        car.depth_over_all = Some(Inches(48.0 + 0.25 * rng.int(-3, 3) as f64));
    }),
    (Code::RideHeightSpread, |car, rng| {
        car.ride_height = Some(Inches(30.0 + 0.25 * rng.int(-3, 3) as f64));
    }),
    (Code::FabricationSpread, |car, rng| {
        use Fabrication::{Riveted, Welded};
        car.fabrication = Some(rng.pick(&[Riveted, Welded, Welded, Welded, Welded, Welded]));
    }),
];

#[test]
fn a_measure_is_drawn_for_every_rule_of_the_table() {
    let drawn: Vec<Code> = DRAWS.iter().map(|(code, _)| *code).collect();
    assert_eq!(drawn, RULES.iter().map(|rule| rule.code).collect::<Vec<_>>());
    assert!(drawn.is_sorted());
}

/// One to four cars before a crossing that takes three.
fn random(seed: u64) -> Inputs {
    let rng = &mut Rng::new(seed);
    let cars = rng.int(1, 4) as usize;
    let unchanged: Vec<&dyn Fn(&mut Car)> = vec![&|_| {}; cars];
    let mut inputs = inputs_with(&unchanged);
    inputs.crossings[0].most_abreast = 3;
    inputs.crossings[0].clear_width = Feet(rng.pick(&[7.5, 16.0, 16.0, 25.0]));
    for car in &mut inputs.cars {
        car.width = Some(Feet(8.5 + 0.25 * rng.int(0, 4) as f64));
        car.exterior_depth = Some(Inches(rng.pick(&[13.5, 14.0, 14.0])));
        if rng.chance(0.1) {
            car.section = Some("S-71".to_owned());
        }
        if rng.chance(0.2) {
            car.apart = Some(rng.pick(&["suspect", "Suspect", "other"]).to_owned());
        }
        for (_, draw) in DRAWS {
            if rng.chance(0.3) {
                draw(car, rng);
            }
        }
    }
    inputs
}

/// A market in which the one crossing must be served with all these cars or not at all.
fn all_or_none(inputs: &Inputs, candidates: &[Candidate]) -> Market {
    let offer = |_: &Candidate| Offer {
        quantity: 1,
        yard: 0,
        lot: None,
        price: Cents(100),
        stock_value: Cents(0),
        quotes: Vec::new(),
    };
    let span = SpanDemand {
        fixed: Cents(0),
        candidates: candidates.to_vec(),
        rule: deck_rule(inputs, SITE),
        holds: (0..candidates.len()).collect(),
    };
    let layout = LayoutDemand { layout: 0, fixed: Cents(0), spans: vec![span] };
    Market {
        offers: candidates.iter().map(offer).collect(),
        trips: vec![Cents(0)],
        levels: Vec::new(),
        fillers: Vec::new(),
        lots: Vec::new(),
        crossings: vec![Demand { priority: 1, points: 1, fund: None, layouts: vec![layout] }],
        budget: None,
        funds: Vec::new(),
        grants: Vec::new(),
    }
}

#[test]
fn search_rule_checks_and_choice_agree_on_random_decks() {
    let (mut admitted, mut refused) = ([0; 5], [0; 5]);
    let mut alone = [0; RULES.len()];
    for seed in 0..4_000 {
        let inputs = random(seed);
        let sections = Sections::of(&inputs);
        let cars: Vec<CarIx> = inputs.car_indices().collect();
        let candidates: Vec<Candidate> =
            cars.iter().map(|&car| candidate(&inputs, car, SITE, &sections).unwrap()).collect();
        let rule = deck_rule(&inputs, SITE);
        let all: Vec<&Candidate> = candidates.iter().collect();
        let found = rule.admits(&all);

        // Car by car, in an order of its own.
        let mut order = all.clone();
        order.rotate_left(seed as usize % all.len());
        let mut state = Some(DeckState::EMPTY);
        for (place, car) in order.iter().enumerate() {
            let deck = order[..place].iter().map(|other| &other.fit);
            state = state.and_then(|state| rule.with(&state, deck, &car.fit));
        }
        let joint = state.and_then(|s| rule.joint_for(s.cars, s.widths, s.shallowest, s.longest));

        let joint = joint.filter(|_| rule.steps_kept(order.iter().map(|car| &car.fit)));
        assert_eq!(joint.map(|j| j.joint), found.map(|j| j.joint), "seed {seed}");

        // As checks: with the joint found, or with none that can be set.
        let mut cars = cars;
        order_across(&mut cars, |car| inputs.car(*car).camber.unwrap());
        let passes = |joint: Option<usize>, gap: f64| {
            let joint = joint.map(|at| (&inputs.rules.joint[at], Inches(gap)));
            all_pass(&deck_checks(&inputs, SITE, &cars, joint))
        };
        let any = || {
            let mut gaps = (0..=145).map(|eighths| f64::from(eighths) / 8.0);
            passes(None, 0.0) || gaps.any(|gap| (0..2).any(|at| passes(Some(at), gap)))
        };
        match found {
            Some(joint) => assert!(passes(joint.joint, joint.gap.0), "seed {seed}"),
            None => assert!(!any(), "seed {seed}"),
        }
        // Of the choice, which merges alike cars and asks no rule but the search's.
        let choice = choose(&all_or_none(&inputs, &candidates), &Effort::default());
        assert_eq!(choice.crossings[0].is_some(), found.is_some(), "seed {seed}");

        let count = if found.is_some() { &mut admitted } else { &mut refused };
        count[cars.len()] += 1;
        let bars =
            deck_checks(&inputs, SITE, &cars, found.map(|_| (&inputs.rules.joint[0], Inches(0.0))));
        let bars: Vec<Code> = bars.iter().filter(|c| c.outcome.bars()).map(|c| c.code).collect();
        for (at, rule) in RULES.iter().enumerate() {
            alone[at] += usize::from(bars.contains(&rule.code));
        }
    }
    assert!(admitted[1..4].iter().all(|n| *n > 30) && admitted[4] == 0, "{admitted:?}");
    assert!(refused[1..].iter().all(|n| *n > 100), "{refused:?}");
    assert!(alone.iter().all(|n| *n > 50), "{alone:?}");
}
