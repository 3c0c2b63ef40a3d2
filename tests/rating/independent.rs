//! Ten thousand random girders under random trains, against a second reckoning that shares nothing with
//! the program's: sections by moments about the top, trains put axle by axle at breakpoints of their
//! paths, rating factors from the written formulas (docs/method.md). Where both reckon the same, they
//! agree to rounding; and against the least factor over all sections the program is never above it.

use spanyard::model::car::{GirderPlates, MemberCondition};
use spanyard::model::rules::{OwnVehicle, Rules};
use spanyard::quantity::{CubicInches, Feet, Inches, Kips, Ksi, Percent};
use spanyard::rate::{Rating, posting::Posting};

use crate::rating::support::{car, crossing, plate, rules};

const CASES: u64 = 10_000;

/// Numbers from a seed (splitmix64).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        low + (high - low) * ((z >> 11) as f64 / (1u64 << 53) as f64)
    }

    fn whole(&mut self, low: u32, high: u32) -> u32 {
        (self.between(f64::from(low), f64::from(high) + 1.0) as u32).min(high)
    }
}

/// A girder of plates, by its own reckoning.
#[derive(Clone, Copy)]
struct Girder {
    webs: f64,
    web: f64,
    depth: f64,
    depth_at_trucks: f64,
    top: (f64, f64),
    bottom: (f64, f64),
}

/// Section moduli at the underside and the top, depth of web above and below the centroid, area of the
/// webs and of all plates.
struct Cut {
    bottom: f64,
    top: f64,
    above: f64,
    below: f64,
    area: f64,
    steel: f64,
}

impl Girder {
    /// The section where the web is `depth` deep, by moments about the top face.
    fn cut(&self, depth: f64) -> Cut {
        let total = self.top.1 + depth + self.bottom.1;
        let plates = [
            (self.top.0, 0.0, self.top.1),
            (self.webs * self.web, self.top.1, self.top.1 + depth),
            (self.bottom.0, self.top.1 + depth, total),
        ];
        let moment = |power: i32| {
            let of = |(b, from, to): (f64, f64, f64)| {
                b * (to.powi(power + 1) - from.powi(power + 1)) / f64::from(power + 1)
            };
            plates.iter().map(|&p| of(p)).sum::<f64>()
        };
        let (area, first, second) = (moment(0), moment(1), moment(2));
        let y = first / area;
        let inertia = second - area * y * y;
        Cut {
            bottom: inertia / (total - y),
            top: inertia / y,
            above: y - self.top.1,
            below: self.top.1 + depth - y,
            area: self.webs * self.web * depth,
            steel: area,
        }
    }

    fn depth_at(&self, from_middle: f64, centers: f64) -> f64 {
        let part = (from_middle.abs() / (centers / 2.0)).min(1.0);
        self.depth + (self.depth_at_trucks - self.depth) * part
    }
}

/// Share of yield by lateral buckling, LRFD 6.10.8.2.3.
fn sideways(length_ft: f64, flange: (f64, f64), web: f64, compressed: f64, fy: f64) -> f64 {
    let r = flange.0 / (12.0 * (1.0 + compressed * web / (3.0 * flange.0 * flange.1))).sqrt();
    let ratio = 12.0 * length_ft / r;
    let (lp, lr) = ((29_000.0 / fy).sqrt(), std::f64::consts::PI * (29_000.0 / (0.7 * fy)).sqrt());
    if ratio <= lp {
        1.0
    } else if ratio <= lr {
        1.0 - 0.3 * (ratio - lp) / (lr - lp)
    } else {
        std::f64::consts::PI.powi(2) * 29_000.0 / (fy * ratio * ratio)
    }
}

/// Axles as (place behind the first, load), both ways round.
fn ways(loads: &[f64], spacings: &[f64]) -> [Vec<(f64, f64)>; 2] {
    let mut at = 0.0;
    let mut axles = vec![(0.0, loads[0])];
    for (gap, load) in spacings.iter().zip(&loads[1..]) {
        at += gap;
        axles.push((at, *load));
    }
    let back = axles.iter().rev().map(|(x, p)| (at - x, *p)).collect();
    [axles, back]
}

/// Moment at `x` on a span with the first axle at `head`; axles off the span do nothing.
fn moment(axles: &[(f64, f64)], head: f64, x: f64, span: f64) -> f64 {
    let of = |(behind, load): &(f64, f64)| {
        let p = head + behind;
        if p <= 0.0 || p >= span {
            0.0
        } else if p <= x {
            load * p * (span - x) / span
        } else {
            load * x * (span - p) / span
        }
    };
    axles.iter().map(of).sum()
}

