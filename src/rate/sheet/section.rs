//! The sections of the main girder that the rating used, plate by plate; its steel; its slenderness.

use itertools::Itertools;

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use crate::model::car::Plate;
use crate::model::inventory::Inventory;
use crate::quantity::{CubicInches, Feet, Inches, Percent, SquareInches};
use crate::rate::girder::Girder;
use crate::rate::section::{NetPlates, Section};
use crate::rate::slender;
use crate::rate::strength::Strength;

/// One part per section that the rating used.
pub(super) fn parts(case: &Case) -> Vec<Part> {
    let girder = &case.rating.girder;
    match &girder.strength {
        Strength::Stated { stated, loss_pct, net, .. } => {
            vec![stated_part(case, *stated, *loss_pct, *net)]
        }
        Strength::Plates { measured, net, .. } => {
            let mut parts = vec![thinning(case, net)];
            for from_middle in distances(case) {
                let Some(section) = girder.section_at(from_middle) else { continue };
                let title = if from_middle.0 == 0.0 && girder.tapers() {
                    "Section at mid-span".to_owned()
                } else if girder.tapers() {
                    format!("Section {} from mid-span", Amount::from(from_middle))
                } else {
                    "Section, the same over the whole length".to_owned()
                };
                let mut part = Part::new(title);
                let depth = web_depth(&section, net);
                if from_middle.0 > 0.0 {
                    part.push(taper(case, measured.web.width_in, depth, from_middle));
                }
                properties(&mut part, girder, net, &section, depth);
                parts.push(part);
            }
            parts
        }
    }
}

/// Distances from mid-span of every section that a shown rating factor holds at.
fn distances(case: &Case) -> Vec<Feet> {
    let rating = case.rating;
    let half = rating.span() / 2.0;
    if !rating.girder.tapers() {
        return vec![Feet(0.0)];
    }
    let sections = rating.vehicles.iter().flat_map(|vehicle| {
        vehicle.bending.allowable.iter().chain(&vehicle.bending.factored).map(|f| f.section)
    });
    // The bearing, for shear, is always among them.
    sections
        .chain([Feet(0.0)])
        .map(|section| (half - section).abs())
        .chain([Feet(0.0)])
        .sorted_by(Feet::total_cmp)
        .dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9)
        .collect()
}

fn stated_part(case: &Case, stated: CubicInches, loss: Percent, net: CubicInches) -> Part {
    let mut part = Part::new("Section modulus");
    let place = super::given::place(case.car, "main_girder");
    let who = case.car.evidence(Inventory::MainGirder).to_string();
    part.push(Line::new("Loss of the girder", "p", loss).source(who).at(place));
    part.push(
        Line::new("Section modulus left, taken over the whole length", "S", net)
            .by("S0 (1 - p / 100)", format!("{} x (1 - {} / 100)", n(stated), n(loss))),
    );
    part
}

/// Thickness of each plate after its loss.
fn thinning(case: &Case, net: &NetPlates) -> Part {
    let mut part = Part::new("Thickness left after corrosion");
    let Strength::Plates { measured, losses, .. } = &case.rating.girder.strength else {
        return part;
    };
    let mut thinned =
        |label: &str, symbol: &str, loss: (&str, Percent), was: Inches, left: Inches| {
            part.push(Line::new(label, format!("{symbol}'"), left).by(
                format!("{symbol} (1 - {} / 100)", loss.0),
                format!("{} x (1 - {} / 100)", n(was), n(loss.1)),
            ));
        };
    let web = ("pw", losses.web_pct);
    let (top, bottom) = (("pt", losses.top_pct), ("pb", losses.bottom_pct));
    thinned("Web", "tw", web, measured.web.thickness_in, net.web_thickness);
    let plates = [
        ("Top flange", "ttf", top, Some(measured.top_flange), Some(net.top_flange)),
        ("Bottom flange", "tbf", bottom, Some(measured.bottom_flange), Some(net.bottom_flange)),
        ("Top cover plate", "ttc", top, measured.top_cover, net.top_cover),
        ("Bottom cover plate", "tbc", bottom, measured.bottom_cover, net.bottom_cover),
    ];
    for (label, symbol, loss, was, left) in plates {
        if let (Some(was), Some(left)) = (was, left) {
            thinned(label, symbol, loss, was.thickness_in, left.thickness_in);
        }
    }
    part
}

fn web_depth(section: &Section, net: &NetPlates) -> Inches {
    Inches(section.shear_area.0 / (f64::from(net.webs) * net.web_thickness.0))
}

fn taper(case: &Case, middle: Inches, depth: Inches, from_middle: Feet) -> Line {
    let girder = &case.rating.girder;
    let trucks = match &girder.strength {
        Strength::Plates { measured, .. } => measured.web_depth_at_trucks_in.unwrap_or(middle),
        Strength::Stated { .. } => middle,
    };
    let centers = girder.truck_centers.unwrap_or(Feet(1.0));
    Line::new("Web depth, in a straight line between the ordinates", "Dx", depth)
        .by(
            "D + (Dt - D) min(u / (Lt / 2), 1)",
            format!(
                "{} + ({} - {}) x min({} / ({} / 2), 1)",
                n(middle),
                n(trucks),
                n(middle),
                n(from_middle),
                n(centers)
            ),
        )
        .source("a fish-belly that keeps its depth for a while is deeper, never shallower")
}

