//! The columns of an inventory.

use crate::model::car::{CarDeck, CarKind, Coating, DeckCondition, LeadStatus};
use crate::read::columns::{Content, columns, money, number, whole};

/// Shorthand: the loss of a plate's thickness.
const LOSS: Content = number("%", 0.0, 100.0, "write the share of thickness lost, in per cent");

/// Shorthand: the thickness of a plate.
const THICKNESS: Content = number(
    "in",
    0.05,
    4.0,
    "write decimal inches as measured, perhaps it was typed in mm or sixteenths",
);

/// Shorthand: the width of a flange or cover plate.
const PLATE_WIDTH: Content =
    number("in", 1.0, 60.0, "write decimal inches as measured, perhaps it was typed in mm or feet");

/// Shorthand: the section modulus of a stringer or cross-member.
const SMALL_MODULUS: Content = number("in3", 0.5, 500.0, "write cubic inches for one member");

columns! {
    /// A column of an inventory.
    Inventory {
        Car "car" Required, Content::Name,
            "The dealer's ID of the car; unique with the dealer's name", "";
        Dealer "dealer" Required, Content::Name, "The dealer's name, as in the yards file", "";
        Yard "yard" Required, Content::Name, "The yard the car stands in, as in the yards file", "";
        Lot "lot" Optional, Content::Name,
            "The lot the car is sold with, as in the lots file", "sold singly";
        Owned "owned" Optional, Content::YesNo,
            "Whether the agency owns the car already, so that it is used and not bought", "no; the car is bought";
        Quantity "quantity" Optional, whole(1, 1000, "write how many identical cars the row offers"),
            "How many identical cars the row stands for", "1";
        Kind "kind" Optional, Content::Words(|| CarKind::ALL.iter().map(|word| word.word()).collect()),
            "The kind of car, by how it carries its load", "unknown; the car is barred";
        Section "section" Optional, Content::Name,
            "The name of the cross-section design; cars of one deck have the same", "unknown; the car is barred";
        Apart "apart" Optional, Content::Name,
            "A name shared by cars of which no two may lie in one deck, such as sisters under the same suspicion", "free";
        Length "length_ft" Optional, number("ft", 20.0, 120.0, "write decimal feet, perhaps it was typed in inches or meters"),
            "Length over the ends", "unknown; the car is barred";
        TruckCenters "truck_centers_ft" Optional, number("ft", 10.0, 110.0, "write decimal feet, perhaps it was typed in inches or meters"),
            "Distance between the centerlines of the two wheel trucks", "unknown; the car is barred";
        Width "width_ft" Optional, number("ft", 5.0, 14.0, "write decimal feet, perhaps it was typed in inches or meters or is the length"),
            "Width over the exterior girders", "unknown; the car is barred";
        Camber "camber_in" Optional, number("in", -6.0, 12.0, "write decimal inches, perhaps it was typed in mm or sixteenths"),
            "Rise at mid-length over the line through the bolsters; a sag is negative", "unknown; the car is barred";
        YearBuilt "year_built" Optional, Content::Year, "Year of building", "unknown; the lowest yield strength is taken";
        Yield "yield_ksi" Optional, number("ksi", 20.0, 100.0, "write ksi, which is psi divided by 1,000"),
            "Yield strength of the main girder's steel", "by the year of building";
        YieldSource "yield_source" Optional, Content::Name,
            "Who states the yield strength: a mill certificate, a test", "nobody";
        Modulus "modulus_in3" Optional, number("in3", 10.0, 5000.0, "write cubic inches for the whole main girder"),
            "Section modulus of the main girder at mid-span, as stated", "from the plates, else the car cannot be rated";
        ModulusSource "modulus_source" Optional, Content::Name,
            "Who states the section modulus: a drawing, an engineer", "nobody";
        Webs "webs" Optional, whole(1, 4, "write the number of webs, 1 for an I and 2 for a box"),
            "Number of webs of the main girder: 1 for an I, 2 for a box", "plates not measured";
        WebDepth "web_depth_in" Optional, number("in", 4.0, 80.0, "write decimal inches as measured, perhaps it was typed in mm or feet"),
            "Clear depth of a web between the flanges, at mid-span", "plates not measured";
        WebThickness "web_thickness_in" Optional, THICKNESS, "Thickness of one web, without its loss", "plates not measured";
        WebDepthAtTrucks "web_depth_at_trucks_in" Optional, number("in", 2.0, 80.0, "write decimal inches as measured, perhaps it was typed in mm or feet"),
            "Clear depth of a web at the wheel trucks; at most that at mid-span", "as at mid-span";
        TopFlangeWidth "top_flange_width_in" Optional, PLATE_WIDTH, "Width of the top flange", "plates not measured";
        TopFlangeThickness "top_flange_thickness_in" Optional, THICKNESS, "Thickness of the top flange, without its loss", "plates not measured";
        BottomFlangeWidth "bottom_flange_width_in" Optional, PLATE_WIDTH, "Width of the bottom flange", "plates not measured";
        BottomFlangeThickness "bottom_flange_thickness_in" Optional, THICKNESS, "Thickness of the bottom flange, without its loss", "plates not measured";
        TopCoverWidth "top_cover_width_in" Optional, PLATE_WIDTH, "Width of the cover plate on the top flange", "no cover plate";
        TopCoverThickness "top_cover_thickness_in" Optional, THICKNESS, "Thickness of the cover plate on the top flange", "no cover plate";
        BottomCoverWidth "bottom_cover_width_in" Optional, PLATE_WIDTH, "Width of the cover plate under the bottom flange", "no cover plate";
        BottomCoverThickness "bottom_cover_thickness_in" Optional, THICKNESS, "Thickness of the cover plate under the bottom flange", "no cover plate";
        WebLoss "web_loss_pct" Optional, LOSS, "Share of the webs' thickness lost to corrosion, at mid-span", "as `main_girder` says: 0 for sound, N for corroded N; else the plates are not used";
        TopLoss "top_loss_pct" Optional, LOSS, "Share of the thickness of the top flange and its cover lost, at mid-span", "as for `web_loss_pct`";
        BottomLoss "bottom_loss_pct" Optional, LOSS, "Share of the thickness of the bottom flange and its cover lost, at mid-span", "as for `web_loss_pct`";
        Unbraced "unbraced_ft" Optional, number("ft", 0.0, 120.0, "write decimal feet, perhaps it was typed in inches"),
            "Greatest length of the main girder's compression flange without lateral support", "unknown";
        ExteriorDepth "exterior_depth_in" Optional, number("in", 2.0, 48.0, "write decimal inches, perhaps it was typed in mm or feet"),
            "Depth of the shallower exterior girder", "unknown; the car is barred";
        StringerModulus "stringer_modulus_in3" Optional, SMALL_MODULUS, "Section modulus of one stringer", "stringers not checked";
        StringerSpacing "stringer_spacing_ft" Optional, number("ft", 0.25, 10.0, "write decimal feet, perhaps it was typed in inches"),
            "Distance between stringers", "stringers not checked";
        CrossMemberModulus "cross_member_modulus_in3" Optional, SMALL_MODULUS, "Section modulus of one cross-member", "cross-members not checked";
        CrossMemberSpacing "cross_member_spacing_ft" Optional, number("ft", 0.5, 30.0, "write decimal feet, perhaps it was typed in inches"),
            "Distance between cross-members", "cross-members not checked";
        Weight "weight_lb" Optional, number("lb", 5_000.0, 150_000.0, "write pounds, perhaps it was typed in tons or kips"),
            "Weight of the car as offered, without its wheel trucks", "unknown; the car is barred";
        Deck "deck" Optional, Content::Words(|| CarDeck::ALL.iter().map(|word| word.word()).collect()),
            "The deck on the car", "unknown";
        DeckCondition "deck_condition" Optional, Content::Words(|| DeckCondition::ALL.iter().map(|word| word.word()).collect()),
            "Condition of the deck on the car; only with `deck`", "unknown, so the deck cannot stay";
        Coating "coating" Optional, Content::Words(|| Coating::ALL.iter().map(|word| word.word()).collect()),
            "Condition of the paint", "unknown, priced as failed";
        Lead "lead" Optional, Content::Words(|| LeadStatus::ALL.iter().map(|word| word.word()).collect()),
            "Result of a test of the paint for lead", "not tested, so lead is assumed";
        MainGirder "main_girder" Optional, Content::Condition, "Condition of the girder along the middle", "not inspected; the car is barred";
        ExteriorGirders "exterior_girders" Optional, Content::Condition, "Condition of the girders along the sides, the worse of the two", "not inspected; the car is barred";
        Bolsters "bolsters" Optional, Content::Condition, "Condition of the cross-frames over the wheel trucks, the worse of the two", "not inspected; the car is barred";
        CrossMembers "cross_members" Optional, Content::Condition, "Condition of the members across the car, the worst of all", "not inspected; the car is barred";
        Stringers "stringers" Optional, Content::Condition, "Condition of the members along the car under the deck, the worst of all", "not inspected; the car is barred";
        Wrecked "wrecked" Optional, Content::YesNo, "Whether the car was ever in a wreck", "unknown; the car is barred";
        Price "price_usd" Optional, money(100, 1_000_000, "write whole dollars for one car, perhaps it was typed in thousands"),
            "Price of one car sold singly, or what a car of the agency's own is worth to it; not used for a car of a lot", "not quoted; a car sold singly is barred";
        QuoteExpires "quote_expires" Optional, Content::Date, "Last day on which the quote holds", "unknown; the car is barred";
        Available "available" Optional, Content::Availability, "When the car can leave the yard", "unknown; barred where the crossing has a date";
        Notes "notes" Optional, Content::Text, "Remarks, carried along", "none";
    }
}
