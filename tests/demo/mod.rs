//! The demonstration county: every kind of refusal happens in it, its plan is as a person would
//! expect, and changes of single cells change the plan as a person would expect.

mod changes;
mod county;
mod messes;
mod moduli;
mod order;
mod outcome;
mod refusals;
mod workbook;
