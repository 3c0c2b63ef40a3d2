//! Lines of a county, its roads and rivers, to be drawn under the map: GeoJSON, RFC 7946 (from memory).

use serde_json::Value;

use crate::model::place::Position;

/// Lines and areas to draw under a map.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Each a chain of positions.
    pub chains: Vec<Chain>,
}

/// A chain of positions.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// What it is.
    pub kind: ChainKind,
    /// Its positions.
    pub positions: Vec<Position>,
}

/// What a chain is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChainKind {
    /// The edge of an area: county or township.
    Edge,
    /// A road, or any other line.
    Road,
    /// A river, creek or canal: its properties say `waterway` or `water`.
    Water,
}

/// Why a text is no outline.
#[derive(Debug, thiserror::Error)]
pub enum NotAnOutline {
    /// No JSON.
    #[error("is no GeoJSON: {0}")]
    Json(#[from] serde_json::Error),
    /// Nothing to draw.
    #[error("has no line and no area: a FeatureCollection of LineString or Polygon is drawn")]
    Empty,
    /// A position outside the globe.
    #[error(
        "has the position {0}, {1}: longitude and latitude in degrees are wanted, in this order"
    )]
    Position(f64, f64),
}

impl Outline {
    /// Reads lines and areas of GeoJSON; points are left out.
    ///
    /// # Errors
    /// When it is no GeoJSON, or holds nothing that can be drawn.
    pub fn parse(text: &str) -> Result<Self, NotAnOutline> {
        let value: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))?;
        let mut outline = Self::default();
        outline.take(&value, false)?;
        if outline.chains.is_empty() { Err(NotAnOutline::Empty) } else { Ok(outline) }
    }

    fn take(&mut self, value: &Value, water: bool) -> Result<(), NotAnOutline> {
        let of = |key: &str| value.get(key).and_then(Value::as_array).into_iter().flatten();
        match value.get("type").and_then(Value::as_str) {
            Some("FeatureCollection") => {
                of("features").try_for_each(|feature| self.take(feature, water))
            }
            Some("GeometryCollection") => {
                of("geometries").try_for_each(|geometry| self.take(geometry, water))
            }
            Some("Feature") => match value.get("geometry") {
                Some(geometry) => self.take(geometry, is_water(value.get("properties"))),
                None => Ok(()),
            },
            Some("LineString") => self.chain(value.get("coordinates"), line(water)),
            Some("MultiLineString") => {
                of("coordinates").try_for_each(|chain| self.chain(Some(chain), line(water)))
            }
            Some("Polygon") => {
                of("coordinates").try_for_each(|ring| self.chain(Some(ring), area(water)))
            }
            Some("MultiPolygon") => of("coordinates")
                .flat_map(|polygon| polygon.as_array().into_iter().flatten())
                .try_for_each(|ring| self.chain(Some(ring), area(water))),
            _ => Ok(()),
        }
    }

    fn chain(&mut self, positions: Option<&Value>, kind: ChainKind) -> Result<(), NotAnOutline> {
        let listed = positions.and_then(Value::as_array).into_iter().flatten();
        let mut positions = Vec::new();
        for position in listed {
            let at = |index: usize| position.get(index).and_then(Value::as_f64);
            let (Some(lon), Some(lat)) = (at(0), at(1)) else { continue };
            if !(-180.0..=180.0).contains(&lon) || !(-90.0..=90.0).contains(&lat) {
                return Err(NotAnOutline::Position(lon, lat));
            }
            positions.push(Position { latitude_deg: lat, longitude_deg: lon });
        }
        if positions.len() > 1 {
            self.chains.push(Chain { kind, positions });
        }
        Ok(())
    }
}

fn line(water: bool) -> ChainKind {
    if water { ChainKind::Water } else { ChainKind::Road }
}

fn area(water: bool) -> ChainKind {
    if water { ChainKind::Water } else { ChainKind::Edge }
}

/// Whether a feature's properties speak of water.
fn is_water(properties: Option<&Value>) -> bool {
    const WORDS: [&str; 6] = ["water", "waterway", "river", "stream", "creek", "canal"];
    let Some(properties) = properties.and_then(Value::as_object) else { return false };
    properties.iter().any(|(key, value)| {
        let value = value.as_str().map(str::to_lowercase).unwrap_or_default();
        WORDS.contains(&key.to_lowercase().as_str()) || WORDS.contains(&value.as_str())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_areas_are_taken_and_points_are_not() {
        let text = r#"{"type": "FeatureCollection", "features": [
            {"type": "Feature", "properties": {"name": "county"}, "geometry":
                {"type": "Polygon", "coordinates": [[[-40, 44], [-39, 44], [-39, 45], [-40, 44]]]}},
            {"type": "Feature", "properties": {"waterway": "river"}, "geometry":
                {"type": "LineString", "coordinates": [[-40, 44, 210], [-39.5, 44.5, 205]]}},
            {"type": "Feature", "properties": null, "geometry":
                {"type": "MultiLineString", "coordinates": [[[-40, 44], [-39, 45]], [[0, 0]]]}},
            {"type": "Feature", "properties": {}, "geometry":
                {"type": "Point", "coordinates": [-40, 44]}},
            {"type": "Feature", "properties": {}, "geometry": null}
        ]}"#;
        let outline = Outline::parse(text).unwrap();
        let kinds: Vec<_> = outline.chains.iter().map(|c| (c.kind, c.positions.len())).collect();
        assert_eq!(kinds, [(ChainKind::Edge, 4), (ChainKind::Water, 2), (ChainKind::Road, 2)]);
        assert_eq!(outline.chains[1].positions[1].latitude_deg, 44.5);
    }

    #[test]
    fn what_cannot_be_drawn_is_refused() {
        for (text, words) in [
            ("x", "no GeoJSON"),
            ("{}", "no line and no area"),
            (r#"{"type": "Point", "coordinates": [1, 2]}"#, "no line and no area"),
            (r#"{"type": "LineString", "coordinates": [[500000, 4000000], [1, 2]]}"#, "degrees"),
        ] {
            let error = Outline::parse(text).unwrap_err().to_string();
            assert!(error.contains(words), "{text}: {error}");
        }
    }
}
