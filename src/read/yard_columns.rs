//! The columns of the yards file and of the lots file.

use super::columns::{Content, columns, money, whole};
use crate::model::crossing_columns::{LATITUDE, LONGITUDE};

columns! {
    /// A column of the yards file.
    YardColumn {
        Dealer "dealer" Required, Content::Name, "The dealer's name", "";
        Yard "yard" Required, Content::Name, "The yard's name; unique with the dealer's", "";
        Latitude "latitude_deg" Required, LATITUDE, "Latitude in decimal degrees (WGS 84), north positive", "";
        Longitude "longitude_deg" Required, LONGITUDE, "Longitude in decimal degrees (WGS 84), east positive", "";
        Loading "loading_usd" Required, money(0, 100_000, "write dollars for one car"),
            "Charge for loading one car on a trailer", "";
        Trip "trip_usd" Required, money(0, 100_000, "write dollars for one trip"),
            "Cost of one trip of the agency's inspector to the yard, paid once if any car is bought there", "";
        Crane "crane_usd" Optional, money(0, 200_000, "write dollars for bringing the crane once"),
            "Cost of bringing a crane to the yard to load, paid once if any car is bought there", "the yard loads with its own";
        MinimumOrder "minimum_order_cars" Optional, whole(1, 1000, "write the least number of cars sold at a time"),
            "Least number of cars that the yard sells at a time, singly and in lots together", "1";
        PriceBreaks "price_breaks" Optional, Content::PriceBreaks,
            "What is off the prices of all cars sold singly when at least this many are bought at the yard, singly and in lots together", "none";
        NoHaul "no_haul" Optional, Content::Seasons,
            "Days on which nothing is hauled from the yard", "not asked, which the plan says";
    }
}

columns! {
    /// A column of the lots file.
    LotColumn {
        Dealer "dealer" Required, Content::Name, "The dealer's name, as in the yards file", "";
        Lot "lot" Required, Content::Name, "The lot's name; unique with the dealer's", "";
        Yard "yard" Required, Content::Name, "The yard that all cars of the lot stand in", "";
        Price "price_usd" Optional, money(100, 50_000_000, "write whole dollars for the whole lot, perhaps it was typed in thousands"),
            "Price of the whole lot", "not quoted; no car of the lot can be bought";
    }
}
