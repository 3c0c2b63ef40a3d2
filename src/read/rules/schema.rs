//! Every key of the rules with what it may hold. The limits keep out what cannot be meant: another
//! unit, a percentage for a share, a sign turned round.

use crate::model::car::CarKind;
use crate::model::rules::{Damage, Laid, Level, ServeFirst};

/// What a key holds.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kind {
    /// A number, least and greatest included.
    Number(f64, f64),
    /// A number above the first and up to the second.
    Above(f64, f64),
    /// A number from the first and below the second.
    Below(f64, f64),
    /// A whole number, least and greatest included.
    Whole(i64, i64),
    /// `true` or `false`.
    Bool,
    /// Text, not blank.
    Text,
    /// One of a few words.
    Word(fn() -> Vec<&'static str>),
    /// A list of some of a few words, at least so many.
    Words(fn() -> Vec<&'static str>, usize),
    /// A day.
    Date,
    /// A list of whole numbers, each from the first to the second, exactly so many.
    Wholes(i64, i64, usize),
    /// A list of numbers, each above the first and up to the second, at least and at most so many.
    Numbers(f64, f64, usize, usize),
}

/// Keys of one table.
pub(super) type Keys = &'static [(&'static str, Kind)];

use Kind::{Above, Below, Bool, Date, Number, Numbers, Text, Whole, Wholes, Word, Words};

fn levels() -> Vec<&'static str> {
    Level::ALL.iter().map(|word| word.word()).collect()
}

fn laid() -> Vec<&'static str> {
    Laid::ALL.iter().map(|word| word.word()).collect()
}

fn serve_first() -> Vec<&'static str> {
    ServeFirst::ALL.iter().map(|word| word.word()).collect()
}

fn kinds() -> Vec<&'static str> {
    CarKind::ALL.iter().map(|word| word.word()).collect()
}

fn damages() -> Vec<&'static str> {
    Damage::ALL.iter().map(|word| word.word()).collect()
}

/// Multiple presence: a factor for one, two, three and four or more lanes loaded.
const PRESENCE: Kind = Numbers(0.0, 1.5, 4, 4);

/// Tables, by path: a key given replaces the built-in one, the others stay.
pub(super) const TABLES: &[(&str, Keys)] = &[
    ("agency", &[("name", Text), ("contact", Text), ("reply_days", Whole(1, 365))]),
    (
        "purchase",
        &[
            ("order_date", Date),
            ("lead_time_days", Whole(0, 1000)),
            ("stock_value_pct", Below(0.0, 100.0)),
            ("change_tolerance_pct", Below(0.0, 100.0)),
        ],
    ),
    ("service", &[("first", Word(serve_first)), ("points", Wholes(1, 100, 9))]),
    (
        "screen",
        &[
            ("kinds_allowed", Words(kinds, 1)),
            ("primary_loss_max_pct", Number(0.0, 100.0)),
            ("secondary_loss_max_pct", Number(0.0, 100.0)),
            ("secondary_repairable", Words(damages, 0)),
            ("pick_weight_factor", Number(1.0, 3.0)),
            ("max_overhang_ft", Number(0.0, 50.0)),
        ],
    ),
    (
        "group",
        &[
            ("camber_tolerance_in", Number(0.0, 12.0)),
            ("truck_centers_tolerance_ft", Number(0.0, 20.0)),
            ("width_allowance_ft", Number(0.0, 30.0)),
        ],
    ),
    (
        "rating",
        &[
            ("allowable_stress", Bool),
            ("load_and_resistance", Bool),
            ("shear_required", Bool),
            ("deflection_bars", Bool),
            ("deflection_span_fraction", Number(100.0, 5000.0)),
            ("truck_share", Above(0.0, 1.0)),
            ("truck_share_source", Text),
            ("elastic_modulus_ksi", Number(20_000.0, 35_000.0)),
            ("future_overlay_psf", Number(0.0, 200.0)),
        ],
    ),
    (
        "rating.allowable_stress_factors",
        &[
            ("bending_inventory", Above(0.0, 1.0)),
            ("bending_operating", Above(0.0, 1.0)),
            ("shear_inventory", Above(0.0, 1.0)),
            ("shear_operating", Above(0.0, 1.0)),
            ("presence", PRESENCE),
            ("design_level", Word(levels)),
            ("legal_level", Word(levels)),
        ],
    ),
    (
        "rating.resistance_factors",
        &[
            ("resistance", Above(0.0, 1.0)),
            ("condition", Above(0.0, 1.0)),
            ("system", Above(0.0, 1.0)),
            ("condition_times_system_min", Above(0.0, 1.0)),
            ("dead", Number(1.0, 5.0)),
            ("wearing", Number(1.0, 5.0)),
            ("live_design_inventory", Number(1.0, 5.0)),
            ("live_design_operating", Number(1.0, 5.0)),
            ("live_legal", Number(1.0, 5.0)),
            ("impact", Number(0.0, 1.0)),
            ("presence", PRESENCE),
            ("design_level", Word(levels)),
        ],
    ),
    ("posting", &[("factor_floor", Below(0.0, 1.0)), ("close_below_tons", Number(0.0, 50.0))]),
    (
        "rail",
        &[
            ("usd_per_ft", Number(0.0, 10_000.0)),
            ("width_ft", Number(0.0, 5.0)),
            ("weight_kip_per_ft", Number(0.0, 2.0)),
        ],
    ),
    (
        "haul",
        &[
            ("road_factor", Number(1.0, 10.0)),
            ("usd_per_mile", Number(0.0, 1000.0)),
            ("minimum_usd", Number(0.0, 1_000_000.0)),
            ("permit_over_length_ft", Number(20.0, 200.0)),
            ("permit_over_weight_lb", Number(5_000.0, 300_000.0)),
            ("permit_usd", Number(0.0, 1_000_000.0)),
            ("escort_over_length_ft", Number(20.0, 200.0)),
            ("escort_usd_per_mile", Number(0.0, 1000.0)),
        ],
    ),
    (
        "crane",
        &[("mobilization_usd", Number(0.0, 1_000_000.0)), ("pick_usd", Number(0.0, 1_000_000.0))],
    ),
    ("trim", &[("usd_per_end", Number(0.0, 1_000_000.0))]),
    (
        "repair",
        &[
            ("bent_usd", Number(0.0, 1_000_000.0)),
            ("cracked_usd", Number(0.0, 1_000_000.0)),
            ("corroded_usd", Number(0.0, 1_000_000.0)),
            ("missing_usd", Number(0.0, 1_000_000.0)),
        ],
    ),
    (
        "coating",
        &[
            ("sound_usd_per_ft", Number(0.0, 10_000.0)),
            ("worn_usd_per_ft", Number(0.0, 10_000.0)),
            ("failed_usd_per_ft", Number(0.0, 10_000.0)),
            ("lead_usd_per_car", Number(0.0, 1_000_000.0)),
        ],
    ),
];

