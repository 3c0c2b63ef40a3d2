//! Markets in which it is known by construction how many crossings can be served at most.

use spanyard::choose::{Demand, LayoutDemand, Market, Offer, SpanDemand};
use spanyard::group::{Candidate, DeckRule, Figures, Fit, JointOption};
use spanyard::quantity::{Cents, Feet, Inches};

use super::market::Rng;

/// Width of every car.
const WIDTH: f64 = 8.5;

/// A market, and the most crossings of it that can be served.
///
/// Three crossings in four have decks of two or three cars laid for them, which match; the others need
/// four. There is one car more than those laid, and every deck of a crossing has the same number of cars:
/// so one crossing more than the three in four would take more cars than there are. All other cars are of
/// sections of their own, and make no deck. One car in three stands in a lot.
pub fn planted(crossings: usize, cars: usize, seed: u64) -> (Market, usize) {
    let mut rng = Rng::new(seed ^ 0x51a7_7ed0);
    let served = crossings * 3 / 4;
    // Section, camber and the crossing of each car that can be used.
    let mut figures: Vec<(u32, f64, Option<usize>)> = Vec::new();
    let mut needs = Vec::new();
    for crossing in 0..crossings {
        let need = if crossing < served { rng.int(2, 3) } else { 4 };
        needs.push(need as usize);
        if crossing < served {
            let (section, low) = (rng.int(0, 5) as u32, rng.int(0, 40) as f64 / 16.0);
            for _ in 0..need {
                figures.push((section, low + rng.int(0, 8) as f64 / 16.0, Some(crossing)));
            }
        }
    }
    figures.push((rng.int(0, 5) as u32, rng.int(0, 40) as f64 / 16.0, None));
    while figures.len() < cars {
        figures.push((figures.len() as u32, rng.int(0, 40) as f64 / 16.0, None));
    }
    // Where a crossing stands in the list, and a car, says nothing of what was laid.
    let order = shuffled(crossings, &mut rng);
    let rows = shuffled(cars, &mut rng);
    let lots = cars / 9;
    let offers = (0..cars)
        .map(|_| {
            let lot = rng.chance(1.0 / 3.0).then(|| rng.int(0, lots as i64 - 1) as usize);
            Offer {
                quantity: 1,
                yard: lot.map_or_else(|| rng.int(0, 3) as usize, |lot| lot % 4),
                lot,
                price: Cents(if lot.is_some() { 0 } else { rng.int(300_000, 900_000) }),
                stock_value: Cents(if lot.is_some() { 50_000 } else { 0 }),
                quotes: Vec::new(),
            }
        })
        .collect();
    let demands = order
        .iter()
        .map(|&crossing| {
            let mut candidates = Vec::new();
            for (offer, &row) in rows.iter().enumerate() {
                let (section, camber, laid) = figures[row];
                if laid == Some(crossing) || rng.chance(0.3) {
                    candidates.push(Candidate {
                        offer,
                        cost: Cents(rng.int(100_000, 400_000)),
                        fit: Fit {
                            section,
                            apart: None,
                            measures: Figures::plain(Inches(camber), Feet(60.0)),
                            width: Feet(WIDTH),
                            exterior_depth: Inches(12.0),
                            laid: Feet(60.0),
                        },
                        haul: None,
                    });
                }
            }
            let width = Feet(WIDTH * needs[crossing] as f64);
            let span = SpanDemand {
                holds: Vec::new(),
                fixed: Cents(100_000),
                candidates,
                rule: DeckRule {
                    most_abreast: 4,
                    width_least: width,
                    width_most: width + Feet(1.5),
                    tolerances: Figures::plain(Inches(0.5), Feet(1.0)),
                    step_most: Inches(f64::INFINITY),
                    joints: vec![JointOption {
                        gap_min: Inches(0.0),
                        gap_max: Inches(2.0),
                        depth_min: Inches(8.0),
                        costs: vec![Cents(20_000)],
                    }],
                    lengths: Vec::new(),
                    rails: Vec::new(),
                },
            };
            let layout = LayoutDemand { layout: 0, fixed: Cents(300_000), spans: vec![span] };
            Demand { priority: 1, points: 1, fund: None, layouts: vec![layout] }
        })
        .collect();
    let market = Market {
        offers,
        trips: vec![Cents(90_000); 4],
        levels: Vec::new(),
        lots: (0..lots).map(|_| Some(Cents(rng.int(400_000, 1_500_000)))).collect(),
        fillers: Vec::new(),
        crossings: demands,
        budget: None,
        funds: Vec::new(),
        grants: Vec::new(),
    };
    (market, served)
}

fn shuffled(count: usize, rng: &mut Rng) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    for place in (1..count).rev() {
        order.swap(place, rng.int(0, place as i64) as usize);
    }
    order
}
