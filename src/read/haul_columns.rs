//! The columns of the file of haul quotes.

use super::columns::{Content, columns, money};

columns! {
    /// A column of the file of haul quotes.
    HaulColumn {
        Dealer "dealer" Required, Content::Name, "The dealer's name, as in the yards file", "";
        Yard "yard" Required, Content::Name, "The yard that the load leaves from", "";
        Crossing "crossing" Required, Content::Name, "The crossing that it goes to", "";
        Car "car" Optional, Content::Name, "The dealer's ID of the one car, or row of like cars, that the quote holds for", "every car of the yard";
        Haul "haul_usd" Required, money(0, 500_000, "write dollars for one load"),
            "Quoted for one load, whatever cars are on it; in place of the estimate by distance", "";
        Permit "permit_usd" Optional, money(0, 500_000, "write dollars for the permits of one load"),
            "Quoted for the permits of a load, 0 if the haul includes them", "as the rules estimate";
        Escort "escort_usd" Optional, money(0, 500_000, "write dollars for the escorts of one load"),
            "Quoted for the escorts of a load, 0 if the haul includes them", "as the rules estimate";
        Source "source" Required, Content::Text, "Who quoted: the hauler, by letter, mail or phone", "";
        Quoted "quoted" Required, Content::Date, "The day of the quote", "";
        Expires "quote_expires" Optional, Content::Date, "The last day on which the quote holds; the order must not be later", "no day was named";
    }
}
