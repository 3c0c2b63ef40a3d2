//! The slenderness of the main girder's plates, line by line.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use super::section::web_depth;
use crate::model::car::Plate;
use crate::quantity::Inches;
use crate::rate::slender;
use crate::rate::strength::Strength;

/// The slenderness checks, where there are plates.
pub(super) fn slenderness(case: &Case) -> Option<Part> {
    let girder = &case.rating.girder;
    let Strength::Plates { net, middle, at_trucks, .. } = &girder.strength else { return None };
    let deepest = if middle.depth >= at_trucks.depth { middle } else { at_trucks };
    let mut part = Part::new("Slender plates: does the girder reach its yield strength?");
    let (steel, elastic) = (girder.steel.strength, case.rules.rating.elastic_modulus_ksi);
    let (e, fy) = (n(elastic), n(steel));
    let thickness = |plate: Option<&Plate>| plate.map_or(Inches(0.0), |p| p.thickness_in);
    let above = net.top_flange.thickness_in + thickness(net.top_cover.as_ref());
    let web = web_depth(deepest, net);
    let compressed = (deepest.depth - deepest.centroid - above).max(Inches(0.0)).min(web);
    part.push(Line::new("Depth of the web in compression, at its deepest", "Dc", compressed).by(
        "d - y - what lies above the web",
        format!("{} - {} - {}", n(deepest.depth), n(deepest.centroid), n(above)),
    ));
    let (width, top) = (n(net.top_flange.width_in), n(net.top_flange.thickness_in));
    let (below, bottom) = (n(net.bottom_flange.width_in), n(net.bottom_flange.thickness_in));
    for slender in &girder.slenderness {
        let name = sentence(slender.part);
        let (measured, limit) = match (slender.part, net.webs) {
            ("top flange", 1) => {
                (format!("{width} / (2 x {top})"), format!("0.38 x sqrt({e} / {fy})"))
            }
            ("top flange", _) => {
                (format!("{width} / {top}"), format!("0.57 x sqrt(4 x {e} / {fy})"))
            }
            ("bottom flange", 1) => {
                (format!("{below} / (2 x {bottom})"), format!("0.38 x sqrt({e} / {fy})"))
            }
            ("bottom flange", _) => {
                (format!("{below} / {bottom}"), format!("0.57 x sqrt(4 x {e} / {fy})"))
            }
            ("web", _) => (
                format!("max({}, 2 x {}) / {}", n(web), n(compressed), n(net.web_thickness)),
                format!("min(5.7 x sqrt({e} / {fy}), 150)"),
            ),
            _ => {
                let radius = slender::flange_radius(&net.top_flange, net.web_thickness, compressed);
                part.push(
                    Line::new("Radius of gyration of the top flange, sideways", "r_t", radius).by(
                        "b / sqrt(12 (1 + Dc tw / (3 b t)))",
                        format!(
                            "{width} / sqrt(12 x (1 + {} x {} / (3 x {width} x {top})))",
                            n(compressed),
                            n(net.web_thickness)
                        ),
                    ),
                );
                let unbraced = case.car.girder.unbraced_ft.map_or("0".to_owned(), n);
                (format!("12 x {unbraced} / {}", n(radius)), format!("sqrt({e} / {fy})"))
            }
        };
        let line = match slender.ratio {
            Some(ratio) => Line::new(format!("{name}, measured"), "", Amount::slenderness(ratio))
                .by(slender.formula, measured),
            None => Line::new(format!("{name}, measured"), "", Amount::words("not known")),
        };
        part.push(line);
        let verdict = match (slender.keeps(), slender.reduced_to) {
            (Some(true), _) => "kept",
            (Some(false), Some(_)) => "not kept: the strength is reduced",
            (Some(false), None) => "not kept: an engineer must reduce the strength",
            (None, _) => "cannot be said",
        };
        part.push(
            Line::new(format!("{name}, limit"), "", Amount::slenderness(slender.limit))
                .by(slender.limit_formula, limit)
                .source(format!("AASHTO LRFD 6.10, 6.11 (from memory); {verdict}")),
        );
        if let (Some(share), Some(ratio)) = (slender.reduced_to, slender.ratio) {
            part.push(match slender.part {
                "bottom flange" => over_the_bearing(share, slender.limit, ratio),
                _ => sideways("top flange", "r", share, ratio, &e, &fy),
            });
        }
    }
    Some(part)
}

/// The share of the yield strength that a slender bottom flange reaches where it is compressed.
fn over_the_bearing(share: f64, limit: f64, ratio: f64) -> Line {
    let (limit, ratio) = (Amount::slenderness(limit).bare(), Amount::slenderness(ratio).bare());
    Line::new(
        "Share of the yield strength that the bottom flange reaches over the bearings",
        "rp",
        Amount::share_of_yield(share),
    )
    .by("(limit / measured)^2", format!("({limit} / {ratio})^2"))
    .source("plate buckling falls with the square; our own, on the safe side")
}

/// The share of the yield strength that a flange reaches before it buckles sideways.
pub(super) fn sideways(
    flange: &str,
    symbol: &str,
    share: f64,
    ratio: f64,
    e: &str,
    fy: &str,
) -> Line {
    let measured = Amount::slenderness(ratio).bare();
    let pi = r(std::f64::consts::PI);
    let line = Line::new(
        format!("Share of the yield strength that the {flange} reaches"),
        symbol,
        Amount::share_of_yield(share),
    );
    let line = if share >= 1.0 {
        line.by("1, since Lb / r_t <= sqrt(E / Fy)", "1")
    } else if share >= 0.7 {
        line.by(
            "1 - 0.3 (Lb / r_t - lp) / (lr - lp), lp = sqrt(E / Fy), lr = pi sqrt(E / (0.7 Fy))",
            format!(
                "1 - 0.3 x ({measured} - sqrt({e} / {fy})) / ({pi} x sqrt({e} / (0.7 x {fy})) - \
                 sqrt({e} / {fy}))"
            ),
        )
    } else {
        line.by("pi^2 E / (Fy (Lb / r_t)^2)", format!("{pi}^2 x {e} / ({fy} x {measured}^2)"))
    };
    line.source("AASHTO LRFD 6.10.8.2.3 (from memory)")
}

fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or(String::new(), |first| first.to_uppercase().chain(chars).collect())
}
