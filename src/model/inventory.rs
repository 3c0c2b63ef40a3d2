//! The columns of an inventory. A row of the table tells a column's name, content and limits, what it
//! means and what a blank brings, its label on forms, the dealers' words for it, and where its value
//! stands on a car.

mod on_car;

pub use on_car::{Datum, Field, OnCar};

use on_car::{FromDatum, on_car};

use super::car::{
    Car, CarDeck, CarKind, Coating, DeckCondition, Fabrication, LeadStatus, Underframe,
};
use super::columns::{Columns, Content, columns, money, number, whole};

/// What an inventory's column has beside what columns of all files have.
#[derive(Clone, Copy, Debug)]
pub struct Fact {
    /// Its name on forms.
    pub label: &'static str,
    /// The dealers' words for it, without case, blanks and punctuation. Left out on purpose, because
    /// they mean different things with different dealers: "weight" and "light weight" (with or
    /// without the wheel trucks), "deck length", "location", "class", "condition".
    pub aliases: &'static [&'static str],
    /// Where its value stands.
    pub on_car: OnCar,
}

/// Declares the columns: name, need, content; meaning, what a blank brings; label, dealers' words,
/// place on a car (`apart`, `plates`, or a field that is `measured` or only `told`).
macro_rules! inventory {
    ($($variant:ident $header:literal $need:ident, $content:expr,
       $about:literal, $blank:literal,
       $label:literal, [$($alias:literal),*], $how:ident $($field:ident).*;)*) => {
        columns! {
            /// A column of an inventory.
            Inventory {
                $($variant $header $need, $content, $about, $blank;)*
            }
        }

        impl Inventory {
            /// Every column, in the order of the documentation.
            pub const EACH: &'static [Self] = &[$(Self::$variant,)*];

            const FACTS: &'static [Fact] = &[$(Fact {
                label: $label,
                aliases: &[$($alias),*],
                on_car: on_car!($how $($field).*),
            },)*];
        }
    };
}

impl Inventory {
    /// The columns of the main girder's plates that no girder is without.
    pub const PLATES: [Self; 7] = [
        Self::Webs,
        Self::WebDepth,
        Self::WebThickness,
        Self::TopFlangeWidth,
        Self::TopFlangeThickness,
        Self::BottomFlangeWidth,
        Self::BottomFlangeThickness,
    ];

    /// What the column has beside what columns of all files have.
    #[must_use]
    pub fn fact(self) -> &'static Fact {
        &Self::FACTS[self.index()]
    }

    /// The column of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::EACH.iter().copied().find(|column| column.column().name == name)
    }

    /// Whether an inspector can measure it.
    #[must_use]
    pub fn is_measurable(self) -> bool {
        match self.fact().on_car {
            OnCar::Apart => false,
            OnCar::Plates => true,
            OnCar::Field(field) => field.measured,
        }
    }

    /// Whether the value of a car is known.
    #[must_use]
    pub fn is_known(self, car: &Car) -> bool {
        match self.fact().on_car {
            OnCar::Apart => true,
            OnCar::Plates => car.girder.plates.is_some(),
            OnCar::Field(field) => (field.known)(car),
        }
    }

    /// Puts the value that another car has into this one; nothing for what names or counts a car.
    pub fn copy(self, car: &mut Car, from: &Car) {
        match self.fact().on_car {
            OnCar::Apart => {}
            OnCar::Plates => car.girder.plates = from.girder.plates,
            OnCar::Field(field) => (field.copy)(car, from),
        }
    }
}

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

