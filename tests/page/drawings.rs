//! Every drawn dimension is the plan's number, drawn as long as it says.

use std::collections::BTreeMap;

use roxmltree::{Document, Node};
use spanyard::model::plan::{Deck, Served};
use spanyard::quantity::{Feet, Inches, feet_inches};
use spanyard::report::drawing::{camber_chart, cost_bars, deck_section, elevation, map, plan_view};

use super::county::{county, hostile};

/// Every served bridge of the demonstration.
fn bridges() -> impl Iterator<Item = &'static Served> {
    let bridges: Vec<_> = county().plan.crossings.iter().filter_map(|c| c.served()).collect();
    assert!(bridges.len() >= 5, "the demonstration serves some crossings");
    bridges.into_iter()
}

fn number(node: Node, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_else(|| panic!("no {name} on {node:?}"));
    text.parse().unwrap_or_else(|_| panic!("{name} is {text}"))
}

fn words(node: Node) -> String {
    node.descendants().filter_map(|n| n.text()).collect()
}

/// The dimensions of a drawing by what they measure, each held against the line it stands on.
fn dimensions(svg: &str) -> BTreeMap<String, Vec<f64>> {
    let document = Document::parse(svg).unwrap();
    let per_foot = number(document.root_element(), "data-px-per-ft");
    let mut found: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for dim in document.descendants().filter(|n| n.attribute("class") == Some("dim")) {
        let feet = number(dim, "data-ft");
        let path = dim.children().find_map(|n| n.attribute("d")).unwrap();
        // M x1 y H x2 ...
        let (from, rest) = path[1..].split_once(' ').unwrap();
        let to = rest.split_once('H').unwrap().1.split_once('M').unwrap().0;
        let drawn = (to.parse::<f64>().unwrap() - from.parse::<f64>().unwrap()) / per_foot;
        let what = dim.attribute("data-what").unwrap().to_owned();
        // Coordinates have two decimals.
        assert!((drawn - feet).abs() < 0.03 / per_foot + 1e-9, "{what}: {drawn} for {feet}");
        if what != "gap" {
            let text = words(dim);
            assert!(text.ends_with(&feet_inches(Feet(feet))), "{what}: {text} for {feet}");
        }
        found.entry(what).or_default().push(feet);
    }
    found
}

fn near(found: &[f64], expected: &[f64], what: &str) {
    assert_eq!(found.len(), expected.len(), "{what}");
    for (a, b) in found.iter().zip(expected) {
        assert!((a - b).abs() < 1e-9, "{what}: {found:?} for {expected:?}");
    }
}

#[test]
fn a_cross_section_has_the_decks_widths() {
    let inputs = county().inputs;
    for deck in bridges().flat_map(|bridge| &bridge.decks) {
        let svg = deck_section::draw(inputs, deck, "s");
        let found = dimensions(&svg);
        let of = |what: &str| found.get(what).cloned().unwrap_or_default();
        let crossing = inputs.crossing(deck.site.crossing);
        let rails = inputs.rules.rail.width_ft * 2.0;
        near(&of("clear-required"), &[crossing.clear_width.0], "clear width required");
        near(&of("clear"), &[(deck.total_width - rails).0], "clear width");
        near(&of("total"), &[deck.total_width.0], "total");
        near(&of("required"), &[deck.required_width.0], "required");
        let widths: Vec<f64> =
            deck.cars.iter().map(|placed| inputs.car(placed.car).width.unwrap().0).collect();
        near(&of("car"), &widths, "cars");
        let gap = deck.joint.as_ref().map(|joint| Feet::from(joint.gap).0);
        let gaps: Vec<f64> = gap.into_iter().cycle().take(deck.cars.len() - 1).collect();
        near(&of("gap"), &gaps, "gaps");
        let parts: f64 = widths.iter().chain(&gaps).sum();
        near(&[parts], &of("total"), "cars and gaps add up");
        steps(deck, &svg);
    }
}

/// Every drawing of a bridge has a bar of scale, as long as it says.
#[test]
fn every_drawing_of_a_bridge_has_a_bar_of_scale() {
    let inputs = county().inputs;
    for bridge in bridges() {
        let mut drawings =
            vec![elevation::draw(inputs, bridge, "e"), plan_view::draw(inputs, bridge, "p")];
        drawings.extend(bridge.decks.iter().map(|deck| deck_section::draw(inputs, deck, "s")));
        for svg in drawings {
            let scale = &dimensions(&svg)["scale"];
            assert!(*scale == [5.0] || *scale == [10.0], "{scale:?}");
        }
    }
}

