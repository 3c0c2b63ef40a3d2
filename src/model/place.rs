//! Places on the map and places in a file.

use std::fmt;
use std::sync::Arc;

use serde::Serialize;

use crate::quantity::Miles;

/// A point on the map, in decimal degrees (WGS 84), north and east positive.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Position {
    /// Latitude, -90 to 90.
    pub latitude_deg: f64,
    /// Longitude, -180 to 180.
    pub longitude_deg: f64,
}

/// Mean radius of the Earth, 6,371.0088 km (IUGG mean radius R1), in statute miles.
const EARTH_RADIUS_MI: f64 = 6_371.008_8 / 1.609_344;

impl Position {
    /// Great-circle distance (haversine formula).
    ///
    /// ```
    /// use spanyard::model::place::Position;
    /// let a = Position { latitude_deg: 0.0, longitude_deg: 0.0 };
    /// let b = Position { latitude_deg: 0.0, longitude_deg: 90.0 };
    /// // A quarter of the equator of a sphere of radius 3,958.76 mi.
    /// assert!((a.distance(b).0 - 6218.4).abs() < 0.1);
    /// ```
    #[must_use]
    pub fn distance(self, other: Self) -> Miles {
        let (lat_a, lat_b) = (self.latitude_deg.to_radians(), other.latitude_deg.to_radians());
        let half_lat = (lat_b - lat_a) / 2.0;
        let half_lon = (other.longitude_deg - self.longitude_deg).to_radians() / 2.0;
        let h = half_lat.sin().powi(2) + lat_a.cos() * lat_b.cos() * half_lon.sin().powi(2);
        Miles(2.0 * EARTH_RADIUS_MI * h.sqrt().min(1.0).asin())
    }
}

/// Where a row stands: file and line, as printed behind every input of a calculation.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RowPlace {
    /// The file as named on the command line.
    pub file: Arc<str>,
    /// Line number, from 1, of the row's first line.
    pub line: u64,
}

impl fmt::Display for RowPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.file, self.line)
    }
}

impl Serialize for RowPlace {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
