//! The columns of the crossings file.

use super::columns::{Content, columns, money, number, whole};
use super::crossing::Keep;

/// Limits of a latitude.
pub(crate) const LATITUDE: Content = number(
    "deg",
    -90.0,
    90.0,
    "write decimal degrees, north positive, perhaps it is the longitude",
);
/// Limits of a longitude.
pub(crate) const LONGITUDE: Content =
    number("deg", -180.0, 180.0, "write decimal degrees, east positive");

/// Least and greatest span, in feet.
pub(crate) const SPAN: (f64, f64) = (5.0, 120.0);

columns! {
    /// A column of the crossings file.
    CrossingColumn {
        Crossing "crossing" Required, Content::Name, "The agency's ID of the crossing", "";
        Road "road" Required, Content::Text, "The road it carries", "";
        Span "span_ft" Optional, number("ft", SPAN.0, SPAN.1, "write decimal feet, perhaps it was typed in inches or meters"),
            "Span of a bridge without piers, from bearing to bearing", "only layouts with piers";
        PierLayouts "pier_layouts_ft" Optional, Content::Layouts,
            "Other ways to divide the opening, with piers between the spans", "no piers";
        PierCost "pier_usd" Optional, money(0, 5_000_000, "write dollars for one pier"),
            "Cost of one pier; needed with `pier_layouts_ft`", "no piers";
        Other "other_usd" Optional, money(0, 20_000_000, "write dollars for the whole crossing"),
            "What the crossing costs beside the flat-car bridge, in all: abutments, approaches, engineering, inspection and the like", "not in the total, which says so";
        OtherFor "other_for" Optional, Content::Text, "What `other_usd` is for", "other works";
        OtherBridge "other_bridge_usd" Optional, money(0, 50_000_000, "write dollars for the whole bridge"),
            "What another bridge would cost there in all, with its abutments, approaches, engineering: the most that a bridge of flat cars may cost there", "not stated, and no ceiling";
        OtherBridgeIs "other_bridge" Optional, Content::Text, "What that bridge would be: culvert, timber bridge, prefabricated bridge", "another bridge";
        OtherBridgeYears "other_bridge_years" Optional, whole(1, 200, "write the years that it would last"),
            "How many years that bridge would last", "not stated, and no cost by the year";
        PierBearings "pier_bearings_ft" Optional, number("ft", 0.0, 20.0, "write decimal feet, perhaps it was typed in inches"),
            "Distance between the bearings of two spans on one pier", "as the rules have it";
        ClearWidth "clear_width_ft" Required, number("ft", 8.0, 60.0, "write decimal feet, perhaps it was typed in inches or meters"),
            "Clear width between the rails", "";
        Vehicles "vehicles" Required, Content::Names,
            "Vehicles it must carry: built-in ones, or of the rules", "";
        Deck "deck" Required, Content::Name, "The deck system, one of the rules'", "";
        MostAbreast "most_abreast" Required, whole(1, 6, "write the greatest number of cars side by side"),
            "Most cars side by side", "";
        HaulLength "haul_length_limit_ft" Optional, number("ft", 20.0, 200.0, "write decimal feet for the car's length"),
            "Longest car that the route takes; of cars on one trailer, the longest load", "not surveyed; every car is barred";
        HaulWeight "haul_weight_limit_lb" Optional, number("lb", 5_000.0, 300_000.0, "write pounds, perhaps it was typed in tons or kips"),
            "Heaviest car that the route takes; of cars on one trailer, their weight together", "not surveyed; every car is barred";
        HaulWidth "haul_width_limit_ft" Optional, number("ft", 7.0, 20.0, "write decimal feet for the car's width"),
            "Widest car that the route takes", "not surveyed for width; every car wider than the law allows everywhere is barred";
        HaulHeight "haul_height_limit_ft" Optional, number("ft", 8.0, 25.0, "write decimal feet over the road"),
            "Highest load that the route takes, under wires and bridges", "not surveyed for height; `haul.height_most_ft` of the rules";
        Crane "crane_limit_lb" Optional, number("lb", 5_000.0, 500_000.0, "write pounds, perhaps it was typed in tons or kips"),
            "Heaviest pick of the crane at this site", "not known; every car is barred";
        Priority "priority" Required, whole(1, 9, "write 1 for what is served first, up to 9"),
            "Rank: 1 is served before 2, and so on", "";
        NeededBy "needed_by" Optional, Content::Date, "Day on which the bridge must be open", "no date";
        NoHaul "no_haul" Optional, Content::Seasons,
            "Days on which nothing may be hauled to the crossing: thaw, harvest, school", "not asked, which the plan says";
        NoStreamWork "no_stream_work" Optional, Content::Seasons,
            "Days on which no work may be done in the stream: spawning, floods", "not asked, which the plan says";
        Fund "fund" Optional, Content::Name, "The fund that pays for it, one of the rules'", "the budget alone";
        Keep "keep" Optional, Content::SomeWords(|| Keep::ALL.iter().map(|word| word.word()).collect()),
            "What must be kept together: the cars of each deck from one yard, the decks of all spans of one section", "nothing";
        Latitude "latitude_deg" Required, LATITUDE, "Latitude in decimal degrees (WGS 84), north positive", "";
        Longitude "longitude_deg" Required, LONGITUDE, "Longitude in decimal degrees (WGS 84), east positive", "";
        LeastPosting "least_posting_tons" Optional, number("tons", 3.0, 100.0, "write short tons of gross vehicle weight"),
            "Least posting that the agency accepts for every vehicle", "no posting is accepted";
    }
}