/// The belly of a fish-belly is drawn as deep as its plates are, and the top stays the car's profile.
#[test]
fn a_fish_belly_is_drawn_deeper_at_mid_length() {
    let mut inputs = county().inputs.clone();
    let bridge = bridges().find(|bridge| {
        let deck = &bridge.decks[0];
        bridge.decks.len() == 1
            && deck.cars.iter().all(|p| inputs.car(p.car).girder.plates.is_some())
    });
    let bridge = bridge.unwrap();
    let straight = elevation::draw(&inputs, bridge, "e");
    for placed in &bridge.decks[0].cars {
        let plates = inputs.cars[placed.car.0].girder.plates.as_mut().unwrap();
        plates.web_depth_at_trucks_in = Some(plates.web.width_in - Inches(10.0));
    }
    let belly = elevation::draw(&inputs, bridge, "e");
    assert!(belly.contains("Fish-belly") && !straight.contains("Fish-belly"));
    let depths = |svg: &str| {
        let document = Document::parse(svg).unwrap();
        let girder = document.descendants().find(|n| n.attribute("class") == Some("girder"));
        let girder = girder.unwrap();
        (number(girder, "data-depth-in"), number(girder, "data-depth-at-bolsters-in"))
    };
    let (middle, ends) = depths(&belly);
    assert!((middle - ends - 10.0).abs() < 1e-9);
    assert_eq!(depths(&straight), (middle, middle));
    // Bottom and top of the girder at mid-length and at the bolsters, out of its path.
    let at = |svg: &str| -> (f64, f64) {
        let document = Document::parse(svg).unwrap();
        let per_foot = number(document.root_element(), "data-px-per-ft");
        let girder = document.descendants().find(|n| n.attribute("class") == Some("girder"));
        let path = girder.unwrap().children().find_map(|n| n.attribute("d")).unwrap().to_owned();
        let curves: Vec<Vec<f64>> = path
            .split('Q')
            .skip(1)
            .map(|part| {
                let part = part.split(['H', 'V']).next().unwrap();
                part.split_whitespace().map(|n| n.parse().unwrap()).collect()
            })
            .collect();
        // A quadratic's middle lies halfway between the middle of its ends and its turn.
        let middle = |curve: &[f64]| (curve[1] + curve[3]) / 2.0;
        let inches = |px: f64| px / per_foot * 12.0;
        let (bottom, top) = (&curves[0], &curves[1]);
        (inches(middle(bottom) - middle(top)), inches(bottom[3] - top[3]))
    };
    let (drawn_middle, drawn_ends) = at(&belly);
    assert!((drawn_middle - middle).abs() < 0.05, "{drawn_middle} for {middle}");
    assert!((drawn_ends - ends).abs() < 0.05, "{drawn_ends} for {ends}");
}

/// The camber steps at the joints.
fn steps(deck: &Deck, svg: &str) {
    let inputs = county().inputs;
    let document = Document::parse(svg).unwrap();
    let steps = document.descendants().filter(|n| n.attribute("class") == Some("step"));
    let found: Vec<f64> = steps.map(|node| number(node, "data-in")).collect();
    let camber = |at: usize| inputs.car(deck.cars[at].car).camber.unwrap();
    let expected: Vec<f64> =
        (1..deck.cars.len()).map(|at| (camber(at) - camber(at - 1)).abs().0).collect();
    near(&found, &expected, "steps");
}

