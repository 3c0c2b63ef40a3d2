//! Ten thousand random girders under random trains, against a second reckoning that shares nothing with
//! the program's: sections by moments about the top, trains put axle by axle at breakpoints of their
//! paths, rating factors from the written formulas (docs/method.md). Both agree to rounding: of girders
//! that taper too, whose least factor over all sections is sought here stretch by stretch.

use spanyard::model::car::{GirderPlates, MemberCondition};
use spanyard::model::rules::{OwnVehicle, Rules};
use spanyard::quantity::{Feet, Inches, Kips, KipsPerFoot, Ksi, Percent, Psf};
use spanyard::rate::{Rating, posting::Posting};

use crate::rating::second_way::{
    Cut, Girder, least_along, most_anywhere, most_beyond, most_shear, sideways, ways,
};
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

struct Tally {
    unlike: Vec<String>,
    above: Vec<String>,
    compared: usize,
}

/// How far the two ways may be from each other, as a share.
const ROUNDING: f64 = 1e-9;

impl Tally {
    /// Both reckon the same: they agree to rounding.
    fn alike(&mut self, what: &str, case: u64, program: f64, second: f64) {
        self.compared += 1;
        if (program - second).abs() > ROUNDING * second.abs().max(1.0) {
            self.unlike.push(format!("case {case}: {what} {program}, by the second way {second}"));
        }
    }

    /// A rating factor: alike too. Where the dead load alone is more than the strength at some section,
    /// both say that it is.
    fn factor(&mut self, what: &str, case: u64, program: f64, second: f64) {
        if program > second + ROUNDING * second.abs().max(1.0) && program > 0.0 {
            self.above.push(format!("case {case}: {what} {program}, at most {second}"));
        }
        if program > 0.0 || second > 0.0 {
            self.alike(what, case, program, second);
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
    // What lies on the cars: deck, wearing surface, an overlay to come, joint, rail.
    let [deck, wearing, overlay] =
        [dice.between(0.0, 90.0), dice.between(0.0, 30.0), dice.between(0.0, 25.0)];
    let [joint, rail] = [dice.between(0.0, 0.4), dice.between(0.0, 0.3)];
    let system = rules.deck.iter_mut().find(|system| system.name == "timber").unwrap();
    (system.dead_psf, system.wearing_psf) = (Psf(deck), Psf(wearing));
    rules.rating.future_overlay_psf = Psf(overlay);
    rules.rail.weight_kip_per_ft = KipsPerFoot(rail);
    for (index, kind) in rules.joint.iter_mut().enumerate() {
        kind.weight_kip_per_ft = KipsPerFoot(if index == 0 { joint } else { joint / 2.0 });
    }
    let span = dice.between(9.0, 100.0);
    let end_limit = if dice.whole(0, 2) == 0 { dice.between(0.0, 10.0) } else { 6.0 };
    rules.screen.max_overhang_ft = Feet(end_limit);

    let webs = dice.whole(1, 3);
    let tapers = dice.whole(0, 1) == 1;
    let web = dice.between(0.45, 0.8);
    // Deep enough for the span that a live load is left to most of them.
    let depth = dice.between(14.0, 22.0) + dice.between(0.1, 0.4) * span;
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
    }

    // Loads: on the car's width and a gap of 18 in, the heavier joint, one rail.
    let over = (width + 1.5) / 1000.0;
    let dead = weight / length + deck * over + joint + rail;
    let surface = (wearing + overlay) * over;
    let ways = ways(&loads, &gaps);
    let (live, peak) = most_anywhere(&ways, span);
    let shear = most_shear(&ways, span, end_limit);
    let impact = (50.0 / (span + 125.0)).min(0.30);
    tally.alike("dead load", case, rating.dead.components().0, dead);
    tally.alike("wearing surface", case, rating.dead.surfacing().0, surface);
    let moment_found = &of.on_span.allowable.moment;
    tally.alike("moment", case, moment_found.truck.moment.0, live);
    tally.alike("shear", case, of.on_span.allowable.shear.truck.shear.0, shear);

    // Bending in both forms: capacity per modulus, load factors of dead load, surface and live load.
    let fcs = 0.85;
    let factored = 1.45 * 1.2 * 1.33;
    let forms = [(0.55, 1.0, 1.0, 1.0 + impact, 1.30), (fcs, 1.25, 1.5, factored, factored)];
    let factor =
        |(stress, on_dead, on_surface, ..): (f64, f64, f64, f64, f64), s, per_load, live: f64| {
            let acts: f64 = (on_dead * dead + on_surface * surface) * per_load;
            (stress * fy * s / 12.0 - acts) / live
        };
    // At the section of the greatest moment with the dead load's moment at mid-span; over a bearing.
    let mut bending = forms.map(|form| {
        let written = factor(form, sagging(peak), span * span / 8.0, form.3 * live);
        match form.4 * most_beyond(&ways, end) {
            beyond if beyond > 0.0 => written.min(factor(form, hogging, end * end / 2.0, beyond)),
            _ => written,
        }
    });
    if tapers {
        let least = least_along(&ways, span, |x, live| {
            let s = sagging(x);
            forms.map(|form| factor(form, s, x * (span - x) / 2.0, form.3 * live))
        });
        bending = [bending[0].min(least[0]), bending[1].min(least[1])];
    }
    let [asr, lrfr] = bending;
    let found = (of.bending.by_allowable().factor.0, of.bending.by_factored().factor.0);
    tally.factor("RF bending, allowable stress", case, found.0, asr);
    tally.factor("RF bending, load and resistance", case, found.1, lrfr);

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
    let beside = (dead * span / 2.0, surface * span / 2.0);
    let forms = of.shear.as_ref().unwrap();
    let asr_shear = (0.33 * fy * webs_carry - beside.0 - beside.1) / (shear * (1.0 + impact));
    let lrfr_shear = (fcs * 0.58 * fy * webs_carry - 1.25 * beside.0 - 1.5 * beside.1)
        / (1.45 * 1.2 * 1.33 * shear);
    tally.factor("RF shear, allowable stress", case, forms.by_allowable().factor.0, asr_shear);
    tally.factor("RF shear, load and resistance", case, forms.by_factored().factor.0, lrfr_shear);

    // The sign.
    let least = of.least.0;
    tally.factor("least RF", case, least, asr.min(lrfr).min(asr_shear).min(lrfr_shear));
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
