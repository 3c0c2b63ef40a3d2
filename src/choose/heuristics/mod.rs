//! Good plans fast: built crossing by crossing, then improved.

pub mod best_response;
mod draw;
pub mod improvement;
pub mod neighborhoods;
pub mod part;
pub mod service_neighborhoods;
pub mod site_by_site;