#[test]
fn an_elevation_has_the_spans_lengths_and_cambers() {
    let inputs = county().inputs;
    for bridge in bridges() {
        let svg = elevation::draw(inputs, bridge, "e");
        let found = dimensions(&svg);
        let mut spans: Vec<f64> = bridge.decks.iter().map(|deck| deck.span.0).collect();
        let first = bridge.decks.first().unwrap();
        let cars: Vec<_> = first.cars.iter().map(|placed| inputs.car(placed.car)).collect();
        let alike = cars
            .iter()
            .all(|car| car.length == cars[0].length && car.truck_centers == cars[0].truck_centers);
        if bridge.decks.len() == 1 && alike {
            near(&found["span"], &spans, "span");
            near(&found["length"], &[cars[0].length.unwrap().0], "length");
            near(&found["truck-centers"], &[cars[0].truck_centers.unwrap().0], "truck centers");
        } else {
            let mut drawn = found["span"].clone();
            for list in [&mut drawn, &mut spans] {
                list.sort_by(f64::total_cmp);
                list.dedup();
            }
            near(&drawn, &spans, "spans");
        }
        let document = Document::parse(&svg).unwrap();
        let notes = document.descendants().filter(|n| n.attribute("class") == Some("note"));
        for note in notes.filter(|n| n.attribute("data-what") == Some("overhang")) {
            let feet = number(note, "data-ft");
            assert!(words(note).contains(&feet_inches(Feet(feet))));
            let known = bridge.decks.iter().any(|deck| {
                deck.cars.iter().any(|placed| {
                    let length = inputs.car(placed.car).length.unwrap();
                    ((length - deck.span) / 2.0 - Feet(feet)).abs().0 < 1e-9
                })
            });
            assert!(known, "overhang {feet}");
        }
        let cambers: Vec<f64> = document
            .descendants()
            .filter(|n| n.attribute("class") == Some("camber"))
            .map(|node| number(node, "data-in"))
            .collect();
        let greatest = |deck: &Deck| {
            let cambers = deck.cars.iter().map(|placed| inputs.car(placed.car).camber.unwrap());
            cambers.fold(Inches(f64::NEG_INFINITY), Inches::max).0
        };
        for deck in &bridge.decks {
            assert!(cambers.contains(&greatest(deck)), "{cambers:?}");
        }
    }
}

#[test]
fn a_plan_view_has_every_span_and_their_sum() {
    for bridge in bridges() {
        let found = dimensions(&plan_view::draw(county().inputs, bridge, "p"));
        let spans: Vec<f64> = bridge.decks.iter().map(|deck| deck.span.0).collect();
        near(&found["span"], &spans, "spans");
        if spans.len() > 1 {
            // From bearing to bearing on each pier; all with piers have 5.5 ft in the crossings file.
            let piers = 5.5 * (spans.len() - 1) as f64;
            near(&found["bridge"], &[spans.iter().sum::<f64>() + piers], "bridge");
        }
    }
}

#[test]
fn bars_are_as_long_as_their_cents_and_add_up() {
    let report = county();
    let svg = cost_bars::draw(report.inputs, report.plan, "c");
    let document = Document::parse(&svg).unwrap();
    let per_dollar = number(document.root_element(), "data-px-per-usd");
    let mut rows: BTreeMap<i64, i64> = BTreeMap::new();
    for bar in document.descendants().filter(|n| n.attribute("data-cents").is_some()) {
        let cents = number(bar, "data-cents");
        // A bar of nothing is not drawn.
        let Some(rect) = bar.children().find(|n| n.has_tag_name("rect")) else {
            assert_eq!(cents, 0.0);
            continue;
        };
        assert!((number(rect, "width") - cents / 100.0 * per_dollar).abs() < 0.02);
        *rows.entry(number(rect, "y") as i64).or_default() += cents as i64;
    }
    let drawn: Vec<i64> = rows.into_values().collect();
    // By priority, as the board's table has them.
    let priority =
        |served: &&Served| report.inputs.crossing(served.decks[0].site.crossing).priority;
    let mut served: Vec<_> = bridges().collect();
    served.sort_by_key(priority);
    let totals: Vec<i64> = served.iter().map(|bridge| bridge.total().0).collect();
    assert_eq!(drawn, totals);
}

#[test]
fn camber_windows_span_the_chosen_decks() {
    let report = county();
    let svg = camber_chart::draw(report.inputs, report.plan, "c");
    let document = Document::parse(&svg).unwrap();
    let mut drawn: Vec<String> = document
        .descendants()
        .filter(|n| n.attribute("class") == Some("window"))
        .map(|n| {
            let crossing = n.attribute("data-crossing").unwrap();
            format!("{crossing} {} {}", number(n, "data-low-in"), number(n, "data-high-in"))
        })
        .collect();
    let mut expected: Vec<String> = bridges()
        .flat_map(|bridge| &bridge.decks)
        .map(|deck| {
            let cambers = deck.cars.iter().map(|p| report.inputs.car(p.car).camber.unwrap().0);
            let (low, high) =
                cambers.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), c| (a.min(c), b.max(c)));
            format!("{} {low} {high}", report.inputs.crossing(deck.site.crossing).id)
        })
        .collect();
    drawn.sort();
    expected.sort();
    assert_eq!(drawn, expected);
}

