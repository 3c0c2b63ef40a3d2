//! The rating stage from outside: worked chains, refusals and properties.

mod caltrans_permit_train;
mod chain;
mod ends_and_members;
mod envelope;
mod evidence;
mod hl93_shear;
mod independent;
mod inside_the_span;
mod legal;
mod ohio_box_beams;
mod page;
mod pencil;
mod quick_answer;
mod reference;
mod refusals;
mod second_way;
mod sheet;
pub mod support;
