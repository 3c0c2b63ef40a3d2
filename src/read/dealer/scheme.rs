//! The kinds of table that the reader finds in a messy file: their columns, and people's words for them.

use std::sync::LazyLock;

use super::squeezed::squeezed;
use crate::model::crossing_columns::CrossingColumn;
use crate::model::inventory::Inventory;
use crate::read::FileKind;
use crate::read::columns::{Column, Columns};
use crate::read::haul_columns::HaulColumn;
use crate::read::yard_columns::{LotColumn, YardColumn};

/// One kind of table.
#[derive(Debug)]
pub(in crate::read) struct Scheme {
    /// Its columns.
    pub columns: &'static [Column],
    /// The names of its columns, squeezed.
    pub own: Vec<String>,
    /// People's words by our columns, squeezed.
    pub aliases: Vec<(&'static str, &'static [&'static str])>,
    /// The column that names a row.
    pub id: usize,
    /// The column that takes what is in none of ours; where there is none, such a column is a problem.
    pub notes: Option<usize>,
    /// Whether a mapping can say what the columns mean.
    pub mappable: bool,
}

type Aliases = &'static [(&'static str, &'static [&'static str])];

/// Words of a county for its crossings. Left out on purpose: "bridge", "loading", "crane capacity".
const CROSSINGS: Aliases = &[
    (
        "crossing",
        &[
            "crossingid",
            "crossingno",
            "bridgeid",
            "bridgeno",
            "bridgenumber",
            "bridge#",
            "structureid",
            "structureno",
            "structurenumber",
            "siteid",
        ],
    ),
    ("road", &["roadname", "route", "roadcarried", "street"]),
    ("span_ft", &["span", "spanlength", "clearspan"]),
    ("pier_layouts_ft", &["pierlayouts", "spanswithpiers"]),
    ("pier_usd", &["piercost", "costperpier", "pier"]),
    ("clear_width_ft", &["clearwidth", "clearroadway", "clearroadwaywidth", "widthbetweenrails"]),
    ("vehicles", &["vehicle", "designvehicle", "designvehicles"]),
    ("deck", &["decksystem", "decktype"]),
    ("most_abreast", &["carsabreast", "mostcarsabreast", "maxcarsabreast"]),
    ("haul_length_limit_ft", &["haullengthlimit", "longestload"]),
    ("haul_weight_limit_lb", &["haulweightlimit", "heaviestload"]),
    ("crane_limit_lb", &["cranelimit", "heaviestpick"]),
    ("needed_by", &["openby", "dateneeded", "neededbydate"]),
    ("fund", &["fundingsource"]),
    ("keep", &["keeptogether"]),
    ("latitude_deg", &["latitude", "lat"]),
    ("longitude_deg", &["longitude", "lon", "lng"]),
    ("least_posting_tons", &["leastposting"]),
];

/// Words for yards.
const YARDS: Aliases = &[
    ("dealer", &["seller", "vendor", "dealername"]),
    ("yard", &["yardname"]),
    ("latitude_deg", &["latitude", "lat"]),
    ("longitude_deg", &["longitude", "lon", "lng"]),
    ("loading_usd", &["loading", "loadingcharge", "loadingfee"]),
    ("trip_usd", &["trip", "tripcost", "inspectiontrip"]),
    ("minimum_order_cars", &["minimumorder", "minorder"]),
    ("price_breaks", &["pricebreak", "pricebreaks"]),
];

/// Words for lots. "Price" alone may be that of one car.
const LOTS: Aliases = &[
    ("dealer", &["seller", "vendor", "dealername"]),
    ("lot", &["lot#", "lotno", "lotnumber", "lotid"]),
    ("yard", &["yardname"]),
    ("price_usd", &["lotprice", "priceoflot", "totalprice"]),
];