#[test]
fn the_map_has_every_yard_crossing_and_haul() {
    let report = county();
    let svg = map::draw(report.inputs, report.plan, "m");
    let document = Document::parse(&svg).unwrap();
    let of = |class: &str| {
        let nodes = document.descendants().filter(|n| n.attribute("class") == Some(class));
        nodes.collect::<Vec<_>>()
    };
    assert_eq!(of("yard").len(), report.inputs.yards.len());
    assert_eq!(of("crossing").len(), report.inputs.crossings.len());
    assert_eq!(of("scale").len(), 2);
    let hauled: f64 = of("haul").into_iter().map(|haul| number(haul, "data-cars")).sum();
    let placed: usize = bridges().flat_map(|b| &b.decks).map(|deck| deck.cars.len()).sum();
    assert_eq!(hauled, placed as f64);
}

#[test]
fn every_drawing_is_well_formed_named_and_described_whatever_the_names() {
    for report in [county(), &hostile()] {
        let (inputs, plan) = (report.inputs, report.plan);
        let mut drawings = vec![
            map::draw(inputs, plan, "m"),
            cost_bars::draw(inputs, plan, "c"),
            camber_chart::draw(inputs, plan, "k"),
        ];
        for bridge in plan.crossings.iter().filter_map(|crossing| crossing.served()) {
            drawings.push(elevation::draw(inputs, bridge, "e"));
            drawings.push(plan_view::draw(inputs, bridge, "p"));
            for deck in &bridge.decks {
                drawings.push(deck_section::draw(inputs, deck, "s"));
            }
        }
        for svg in drawings {
            let document = Document::parse(&svg).unwrap_or_else(|error| panic!("{error}: {svg}"));
            let root = document.root_element();
            assert_eq!(root.attribute("role"), Some("img"));
            let ids = root.attribute("aria-labelledby").unwrap();
            for (id, tag) in ids.split(' ').zip(["title", "desc"]) {
                let node = root.children().find(|n| n.attribute("id") == Some(id)).unwrap();
                assert!(node.has_tag_name(tag) && words(node).len() > 10, "{tag} of {ids}");
            }
            assert!(!document.descendants().any(|n| n.has_tag_name("script")));
            for text in document.descendants().filter(|n| n.has_tag_name("text")) {
                let size = text.attribute("font-size").map_or(15.0, |size| size.parse().unwrap());
                assert!(size >= 13.0, "lettering of {size}");
            }
        }
    }
}

/// A car whose plates are not measured is drawn as deep as a measured one of its section, and dashed.
#[test]
fn an_unmeasured_girder_is_as_deep_as_its_section_and_dashed() {
    let report = county();
    let mut found = 0;
    for served in report.plan.crossings.iter().filter_map(|crossing| crossing.served()) {
        let svg = elevation::draw(report.inputs, served, "d");
        let document = Document::parse(&svg).unwrap();
        let girders: Vec<_> =
            document.descendants().filter(|n| n.attribute("class") == Some("girder")).collect();
        let depths: Vec<f64> = girders
            .iter()
            .map(|girder| girder.attribute("data-depth-in").unwrap().parse().unwrap())
            .collect();
        let sections: Vec<_> = served
            .decks
            .iter()
            .map(|deck| report.inputs.car(deck.cars[0].car).section.clone().unwrap())
            .collect();
        if sections.len() > 1 && sections.windows(2).all(|pair| pair[0] == pair[1]) {
            assert!(depths.windows(2).all(|pair| pair[0] == pair[1]), "{depths:?}");
            found += 1;
        }
        for (deck, girder) in served.decks.iter().zip(&girders) {
            let cars = deck.cars.iter().map(|placed| report.inputs.car(placed.car));
            let measured = cars.into_iter().any(|car| car.girder.plates.is_some());
            let dashed = girder.descendants().any(|n| n.attribute("stroke-dasharray").is_some());
            if !measured {
                assert!(dashed && svg.contains("Dashed girder"));
            }
        }
    }
    assert!(found > 0, "a bridge of several spans of one section");
}
