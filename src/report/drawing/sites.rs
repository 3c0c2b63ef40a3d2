//! A bare map of crossings and yards, on which a place can be pointed at: the drawing says as data how its
//! units become degrees.

use super::WIDTH;
use super::lettering::fitted;
use super::map::{Projection, frame};
use super::svg::{Anchor, HEAVY, INK, MEDIUM, PAPER, Rect, SMALL, STEEL, Svg, THIN};
use crate::model::place::Position;

/// Room around the positions, where a new one may lie.
const MARGIN: f64 = 70.0;

/// A place on the map.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub position: Position,
    /// Whether it is a yard.
    pub is_yard: bool,
}

/// Draws the sites; none where there is no place to start from.
#[must_use]
pub fn draw(sites: &[Site], key: &str) -> Option<String> {
    if sites.is_empty() {
        return None;
    }
    let positions: Vec<Position> = sites.iter().map(|site| site.position).collect();
    let frame = frame(&positions, 1.0, MARGIN);
    let projection = Projection::fitting(&positions, frame, MARGIN);
    let mut svg = Svg::new(key, "Crossings and yards", WIDTH);
    svg.data("west", projection.west);
    svg.data("north", projection.north);
    svg.data("left", projection.at.0);
    svg.data("top", projection.at.1);
    svg.data("per-lon", projection.per_lon);
    svg.data("per-lat", projection.per_lat);
    svg.rect(frame, PAPER, THIN);
    for site in sites {
        let (x, y) = projection.place(site.position);
        let name = if site.is_yard { "data-yard" } else { "data-crossing" };
        svg.open(&[("class", "site"), (name, &site.name)]);
        if site.is_yard {
            svg.rect(Rect { x: x - 6.0, y: y - 6.0, w: 12.0, h: 12.0 }, STEEL, HEAVY);
        } else {
            svg.circle((x, y), 4.0, INK, MEDIUM);
        }
        svg.label((x + 9.0, y + 4.0), Anchor::Start, SMALL, &fitted(&site.name, SMALL, 150.0));
        svg.close();
    }
    let names: Vec<&str> = sites.iter().map(|site| site.name.as_str()).collect();
    Some(svg.finish(frame.y + frame.h + 2.0, &format!("Positions of {}.", names.join(", "))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_data_turn_a_point_back_into_degrees() {
        let at = |latitude_deg, longitude_deg| Position { latitude_deg, longitude_deg };
        let site = |name: &str, position| Site { name: name.to_owned(), position, is_yard: false };
        let sites = [site("A", at(44.0, -40.0)), site("B", at(44.5, -41.0))];
        let drawn = draw(&sites, "sites").unwrap();
        let tree = roxmltree::Document::parse(&drawn).unwrap();
        let data = |name: &str| -> f64 {
            tree.root_element().attribute(format!("data-{name}").as_str()).unwrap().parse().unwrap()
        };
        let circles: Vec<_> =
            tree.descendants().filter(|node| node.has_tag_name("circle")).collect();
        for (circle, site) in circles.iter().zip(&sites) {
            let of = |name: &str| circle.attribute(name).unwrap().parse::<f64>().unwrap();
            let longitude = data("west") + (of("cx") - data("left")) / data("per-lon");
            let latitude = data("north") - (of("cy") - data("top")) / data("per-lat");
            // A tenth of a unit is drawn, some hundred feet here.
            assert!((longitude - site.position.longitude_deg).abs() < 1e-3, "{longitude}");
            assert!((latitude - site.position.latitude_deg).abs() < 1e-3, "{latitude}");
        }
        assert_eq!(circles.len(), 2);
        assert_eq!(draw(&[], "sites"), None);
    }
}
