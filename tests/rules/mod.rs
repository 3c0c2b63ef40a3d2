//! The rules of screening and grouping, one file for each family: what passes, what fails, what is
//! unknown, and by exactly how much.

mod agreed;
mod bad_news;
mod coating;
mod confirm;
mod dates;
mod deck;
mod deck_group;
mod geometry;
mod kind_and_history;
mod listed_once;
mod matching;
mod members;
mod numbers;
mod order;
mod piers;
mod price_known;
mod shape;
mod support;
mod transport;
mod unlike;
mod width;
mod wordings;