/// Words for haul quotes. "Price" and "cost" alone may be that of all loads.
const HAULS: Aliases = &[
    ("dealer", &["seller", "vendor", "dealername"]),
    ("yard", &["yardname", "from"]),
    ("crossing", &["crossingid", "crossingno", "bridgeid", "bridgeno", "to"]),
    ("car", &["car#", "carno", "carnumber"]),
    ("haul_usd", &["haul", "haulperload", "perload", "priceperload"]),
    ("permit_usd", &["permit", "permits"]),
    ("escort_usd", &["escort", "escorts"]),
    ("source", &["hauler", "quotedby", "carrier"]),
    ("quoted", &["datequoted", "quotedate", "dateofquote"]),
    ("quote_expires", &["gooduntil", "validuntil", "expires"]),
];

/// The tables of cars; a mapping can explain them.
pub(super) static INVENTORY: LazyLock<Scheme> = LazyLock::new(|| Scheme {
    notes: Some(Inventory::Notes.index()),
    mappable: true,
    aliases: Inventory::EACH.iter().map(|one| (one.column().name, one.fact().aliases)).collect(),
    ..of(Inventory::ALL, &[], Inventory::Car.index())
});

static CROSSING: LazyLock<Scheme> =
    LazyLock::new(|| of(CrossingColumn::ALL, CROSSINGS, CrossingColumn::Crossing.index()));
static YARD: LazyLock<Scheme> =
    LazyLock::new(|| of(YardColumn::ALL, YARDS, YardColumn::Yard.index()));
static HAUL: LazyLock<Scheme> =
    LazyLock::new(|| of(HaulColumn::ALL, HAULS, HaulColumn::Yard.index()));
static LOT: LazyLock<Scheme> = LazyLock::new(|| of(LotColumn::ALL, LOTS, LotColumn::Lot.index()));

fn of(columns: &'static [Column], aliases: Aliases, id: usize) -> Scheme {
    let own = columns.iter().map(|column| squeezed(column.name)).collect();
    Scheme { columns, own, aliases: aliases.to_vec(), id, notes: None, mappable: false }
}

/// Whether a blank cell of the inventory's column means unknown, and not a value such as "one car", "sold
/// singly" or "no loss".
fn blank_is_unknown(column: &Column) -> bool {
    !matches!(
        column.name,
        "quantity"
            | "lot"
            | "web_loss_pct"
            | "top_loss_pct"
            | "bottom_loss_pct"
            | "web_depth_at_trucks_in"
            | "top_cover_width_in"
            | "top_cover_thickness_in"
            | "bottom_cover_width_in"
            | "bottom_cover_thickness_in"
    )
}

impl Scheme {
    /// The scheme of a kind of file; none for files that are no tables.
    pub fn of_kind(kind: FileKind) -> Option<&'static Self> {
        match kind {
            FileKind::Inventory => Some(&INVENTORY),
            FileKind::Crossings => Some(&CROSSING),
            FileKind::Yards => Some(&YARD),
            FileKind::Lots => Some(&LOT),
            FileKind::Hauls => Some(&HAUL),
            FileKind::Mapping | FileKind::Rules | FileKind::Decisions => None,
        }
    }

    /// The place of a column by its name.
    pub fn position(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.name == name)
    }

    /// Whether a blank cell of the column means unknown, and not a value such as "one car", "sold
    /// singly" or "no date".
    pub fn blank_is_unknown(&self, column: &Column) -> bool {
        if self.mappable {
            return blank_is_unknown(column);
        }
        // What is not surveyed or not known bars; what is not asked for does not.
        ["not surveyed", "not known", "not quoted"]
            .iter()
            .any(|word| column.blank.starts_with(word))
    }
}

impl Default for &'static Scheme {
    fn default() -> Self {
        &INVENTORY
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_squeezed_and_mean_one_column_each() {
        for kind in [
            FileKind::Inventory,
            FileKind::Crossings,
            FileKind::Yards,
            FileKind::Lots,
            FileKind::Hauls,
        ] {
            let scheme = Scheme::of_kind(kind).unwrap();
            let mut seen = std::collections::HashSet::new();
            for (name, aliases) in &scheme.aliases {
                assert!(scheme.position(name).is_some(), "{name}");
                for word in *aliases {
                    assert_eq!(&squeezed(word), word);
                    assert!(seen.insert(word), "{word} twice");
                }
            }
        }
    }
}
