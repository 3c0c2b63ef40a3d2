//! The reading of files: what is taken, what is refused, and where it says so.

mod bombs;
mod cells;
mod contradictions;
mod county;
mod dealers;
mod demo;
mod evidence;
mod files;
mod formats;
mod full_row;
mod good;
mod hauls;
mod hostile;
mod impossible;
mod left_out;
mod long;
mod many_faults;
mod plausible;
mod price_breaks;
mod properties;
mod readback;
mod references;
mod rules_file;
mod speed;
mod withheld;
