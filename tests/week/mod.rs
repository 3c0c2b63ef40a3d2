//! The week after the plan: prices to beat, spares, replanning, on small markets against a brute
//! force and on the demonstration.

mod ask;
mod built;
mod decide;
mod prices;
mod replan;
mod round_trip;
mod spare;
mod tutorial;
mod want;