/// A plate as it lies in the section, from below.
struct Layer {
    name: &'static str,
    symbol: &'static str,
    width: Inches,
    height: Inches,
    /// Height of what lies under it.
    base: Inches,
    /// Height of its middle above the underside.
    middle: Inches,
}

impl Layer {
    fn area(&self) -> SquareInches {
        self.width * self.height
    }
}

fn layers(net: &NetPlates, depth: Inches) -> Vec<Layer> {
    let webs = net.web_thickness * f64::from(net.webs);
    let flat = |name, symbol, plate: Option<&Plate>| {
        plate.map(|plate| (name, symbol, plate.width_in, plate.thickness_in))
    };
    let stack = [
        flat("Bottom cover plate", "bc", net.bottom_cover.as_ref()),
        flat("Bottom flange", "bf", Some(&net.bottom_flange)),
        Some(("Webs", "w", webs, depth)),
        flat("Top flange", "tf", Some(&net.top_flange)),
        flat("Top cover plate", "tc", net.top_cover.as_ref()),
    ];
    let mut base = Inches(0.0);
    stack
        .into_iter()
        .flatten()
        .map(|(name, symbol, width, height)| {
            let under = base;
            base += height;
            Layer { name, symbol, width, height, base: under, middle: under + height / 2.0 }
        })
        .collect()
}

fn properties(part: &mut Part, girder: &Girder, net: &NetPlates, section: &Section, depth: Inches) {
    let layers = layers(net, depth);
    for layer in &layers {
        let (width, formula) = if layer.symbol == "w" {
            let webs = n(Amount::count(net.webs.into()));
            (format!("{webs} x {}", n(net.web_thickness)), "n tw' D".to_owned())
        } else {
            (n(layer.width), format!("b{0} t{0}'", layer.symbol))
        };
        part.push(
            Line::new(format!("{}, area", layer.name), format!("A{}", layer.symbol), layer.area())
                .by(formula, format!("{width} x {}", n(layer.height))),
        );
        part.push(
            Line::new(
                format!("{}, its middle above the underside", layer.name),
                format!("y{}", layer.symbol),
                layer.middle,
            )
            .by(
                "sum of h under it + h / 2",
                format!("{} + {} / 2", n(layer.base), n(layer.height)),
            ),
        );
    }
    let sum = |of: &dyn Fn(&Layer) -> String| layers.iter().map(of).join(" + ");
    part.push(Line::new("Area", "A", section.area).by("sum of Ai", sum(&|l| n(l.area()))));
    part.push(Line::new("Centroid above the underside", "y", section.centroid).by(
        "sum of Ai yi / A",
        format!(
            "({}) / {}",
            sum(&|l| format!("{} x {}", n(l.area()), n(l.middle))),
            n(section.area)
        ),
    ));
    let own = |l: &Layer| {
        format!(
            "{} x {}^3 / 12 + {} x ({} - {})^2",
            n(l.width),
            n(l.height),
            n(l.area()),
            n(l.middle),
            n(section.centroid)
        )
    };
    part.push(
        Line::new("Second moment of area", "I", section.inertia)
            .by("sum of bi hi^3 / 12 + Ai (yi - y)^2", sum(&own)),
    );
    part.push(
        Line::new("Section modulus at the underside", "Sb", section.bottom)
            .by("I / y", format!("{} / {}", n(section.inertia), n(section.centroid))),
    );
    let top = format!("{} / ({} - {})", n(section.inertia), n(section.depth), n(section.centroid));
    part.push(
        Line::new("Depth over all", "d", section.depth).by("sum of hi", sum(&|l| n(l.height))),
    );
    part.push(Line::new("Section modulus at the top", "St", section.top).by("I / (d - y)", top));
    let reached = girder.compression.top;
    let modulus = section.bottom.min(section.top * reached);
    let (formula, numbers) = if reached < 1.0 {
        (
            "min(Sb, r St)",
            format!(
                "min({}, {} x {})",
                n(section.bottom),
                Amount::share_of_yield(reached).bare(),
                n(section.top)
            ),
        )
    } else {
        ("min(Sb, St)", format!("min({}, {})", n(section.bottom), n(section.top)))
    };
    part.push(Line::new("Section modulus that limits sagging", "S", modulus).by(formula, numbers));
    let webs = n(Amount::count(net.webs.into()));
    part.push(
        Line::new("Area of the webs, which carry the shear", "Aw", section.shear_area)
            .by("n tw' D", format!("{webs} x {} x {}", n(net.web_thickness), n(depth))),
    );
}

/// The steel.
pub(super) fn steel(case: &Case) -> Part {
    let mut part = Part::new("Steel");
    let steel = &case.rating.girder.steel;
    let (column, source) = match case.car.steel_yield {
        Some(_) => ("yield_ksi", steel.words()),
        None => (
            "year_built",
            format!(
                "{}; AASHTO MBE tables 6A.6.2.1-1 and 6B.5.2.1 (from memory), rules steel_by_year",
                steel.words()
            ),
        ),
    };
    part.push(
        Line::new("Yield strength", "Fy", steel.strength)
            .source(source)
            .at(super::given::place(case.car, column)),
    );
    part.push(
        Line::new("Young's modulus", "E", case.rules.rating.elastic_modulus_ksi)
            .source("AASHTO LRFD 6.4.1 (from memory)")
            .at("rules rating.elastic_modulus_ksi"),
    );
    part
}

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
