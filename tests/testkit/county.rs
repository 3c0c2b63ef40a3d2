//! Large seeded markets shaped like the job, plain and of the shapes that are hard to choose in.

use spanyard::choose::{Demand, LayoutDemand, Market, Offer, SpanDemand};
use spanyard::group::{Candidate, DeckRule, Figures, Fit, JointOption};
use spanyard::quantity::{Cents, Feet, Inches};

use super::market::Rng;

/// One car of the large market.
struct Car {
    section: u32,
    camber: f64,
    width: f64,
    length: f64,
    centers: f64,
    depth: f64,
    strength: f64,
    yard: usize,
    extra: i64,
}

/// What a large market is made of.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    pub name: &'static str,
    /// How often the next cars are a lot, and of how many.
    lots: (f64, i64, i64),
    /// Share of the crossings that may have a pier, and whether they must.
    piers: (f64, bool),
    /// Their lengths.
    length: (f64, f64),
    /// Their clear widths.
    widths: &'static [f64],
    camber_tolerance: f64,
    /// Share of the cars that would fit at a crossing and may go there.
    fits: f64,
    /// How much the cars carry.
    strength: f64,
}

/// Three in ten cars only in lots of two to six, a quarter of the crossings with pier layouts, two or
/// three abreast.
pub const PLAIN: Shape = Shape {
    name: "plain",
    lots: (0.1, 2, 6),
    piers: (0.25, false),
    length: (34.0, 76.0),
    widths: &[15.0, 16.0, 17.0, 18.0, 19.0, 24.0, 26.0],
    camber_tolerance: 1.0,
    fits: 1.0,
    strength: 1.0,
};

/// Long crossings that mostly need a pier.
pub const PIERS: Shape =
    Shape { name: "piers", piers: (0.9, false), length: (60.0, 120.0), ..PLAIN };

/// Three in four cars only in lots of two to eight.
pub const LOTS: Shape = Shape { name: "lots", lots: (0.4, 2, 8), ..PLAIN };

/// Few cars for each crossing, of which few match.
pub const TIGHT: Shape = Shape { name: "tight", camber_tolerance: 0.5, fits: 0.3, ..PLAIN };

/// Wide decks of three and four cars.
pub const ABREAST: Shape =
    Shape { name: "abreast", widths: &[24.0, 26.0, 28.0, 30.0, 32.0, 34.0], ..PLAIN };

/// All cars in lots of four to twelve.
pub const ALL_LOTS: Shape = Shape { name: "all lots", lots: (1.0, 4, 12), ..PLAIN };

/// No crossing without a pier.
pub const ALL_PIERS: Shape = Shape { name: "all piers", piers: (1.0, true), ..PIERS };

/// Every shape.
pub const SHAPES: [Shape; 7] = [PLAIN, PIERS, LOTS, TIGHT, ABREAST, ALL_LOTS, ALL_PIERS];

/// A market shaped like the job, plain.
pub fn county(crossings: usize, cars: usize, seed: u64) -> Market {
    shaped(crossings, cars, seed, &PLAIN)
}