/// Greatest moment at one section: some axle stands there.
fn most_at(ways: &[Vec<(f64, f64)>; 2], x: f64, span: f64) -> f64 {
    let at = |axles: &Vec<(f64, f64)>| {
        axles.iter().map(|(behind, _)| moment(axles, x - behind, x, span)).fold(0.0, f64::max)
    };
    ways.iter().map(at).fold(0.0, f64::max)
}

/// Greatest moment anywhere: under an axle, as it goes over the span, between the places where another
/// axle comes onto the span or leaves it. There it is a parabola, whose vertex three points give.
fn most_anywhere(ways: &[Vec<(f64, f64)>; 2], span: f64) -> f64 {
    let mut most: f64 = 0.0;
    let axles = &ways[0]; // turning the train round only mirrors the span
    for (own, _) in axles {
        let mut breaks = vec![0.0, span];
        for (other, _) in axles {
            breaks.extend(
                [own - other, span + own - other].iter().filter(|b| **b > 0.0 && **b < span),
            );
        }
        breaks.sort_by(f64::total_cmp);
        for pair in breaks.windows(2) {
            let (low, high) = (pair[0], pair[1]);
            let at = |x: f64| moment(axles, x - own, x, span);
            // Inside by a hair, so that the same axles are on the span at all three points.
            let hair = (high - low) * 1e-9;
            let (a, c) = (low + hair, high - hair);
            let b = f64::midpoint(a, c);
            let (fa, fb, fc) = (at(a), at(b), at(c));
            most = most.max(fa).max(fb).max(fc);
            let bend = fa - 2.0 * fb + fc;
            if bend < -1e-9 {
                let x = b + (c - a) / 4.0 * (fa - fc) / bend;
                if x > a && x < c {
                    most = most.max(at(x));
                }
            }
        }
    }
    most
}

/// Greatest shear just inside a bearing, with `end` of deck beyond both bearings.
fn most_shear(ways: &[Vec<(f64, f64)>; 2], span: f64, end: f64) -> f64 {
    let mut most: f64 = 0.0;
    for axles in ways {
        for (own, _) in axles {
            for place in [0.0, -end, span, span + end] {
                let of = |(behind, load): &(f64, f64)| {
                    let p = place - own + behind;
                    if p < -end - 1e-9 || p > span + end + 1e-9 {
                        0.0
                    } else if p < -1e-12 {
                        load * -p / span
                    } else {
                        load * (1.0 - p / span)
                    }
                };
                // Axles on the far end lift, and may as well not be there yet.
                most = most.max(axles.iter().map(|a| of(a).max(0.0)).sum());
            }
        }
    }
    most
}

/// Greatest moment over a bearing of what stands on the end beyond it.
fn most_beyond(ways: &[Vec<(f64, f64)>; 2], end: f64) -> f64 {
    let mut most: f64 = 0.0;
    for axles in ways {
        for (own, _) in axles {
            let of = |(behind, load): &(f64, f64)| {
                let arm = end - (behind - own);
                if (behind - own) < -1e-12 || arm <= 0.0 { 0.0 } else { load * arm }
            };
            most = most.max(axles.iter().map(of).sum());
        }
    }
    most
}

struct Tally {
    unlike: Vec<String>,
    above: Vec<String>,
    compared: usize,
}

impl Tally {
    /// Both reckon the same: they agree to rounding.
    fn alike(&mut self, what: &str, case: u64, program: f64, second: f64) {
        self.compared += 1;
        if (program - second).abs() > 1e-6 * second.abs().max(0.1) {
            self.unlike.push(format!("case {case}: {what} {program}, by the second way {second}"));
        }
    }

    /// The program may be below.
    fn not_above(&mut self, what: &str, case: u64, program: f64, second: f64) {
        self.compared += 1;
        // Below 0.1 nothing may pass, and the dead load alone is too much: no number is sought there.
        // A girder that tapers is rated at sections so near to each other that a ten-thousandth is left.
        if second > 0.1 && program > second * (1.0 + 1e-4) {
            self.above.push(format!("case {case}: {what} {program}, at most {second}"));
        }
    }
}

