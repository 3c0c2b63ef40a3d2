//! The sections of the main girder that the rating used, plate by plate; its steel.

use itertools::Itertools;

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n};
use crate::model::car::Plate;
use crate::model::inventory::Inventory;
use crate::quantity::{CubicInches, Feet, Inches, Percent, SquareInches};
use crate::rate::girder::Girder;
use crate::rate::section::{NetPlates, Section};
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

pub(super) fn web_depth(section: &Section, net: &NetPlates) -> Inches {
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