/// A market shaped like the job: sections with their cars, some of them only in lots, crossings with
/// and without piers.
pub fn shaped(crossings: usize, cars: usize, seed: u64, shape: &Shape) -> Market {
    let mut rng = Rng::new(seed ^ ((crossings as u64) << 32) ^ ((cars as u64) << 8));
    let yards = (3 + cars / 250).min(14);
    let places: Vec<(f64, f64)> =
        (0..yards).map(|_| (rng.real(0.0, 160.0), rng.real(0.0, 160.0))).collect();
    let sections: Vec<(f64, f64, f64, f64)> = (0..(4 + cars / 80))
        .map(|_| {
            let length = rng.real(50.0, 91.0);
            (length, rng.real(8.6, 10.4), rng.pick(&[10.0, 13.0, 16.0]), rng.real(0.85, 1.3))
        })
        .collect();
    let mut offers = Vec::new();
    let mut figures: Vec<Car> = Vec::new();
    let mut lots: Vec<Option<Cents>> = Vec::new();
    while figures.len() < cars {
        let size =
            if rng.chance(shape.lots.0) { rng.int(shape.lots.1, shape.lots.2) as usize } else { 1 };
        let yard = rng.int(0, yards as i64 - 1) as usize;
        let family = rng.int(0, sections.len() as i64 - 1) as usize;
        let mut worth = 0;
        let first = figures.len();
        for _ in 0..size.min(cars - first) {
            let family = if rng.chance(0.3) {
                rng.int(0, sections.len() as i64 - 1) as usize
            } else {
                family
            };
            let (length, width, depth, strength) = sections[family];
            worth += (length * rng.real(110.0, 210.0)) as i64 * 100;
            figures.push(Car {
                section: family as u32,
                camber: (rng.real(0.0, 3.0) * 16.0).round() / 16.0,
                width: width + (rng.int(-2, 2) as f64) / 24.0,
                length,
                centers: length - rng.real(9.0, 10.0),
                depth,
                strength: shape.strength * strength * rng.real(0.85, 1.05),
                yard,
                extra: rng.int(0, 12) * 25_000,
            });
            offers.push(Offer {
                quantity: 1,
                yard,
                lot: None,
                price: Cents(worth),
                stock_value: Cents(0),
                quotes: Vec::new(),
            });
            if size == 1 {
                worth = 0;
            }
        }
        let made = figures.len() - first;
        if size > 1 && made > 1 {
            let price = (worth as f64 * rng.real(0.62, 0.95)) as i64;
            for offer in &mut offers[first..] {
                offer.lot = Some(lots.len());
                offer.price = Cents(0);
                offer.stock_value = Cents(price / made as i64 / 5);
            }
            lots.push(Some(Cents(price)));
        }
    }
    let trips = (0..yards).map(|_| Cents(rng.int(4, 14) * 10_000)).collect();
    let crossings = (0..crossings)
        .map(|_| {
            let place = (rng.real(0.0, 160.0), rng.real(0.0, 160.0));
            let length = rng.real(shape.length.0, shape.length.1);
            let least = rng.pick(shape.widths);
            let mut layouts = vec![vec![length]];
            if rng.chance(shape.piers.0) {
                if shape.piers.1 {
                    layouts.clear();
                }
                layouts.push(vec![length * 0.5; 2]);
                if rng.chance(0.4) {
                    layouts.push(vec![length / 3.0; 3]);
                }
            }
            Demand {
                priority: rng.pick(&[1, 1, 2, 3]),
                points: 1,
                fund: None,
                layouts: layouts
                    .into_iter()
                    .enumerate()
                    .map(|(layout, spans)| LayoutDemand {
                        layout,
                        fixed: Cents(380_000 + (spans.len() as i64 - 1) * 1_400_000),
                        spans: spans
                            .into_iter()
                            .map(|span| county_span(&figures, &places, place, span, least, shape))
                            .collect(),
                    })
                    .collect(),
            }
        })
        .collect();
    Market {
        offers,
        trips,
        levels: Vec::new(),
        fillers: Vec::new(),
        lots,
        crossings,
        budget: None,
        funds: Vec::new(),
        grants: Vec::new(),
    }
}

fn county_span(
    figures: &[Car],
    places: &[(f64, f64)],
    place: (f64, f64),
    span: f64,
    least: f64,
    shape: &Shape,
) -> SpanDemand {
    let joint = |per_foot: f64, gap_min, gap_max, depth_min| JointOption {
        gap_min: Inches(gap_min),
        gap_max: Inches(gap_max),
        depth_min: Inches(depth_min),
        costs: vec![Cents::from_dollars(per_foot * span)],
    };
    SpanDemand {
        holds: Vec::new(),
        fixed: Cents::from_dollars(92.0 * span),
        candidates: figures
            .iter()
            .enumerate()
            .filter(|(_, car)| span <= car.centers && car.strength * 80.0 >= span + 12.0)
            .filter(|(_, car)| car.length - span <= 40.0)
            .filter(|(offer, _)| {
                let draw = (*offer as u64) << 20 ^ place.0.to_bits() ^ span.to_bits();
                shape.fits >= 1.0 || Rng::new(draw).chance(shape.fits)
            })
            .map(|(offer, car)| {
                let (x, y) = places[car.yard];
                let miles = 1.25 * ((x - place.0).powi(2) + (y - place.1).powi(2)).sqrt();
                let permit = if car.length > 53.0 { 250.0 } else { 0.0 };
                let escort = if car.length > 80.0 { 2.25 * miles } else { 0.0 };
                let trim = if car.length - span > 22.0 { 1_300.0 } else { 0.0 };
                let dollars = 350.0
                    + (6.5 * miles).max(450.0)
                    + permit
                    + escort
                    + trim
                    + 550.0
                    + 14.0 * car.width * span;
                Candidate {
                    offer,
                    cost: Cents::from_dollars(dollars) + Cents(car.extra),
                    fit: Fit {
                        section: car.section,
                        apart: None,
                        measures: Figures::plain(Inches(car.camber), Feet(car.centers)),
                        width: Feet(car.width),
                        exterior_depth: Inches(car.depth),
                        laid: Feet(span),
                    },
                    haul: None,
                }
            })
            .collect(),
        rule: DeckRule {
            most_abreast: 4,
            width_least: Feet(least),
            width_most: Feet(least + 2.0),
            tolerances: Figures::plain(Inches(shape.camber_tolerance), Feet(1.0)),
            step_most: Inches(f64::INFINITY),
            joints: vec![joint(38.0, 0.0, 2.0, 8.0), joint(96.0, 4.0, 18.0, 12.0)],
            lengths: Vec::new(),
            rails: Vec::new(),
        },
    }
}
