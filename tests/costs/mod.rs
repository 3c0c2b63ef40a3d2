//! What things cost: each line worked out by hand beside its check, and the distances behind them.
//!
//! Unit costs are those of the fixture, see `priced` there: haul $6.50 a mile, at least $450; permit $250 over
//! 53 ft or 48 kips; escort $2.25 a mile over 80 ft; crane $3,800, pick $550; trimming $650 an end; repair bent $900, cracked $2,500, corroded $1,200, missing $3,000; coating
//! worn $28, failed $62 a foot; lead work $1,800; timber deck $14 a square foot; joints $38 and $96
//! a foot; rail $46 a foot and side; stock value 20 %.

mod car;
mod distance;
mod hauls;
mod loads;
mod lots;
mod site;
mod trim;
mod whole;
