//! The second way of reckoning a girder under a train, which shares nothing with the program's: sections by
//! moments about the top, trains put axle by axle at breakpoints of their paths.

/// A girder of plates, by its own reckoning.
#[derive(Clone, Copy)]
pub struct Girder {
    pub webs: f64,
    pub web: f64,
    pub depth: f64,
    pub depth_at_trucks: f64,
    pub top: (f64, f64),
    pub bottom: (f64, f64),
}

/// Section moduli at the underside and the top, depth of web above and below the centroid, area of the
/// webs and of all plates.
pub struct Cut {
    pub bottom: f64,
    pub top: f64,
    pub above: f64,
    pub below: f64,
    pub area: f64,
    pub steel: f64,
}

impl Girder {
    /// The section where the web is `depth` deep, by moments about the top face.
    pub fn cut(&self, depth: f64) -> Cut {
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

    pub fn depth_at(&self, from_middle: f64, centers: f64) -> f64 {
        let part = (from_middle.abs() / (centers / 2.0)).min(1.0);
        self.depth + (self.depth_at_trucks - self.depth) * part
    }
}

/// Share of yield by lateral buckling, LRFD 6.10.8.2.3.
pub fn sideways(length_ft: f64, flange: (f64, f64), web: f64, compressed: f64, fy: f64) -> f64 {
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
pub fn ways(loads: &[f64], spacings: &[f64]) -> [Vec<(f64, f64)>; 2] {
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
pub fn moment(axles: &[(f64, f64)], head: f64, x: f64, span: f64) -> f64 {
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
pub fn most_at(ways: &[Vec<(f64, f64)>; 2], x: f64, span: f64) -> f64 {
    let at = |axles: &Vec<(f64, f64)>| {
        axles.iter().map(|(behind, _)| moment(axles, x - behind, x, span)).fold(0.0, f64::max)
    };
    ways.iter().map(at).fold(0.0, f64::max)
}

/// Places of the section at which another axle comes onto the span or leaves it while the `own` axle
/// stands at the section, with both bearings.
pub fn breaks(axles: &[(f64, f64)], own: f64, span: f64) -> Vec<f64> {
    let mut breaks = vec![0.0, span];
    for (other, _) in axles {
        let these = [own - other, span + own - other];
        breaks.extend(these.iter().filter(|b| **b > 0.0 && **b < span));
    }
    breaks.sort_by(f64::total_cmp);
    breaks
}

/// Greatest moment anywhere and its section: under an axle, as it goes over the span, between the places
/// where another axle comes onto the span or leaves it. There it is a parabola, whose vertex three
/// points give.
pub fn most_anywhere(ways: &[Vec<(f64, f64)>; 2], span: f64) -> (f64, f64) {
    let mut most = (0.0, 0.0);
    let mut more = |found: f64, x: f64| {
        if found > most.0 {
            most = (found, x);
        }
    };
    let axles = &ways[0]; // turning the train round only mirrors the span
    for (own, _) in axles {
        for pair in breaks(axles, *own, span).windows(2) {
            let (low, high) = (pair[0], pair[1]);
            let at = |x: f64| moment(axles, x - own, x, span);
            // Inside by a hair, so that the same axles are on the span at all three points.
            let hair = (high - low) * 1e-9;
            let (a, c) = (low + hair, high - hair);
            let b = f64::midpoint(a, c);
            let (fa, fb, fc) = (at(a), at(b), at(c));
            more(fa, a);
            more(fb, b);
            more(fc, c);
            let bend = fa - 2.0 * fb + fc;
            if bend < -1e-9 {
                let x = b + (c - a) / 4.0 * (fa - fc) / bend;
                if x > a && x < c {
                    more(at(x), x);
                }
            }
        }
    }
    most
}

/// The least of both `factors(x, moment at x)` over the half span: axle by axle and stretch by stretch,
/// on each of which the moment under the axle is smooth, by a section to about each foot and narrowing
/// down between the two beside each that is lower than its neighbors.
pub fn least_along(
    ways: &[Vec<(f64, f64)>; 2],
    span: f64,
    factors: impl Fn(f64, f64) -> [f64; 2],
) -> [f64; 2] {
    let mut least = [f64::INFINITY; 2];
    for i in 1..=40 {
        let x = span * f64::from(i) / 80.0;
        let here = factors(x, most_at(ways, x, span));
        least = [least[0].min(here[0]), least[1].min(here[1])];
    }
    for axles in ways {
        for (own, _) in axles {
            let values = |x: f64| {
                let live = moment(axles, x - own, x, span);
                if live > 0.0 { factors(x, live) } else { [f64::INFINITY; 2] }
            };
            for pair in breaks(axles, *own, span).windows(2) {
                let (low, high) = (pair[0], pair[1].min(span / 2.0));
                if high - low < 1e-9 {
                    continue;
                }
                let parts = (4 + (high - low) as usize).min(16);
                let at = |i: usize| low + (high - low) * i as f64 / parts as f64;
                let sections: Vec<[f64; 2]> = (0..=parts).map(|i| values(at(i))).collect();
                for form in [0, 1] {
                    for i in 0..=parts {
                        let (before, after) = (i.saturating_sub(1), (i + 1).min(parts));
                        let here = sections[i][form];
                        let lowest = here <= sections[before][form].min(sections[after][form]);
                        if !lowest || least[form] <= 0.0 || here > least[form] * 1.005 + 0.005 {
                            continue;
                        }
                        let (mut a, mut b) = (at(before), at(after));
                        for _ in 0..42 {
                            let part = (b - a) * 0.382;
                            if values(a + part)[form] < values(b - part)[form] {
                                b -= part;
                            } else {
                                a += part;
                            }
                        }
                        let found = values(f64::midpoint(a, b))[form];
                        least[form] = found.min(here).min(least[form]);
                    }
                }
            }
        }
    }
    least
}

/// Greatest shear just inside a bearing, with `end` of deck beyond both bearings.
pub fn most_shear(ways: &[Vec<(f64, f64)>; 2], span: f64, end: f64) -> f64 {
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
pub fn most_beyond(ways: &[Vec<(f64, f64)>; 2], end: f64) -> f64 {
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