inventory! {
    Car "car" Required, Content::Name,
        "The dealer's ID of the car; unique with the dealer's name", "",
        "car", ["car#", "carno", "carnumber", "carid", "stockno", "stock#", "stocknumber"], apart;
    Dealer "dealer" Required, Content::Name,
        "The dealer's name, as in the yards file", "",
        "dealer", ["seller", "vendor"], apart;
    Yard "yard" Required, Content::Name,
        "The yard the car stands in, as in the yards file", "",
        "yard", ["yardname"], apart;
    Lot "lot" Optional, Content::Name,
        "The lot the car is sold with, as in the lots file", "sold singly",
        "lot", ["lot#", "lotno", "lotnumber", "lotid"], apart;
    Owned "owned" Optional, Content::YesNo,
        "Whether the agency owns the car already, so that it is used and not bought", "no; the car is bought",
        "owned", [], apart;
    Quantity "quantity" Optional, whole(1, 1000, "write how many identical cars the row offers"),
        "How many identical cars the row stands for", "1",
        "cars alike", ["qty", "count", "noofcars", "numberofcars"], apart;
    Kind "kind" Optional, Content::Words(CarKind::words),
        "The kind of car, by how it carries its load", "unknown; the car is barred",
        "kind of car", ["cartype", "kindofcar", "typeofcar", "type"], measured kind;
    Section "section" Optional, Content::Name,
        "The name of the cross-section design; cars of one deck have the same", "unknown; the car is barred",
        "section", ["series", "carseries", "sectiontype"], measured section;
    Apart "apart" Optional, Content::Name,
        "A name shared by cars that may not lie in one deck together, such as sisters under the same suspicion", "free",
        "kept apart as", [], measured apart;
    Length "length_ft" Optional, number("ft", 20.0, 120.0, "write decimal feet, perhaps it was typed in inches or meters"),
        "Length over the ends", "unknown; the car is barred",
        "length over ends", ["length", "len", "overalllength", "lengthoverends", "lengthoverall"], measured length;
    TruckCenters "truck_centers_ft" Optional, number("ft", 10.0, 110.0, "write decimal feet, perhaps it was typed in inches or meters"),
        "Distance between the centerlines of the two wheel trucks", "unknown; the car is barred",
        "truck centers", ["truckcenters", "truckctrs", "trkctrs", "tctc"], measured truck_centers;
    Width "width_ft" Optional, number("ft", 5.0, 14.0, "write decimal feet, perhaps it was typed in inches or meters or is the length"),
        "Width over the exterior girders", "unknown; the car is barred",
        "width over exterior girders", ["width", "overallwidth", "widthoversides", "widthoverall"], measured width;
    WidthOverAll "width_over_all_ft" Optional, number("ft", 5.0, 16.0, "write decimal feet, perhaps it was typed in inches or meters"),
        "Width over stake pockets, ladders and all that stands out: the width on the road", "as `width_ft`",
        "width over all", ["widthoverstakepockets", "extremewidth"], measured width_over_all;
    DepthOverAll "depth_over_all_in" Optional, number("in", 6.0, 120.0, "write decimal inches, perhaps it was typed in mm or feet"),
        "Depth from the lowest steel to the top of the deck", "unknown; to confirm between neighbors and on the road",
        "depth over all", ["overalldepth", "depthoverall"], measured depth_over_all;
    RideHeight "ride_height_in" Optional, number("in", 2.0, 80.0, "write decimal inches, perhaps it was typed in mm or feet"),
        "Height of the deck's top over the underside of the bolsters, where the car bears", "unknown; to confirm between neighbors",
        "deck over bearing", ["rideheight", "deckoverbolster"], measured ride_height;
    Sweep "sweep_in" Optional, number("in", 0.0, 24.0, "write decimal inches, without a sign"),
        "Sideways bow of the main girder, off a string between the bolsters", "unknown; to confirm",
        "sweep", ["sidebow", "lateralbow"], measured sweep;
    Twist "twist_in" Optional, number("in", 0.0, 24.0, "write decimal inches, without a sign"),
        "How far one corner of the frame lies out of the plane of the other three", "unknown; to confirm",
        "twist", ["outofplane"], measured twist;
    Underframe "underframe" Optional, Content::Words(Underframe::words),
        "Whether the main girder is one with the frame, or a center sill that slides in it", "unknown; to confirm",
        "underframe", ["centersilltype", "cushioning"], measured underframe;
    Fabrication "fabrication" Optional, Content::Words(Fabrication::words),
        "How the main girder's plates are held together", "unknown; to confirm between neighbors",
        "riveted or welded", ["construction", "fabrication"], measured fabrication;
    Repaired "repaired" Optional, Content::YesNo,
        "Whether members were repaired, spliced or straightened before", "unknown; to confirm",
        "prior repairs", ["priorrepairs", "previousrepairs"], measured repaired;
    CoverLength "cover_length_ft" Optional, number("ft", 1.0, 120.0, "write decimal feet, perhaps it was typed in inches"),
        "Length of the main girder's cover plates, about mid-length; the shorter of the two", "unknown; to confirm where there is a cover plate",
        "length of cover plates", ["coverplatelength"], measured cover_length;
    Toughness "toughness" Optional, Content::Name,
        "Notch toughness of the main girder's steel with its source: a certificate, a Charpy test", "unknown; to confirm where winters are cold",
        "notch toughness", ["charpy", "cvn", "notchtoughness"], measured toughness;
    Camber "camber_in" Optional, number("in", -6.0, 12.0, "write decimal inches, perhaps it was typed in mm or sixteenths"),
        "Rise at mid-length over the line through the bolsters; a sag is negative", "unknown; the car is barred",
        "camber", ["camber", "camberatmidlength", "camberatcenter"], measured camber;
    YearBuilt "year_built" Optional, Content::Year,
        "Year of building", "unknown; the lowest yield strength is taken",
        "year built", ["yearbuilt", "yrbuilt", "yrblt", "built", "blt", "builtyear", "yearofbuilding", "year"], measured year_built;
    Yield "yield_ksi" Optional, number("ksi", 20.0, 100.0, "write ksi, which is psi divided by 1,000"),
        "Yield strength of the main girder's steel", "by the year of building",
        "yield strength", ["yield", "yieldstrength", "fy"], measured steel_yield;
    YieldSource "yield_source" Optional, Content::Name,
        "Who states the yield strength: a mill certificate, a test", "not stated",
        "source of yield strength", [], measured yield_source;
    Modulus "modulus_in3" Optional, number("in3", 10.0, 5000.0, "write cubic inches for the whole main girder"),
        "Section modulus of the main girder at mid-span, as stated", "from the plates, else the car cannot be rated",
        "section modulus", ["sectionmodulus", "sectionmod", "sectmodulus", "sectmod", "maingirdermodulus", "maingirdersectionmodulus"], measured girder.stated_modulus;
    ModulusSource "modulus_source" Optional, Content::Name,
        "Who states the section modulus: a drawing, an engineer", "not stated",
        "source of section modulus", ["modulusfrom", "sourceofmodulus"], measured girder.modulus_source;
    Webs "webs" Optional, whole(1, 4, "write the number of webs, 1 for an I and 2 for a box"),
        "Number of webs of the main girder: 1 for an I, 2 for a box", "plates not measured",
        "webs", [], plates;
    WebDepth "web_depth_in" Optional, number("in", 4.0, 80.0, "write decimal inches as measured, perhaps it was typed in mm or feet"),
        "Clear depth of a web between the flanges, at mid-span", "plates not measured",
        "web depth", [], plates;
    WebThickness "web_thickness_in" Optional, THICKNESS,
        "Thickness of one web, without its loss", "plates not measured",
        "web thickness", [], plates;
    WebDepthAtTrucks "web_depth_at_trucks_in" Optional, number("in", 2.0, 80.0, "write decimal inches as measured, perhaps it was typed in mm or feet"),
        "Clear depth of a web at the wheel trucks; at most that at mid-span", "as at mid-span",
        "web depth at trucks", [], plates;
    TopFlangeWidth "top_flange_width_in" Optional, PLATE_WIDTH,
        "Width of the top flange", "plates not measured",
        "top flange width", [], plates;
    TopFlangeThickness "top_flange_thickness_in" Optional, THICKNESS,
        "Thickness of the top flange, without its loss", "plates not measured",
        "top flange thickness", [], plates;
    BottomFlangeWidth "bottom_flange_width_in" Optional, PLATE_WIDTH,
        "Width of the bottom flange", "plates not measured",
        "bottom flange width", [], plates;
    BottomFlangeThickness "bottom_flange_thickness_in" Optional, THICKNESS,
        "Thickness of the bottom flange, without its loss", "plates not measured",
        "bottom flange thickness", [], plates;
    TopCoverWidth "top_cover_width_in" Optional, PLATE_WIDTH,
        "Width of the cover plate on the top flange", "no cover plate",
        "top cover width", [], plates;
    TopCoverThickness "top_cover_thickness_in" Optional, THICKNESS,
        "Thickness of the cover plate on the top flange", "no cover plate",
        "top cover thickness", [], plates;
    BottomCoverWidth "bottom_cover_width_in" Optional, PLATE_WIDTH,
        "Width of the cover plate under the bottom flange", "no cover plate",
        "bottom cover width", [], plates;
    BottomCoverThickness "bottom_cover_thickness_in" Optional, THICKNESS,
        "Thickness of the cover plate under the bottom flange", "no cover plate",
        "bottom cover thickness", [], plates;
    WebLoss "web_loss_pct" Optional, LOSS,
        "Share of the webs' thickness lost to corrosion, at mid-span", "as `main_girder` says: 0 for sound, N for corroded N; else the plates are not used",
        "loss of webs", [], plates;
    TopLoss "top_loss_pct" Optional, LOSS,
        "Share of the thickness of the top flange and its cover lost, at mid-span", "as for `web_loss_pct`",
        "loss of top flange", [], plates;
    BottomLoss "bottom_loss_pct" Optional, LOSS,
        "Share of the thickness of the bottom flange and its cover lost, at mid-span", "as for `web_loss_pct`",
        "loss of bottom flange", [], plates;
    Unbraced "unbraced_ft" Optional, number("ft", 0.0, 120.0, "write decimal feet, perhaps it was typed in inches"),
        "Greatest length of the main girder's compression flange without lateral support", "unknown",
        "unbraced length", [], measured girder.unbraced_ft;
    ExteriorDepth "exterior_depth_in" Optional, number("in", 2.0, 48.0, "write decimal inches, perhaps it was typed in mm or feet"),
        "Depth of the shallower exterior girder", "unknown; the car is barred",
        "exterior girder depth", ["sidesilldepth", "exteriorgirderdepth"], measured exterior_depth;
    StringerModulus "stringer_modulus_in3" Optional, SMALL_MODULUS,
        "Section modulus of one stringer", "stringers not checked",
        "stringer section modulus", [], measured secondary.stringer_modulus;
    StringerSpacing "stringer_spacing_ft" Optional, number("ft", 0.25, 10.0, "write decimal feet, perhaps it was typed in inches"),
        "Distance between stringers", "stringers not checked",
        "stringer spacing", [], measured secondary.stringer_spacing;
    CrossMemberModulus "cross_member_modulus_in3" Optional, SMALL_MODULUS,
        "Section modulus of one cross-member", "cross-members not checked",
        "cross-member section modulus", [], measured secondary.cross_member_modulus;
    CrossMemberSpacing "cross_member_spacing_ft" Optional, number("ft", 0.5, 30.0, "write decimal feet, perhaps it was typed in inches"),
        "Distance between cross-members", "cross-members not checked",
        "cross-member spacing", [], measured secondary.cross_member_spacing;
    Weight "weight_lb" Optional, number("lb", 5_000.0, 150_000.0, "write pounds, perhaps it was typed in tons or kips"),
        "Weight of the car as offered, without its wheel trucks", "unknown; the car is barred",
        "weight without trucks", ["weightwithouttrucks", "weightlesstrucks", "weightwotrucks", "wtlesstrucks", "wtwotrucks"], measured weight;
    Deck "deck" Optional, Content::Words(CarDeck::words),
        "The deck on the car", "unknown",
        "deck", ["decking", "decktype", "deckmaterial"], measured deck;
    DeckCondition "deck_condition" Optional, Content::Words(DeckCondition::words),
        "Condition of the deck on the car; only with `deck`", "unknown, so the deck cannot stay",
        "deck condition", ["deckcond", "deckingcondition"], measured deck_condition;
    Coating "coating" Optional, Content::Words(Coating::words),
        "Condition of the paint", "unknown, priced as failed",
        "coating", ["paint", "paintcondition"], measured coating;
    Lead "lead" Optional, Content::Words(LeadStatus::words),
        "Result of a test of the paint for lead", "not tested, so lead is assumed",
        "lead", ["leadtest", "leadpaint", "leadinpaint"], measured lead;
    MainGirder "main_girder" Optional, Content::Condition,
        "Condition of the girder along the middle", "not inspected; the car is barred",
        "main girder", ["centersill", "maingirder", "mainsill"], measured members.main_girder;
    ExteriorGirders "exterior_girders" Optional, Content::Condition,
        "Condition of the girders along the sides, the worse of the two", "not inspected; the car is barred",
        "exterior girders", ["sidesills", "exteriorgirders"], measured members.exterior_girders;
    Bolsters "bolsters" Optional, Content::Condition,
        "Condition of the cross-frames over the wheel trucks, the worse of the two", "not inspected; the car is barred",
        "bolsters", ["bodybolsters"], measured members.bolsters;
    CrossMembers "cross_members" Optional, Content::Condition,
        "Condition of the members across the car, the worst of all", "not inspected; the car is barred",
        "cross-members", ["crossmembers", "xmembers", "floorbeams", "crossbearers"], measured members.cross_members;
    Stringers "stringers" Optional, Content::Condition,
        "Condition of the members along the car under the deck, the worst of all", "not inspected; the car is barred",
        "stringers", [], measured members.stringers;
    Wrecked "wrecked" Optional, Content::YesNo,
        "Whether the car was ever in a wreck", "unknown; the car is barred",
        "ever in a wreck", ["wreck", "everwrecked", "wreckhistory"], measured wrecked;
    Price "price_usd" Optional, money(100, 1_000_000, "write whole dollars for one car, perhaps it was typed in thousands"),
        "Price of one car sold singly, or what a car of the agency's own is worth to it; not used for a car of a lot", "not quoted; a car sold singly is barred",
        "price", ["price", "priceeach", "priceea", "unitprice", "askingprice", "asking", "pricepercar"], told price;
    QuoteExpires "quote_expires" Optional, Content::Date,
        "Last day on which the quote holds", "unknown; the car is barred",
        "quote holds until", ["quoteexpires", "quotevaliduntil", "validuntil", "validto", "goodthrough"], told quote_expires;
    Available "available" Optional, Content::Availability,
        "When the car can leave the yard", "unknown; barred where the crossing has a date",
        "can leave", ["availability", "avail", "availablefrom"], measured available;
    Notes "notes" Optional, Content::Text,
        "Remarks, carried along", "none",
        "notes", ["note", "remarks", "remark", "comments", "comment"], told notes;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dealers_word_means_one_column() {
        let mut seen = std::collections::HashSet::new();
        for column in Inventory::EACH {
            for word in column.fact().aliases {
                assert!(seen.insert(word), "{word} twice");
            }
        }
    }

    #[test]
    fn names_find_their_columns_and_labels_are_distinct() {
        let mut labels = std::collections::HashSet::new();
        for column in Inventory::EACH {
            assert_eq!(Inventory::named(column.column().name), Some(*column));
            assert!(labels.insert(column.fact().label), "{}", column.fact().label);
        }
        assert_eq!(Inventory::named("colour"), None);
    }
}