#[test]
fn ten_thousand_random_girders_and_trains() {
    let mut tally = Tally { unlike: vec![], above: vec![], compared: 0 };
    for case in 0..CASES {
        one(case, &mut tally);
    }
    let (unlike, above) = (&tally.unlike, &tally.above);
    let shown = |list: &[String]| list.iter().take(12).cloned().collect::<Vec<_>>().join("\n");
    assert!(above.is_empty(), "{} on the unsafe side:\n{}", above.len(), shown(above));
    assert!(unlike.is_empty(), "{} unlike:\n{}", unlike.len(), shown(unlike));
    assert!(tally.compared > 50_000, "{} comparisons", tally.compared);
}

fn one(case: u64, tally: &mut Tally) {
    let mut dice = Dice(20_261_128 + case * 7_919);
    let mut rules: Rules = rules();
    let count = dice.whole(1, 9);
    let loads: Vec<f64> = (0..count).map(|_| dice.between(3.0, 34.0)).collect();
    let gaps: Vec<f64> = (1..count).map(|_| dice.between(3.5, 22.0)).collect();
    rules.vehicle.push(OwnVehicle {
        name: "random".to_owned(),
        axles_kip: loads.iter().copied().map(Kips).collect(),
        spacings_ft: gaps.iter().copied().map(Feet).collect(),
        source: "seed".to_owned(),
    });
    let span = dice.between(9.0, 100.0);
    let end_limit = if dice.whole(0, 2) == 0 { dice.between(0.0, 10.0) } else { 6.0 };
    rules.screen.max_overhang_ft = Feet(end_limit);

    let webs = dice.whole(1, 3);
    let tapers = dice.whole(0, 1) == 1;
    let web = dice.between(0.45, 0.8);
    let depth = dice.between(18.0, 34.0);
    let wide = if webs == 1 { (9.0, 12.0) } else { (18.0, 22.0) };
    let girder = Girder {
        webs: f64::from(webs),
        web,
        depth,
        depth_at_trucks: if tapers { depth * dice.between(0.4, 1.1) } else { depth },
        top: (dice.between(wide.0, wide.1), dice.between(0.8, 1.4)),
        bottom: (dice.between(wide.0, wide.1), dice.between(0.8, 1.4)),
    };
    let inside = if dice.whole(0, 3) == 0 { 0.0 } else { dice.between(0.0, 6.0) };
    let centers = span + 2.0 * inside;
    let length = centers + dice.between(0.0, 24.0);
    // No car weighs less than its own plates: 490 lb per cubic foot of steel.
    let plates = girder.cut(girder.depth.min(girder.depth_at_trucks)).steel;
    let weight = dice.between(25.0, 80.0).max(1.001 * 0.490 * plates / 144.0 * length);
    let width = dice.between(8.0, 10.5);
    let fy = dice.between(26.0, 50.0);
    let unbraced = dice.between(3.0, 30.0);

    let mut car = car();
    let none = Percent(0.0);
    car.girder.plates = Some(GirderPlates {
        webs: webs as u8,
        web: plate(girder.depth, web),
        web_depth_at_trucks_in: tapers.then_some(Inches(girder.depth_at_trucks)),
        top_flange: plate(girder.top.0, girder.top.1),
        bottom_flange: plate(girder.bottom.0, girder.bottom.1),
        top_cover: None,
        bottom_cover: None,
        web_loss_pct: none,
        top_loss_pct: none,
        bottom_loss_pct: none,
    });
    car.members.main_girder = Some(MemberCondition::Sound);
    car.girder.unbraced_ft = Some(Feet(unbraced));
    car.steel_yield = Some(Ksi(fy));
    (car.length, car.truck_centers) = (Some(Feet(length)), Some(Feet(centers)));
    (car.width, car.weight) = (Some(Feet(width)), Some(Kips(weight)));
    let rating = Rating::of(&car, &crossing(span, &["random"]), Feet(span), &rules).unwrap();
    let of = &rating.vehicles[0];

    // Sections.
    let at = |from_middle: f64| girder.cut(girder.depth_at(from_middle, centers));
    let deep = girder.cut(girder.depth.max(girder.depth_at_trucks));
    let single = webs == 1;
    let reached = if single { sideways(unbraced, girder.top, web, deep.above, fy) } else { 1.0 };
    let sagging = |x: f64| {
        let cut = at(x - span / 2.0);
        cut.bottom.min(cut.top * reached)
    };
    let end = ((length - span) / 2.0).min(end_limit);
    let flange = girder.bottom.0 / girder.bottom.1 / if single { 2.0 } else { 1.0 };
    let limit = (29_000.0 / fy).sqrt() * if single { 0.38 } else { 1.14 };
    let plate_share = (limit / flange).powi(2).min(1.0);
    let below = if single && inside > 0.01 {
        sideways(end + span / 2.0, girder.bottom, web, deep.below, fy)
    } else {
        1.0
    };
    let bearing = at(span / 2.0);
    let hogging = bearing.top.min(bearing.bottom * below.min(plate_share));
    if !tapers {
        let found = rating.girder.modulus_at(Feet(0.0));
        tally.alike("section modulus", case, found.0, sagging(span / 2.0));
        let _: CubicInches = found;
    }

    // Loads: 17 psf of timber on the car and a gap of 18 in, the heavier joint, one rail.
    let dead = weight / length + 17.0 * (width + 1.5) / 1000.0 + 0.160 + 0.050;
    let ways = ways(&loads, &gaps);
    let live = most_anywhere(&ways, span);
    let shear = most_shear(&ways, span, end_limit);
    let impact = (50.0 / (span + 125.0)).min(0.30);
    tally.alike("dead load", case, rating.dead.components().0, dead);
    let moment_found = &of.on_span.allowable.moment;
    tally.alike("moment", case, moment_found.truck.moment.0, live);
    tally.alike("shear", case, of.on_span.allowable.shear.truck.shear.0, shear);

    // Bending in both forms: capacity per modulus, load factors of dead and live.
    let bending = |stress: f64, on_dead: f64, on_live: f64, on_beyond: f64| {
        let at = |modulus: f64, dead: f64, live: f64| (stress * fy * modulus / 12.0 - dead) / live;
        let middle_dead = on_dead * dead * span * span / 8.0;
        let beyond = at(
            hogging,
            on_dead * dead * end * end / 2.0,
            on_beyond * most_beyond(&ways, end).max(1e-12),
        );
        let written = at(sagging(span / 2.0), middle_dead, on_live * live).min(beyond);
        let sections = (1..=60).map(|i| {
            let x = span * f64::from(i) / 120.0;
            let of = most_at(&ways, x, span);
            at(sagging(x), on_dead * dead * x * (span - x) / 2.0, on_live * of)
        });
        (written, sections.fold(beyond, f64::min))
    };
    let fcs = 0.85;
    let (asr, asr_least) = bending(0.55, 1.0, 1.0 + impact, 1.30);
    let (lrfr, lrfr_least) = bending(fcs, 1.25, 1.45 * 1.2 * 1.33, 1.45 * 1.2 * 1.33);
    let found = (of.bending.by_allowable().factor.0, of.bending.by_factored().factor.0);
    if !tapers {
        tally.alike("RF bending, allowable stress", case, found.0, asr);
        tally.alike("RF bending, load and resistance", case, found.1, lrfr);
    }
    tally.not_above("RF bending, allowable stress", case, found.0, asr_least);
    tally.not_above("RF bending, load and resistance", case, found.1, lrfr_least);

    // Shear: the weaker of the webs at the bearing and at mid-span.
    let carries = |cut: &Cut| {
        let slender = cut.area / girder.webs / web / web;
        let root = (5.0 * 29_000.0 / fy).sqrt();
        let c = if slender <= 1.12 * root {
            1.0
        } else if slender <= 1.40 * root {
            1.12 * root / slender
        } else {
            1.57 * root * root / (slender * slender)
        };
        cut.area * c
    };
    let webs_carry = carries(&bearing).min(carries(&at(0.0)));
    let beside = dead * span / 2.0;
    let forms = of.shear.as_ref().unwrap();
    let asr_shear = (0.33 * fy * webs_carry - beside) / (shear * (1.0 + impact));
    let lrfr_shear = (fcs * 0.58 * fy * webs_carry - 1.25 * beside) / (1.45 * 1.2 * 1.33 * shear);
    tally.alike("RF shear, allowable stress", case, forms.by_allowable().factor.0, asr_shear);
    tally.alike("RF shear, load and resistance", case, forms.by_factored().factor.0, lrfr_shear);

    // The sign.
    let least = of.least.0;
    tally.not_above(
        "least RF",
        case,
        least,
        asr_least.min(lrfr_least).min(asr_shear).min(lrfr_shear),
    );
    let tons = loads.iter().sum::<f64>() / 2.0;
    let by_hand = if least >= 1.0 {
        f64::INFINITY
    } else if least < 0.3 {
        0.0
    } else {
        (tons / 0.7 * (least - 0.3) + 1e-9).floor()
    };
    let sign = match of.posting {
        Posting::NotNeeded => f64::INFINITY,
        posting => posting.sign().unwrap().0,
    };
    if (least - 1.0).abs() > 1e-8 {
        assert_eq!(sign, by_hand, "case {case}: {tons} tons at {least}");
    }
}