/// Lists of tables, by path: a list given replaces the built-in one whole, and each of its tables
/// needs all its keys.
pub(super) const LISTS: &[(&str, Keys)] = &[
    // A yield strength in psi typed for ksi lies far outside.
    ("steel_by_year", &[("built_through", Whole(1850, 9999)), ("yield_ksi", Number(20.0, 100.0))]),
    (
        "joint",
        &[
            ("name", Text),
            ("gap_min_in", Number(0.0, 48.0)),
            ("gap_max_in", Number(0.0, 48.0)),
            ("exterior_depth_min_in", Number(0.0, 60.0)),
            ("usd_per_ft", Number(0.0, 10_000.0)),
            // Pounds typed for kips lie far outside, here and in the other weights.
            ("weight_kip_per_ft", Number(0.0, 5.0)),
        ],
    ),
    ("joint_share", &[("joint", Text), ("truck_share", Above(0.0, 1.0)), ("source", Text)]),
    (
        "deck",
        &[
            ("name", Text),
            ("usd_per_sqft", Number(0.0, 1000.0)),
            ("dead_psf", Number(0.0, 500.0)),
            ("wearing_psf", Number(0.0, 500.0)),
            ("keeps_car_deck", Bool),
        ],
    ),
    (
        "vehicle",
        &[
            ("name", Text),
            ("axles_kip", Numbers(0.0, 200.0, 1, 50)),
            ("spacings_ft", Numbers(0.0, 100.0, 0, 49)),
            ("source", Text),
        ],
    ),
    ("fund", &[("name", Text), ("usd", Number(0.0, 1e9))]),
    (
        "haul.truckload",
        &[
            // A deck has six cars at most.
            ("cars", Whole(2, 6)),
            // Kips or tons typed for pounds lie far outside.
            ("each_at_most_lb", Number(5_000.0, 300_000.0)),
            ("each_at_most_ft", Number(20.0, 200.0)),
            ("laid", Word(laid)),
            ("source", Text),
        ],
    ),
];

/// Pairs of keys of one table of which the first must not be greater than the second.
pub(super) const RISING: &[(&str, &str, &str)] = &[
    ("rating.allowable_stress_factors", "bending_inventory", "bending_operating"),
    ("rating.allowable_stress_factors", "shear_inventory", "shear_operating"),
    ("rating.resistance_factors", "live_design_operating", "live_design_inventory"),
    ("joint", "gap_min_in", "gap_max_in"),
];
