//! The numbers that say how the search spends its time.
//!
//! None of them decides what is valid or proven: bounds are exact whatever the multipliers are, and a
//! plan is reckoned at its true cost. They decide how soon a good plan and a good bound are there.
//! Where no other reason is given, a number was set by trial on the seeded markets of
//! `cargo bench --bench choose`; how flat the optimum is
//! around it was not measured.

use std::time::Duration;

// Subgradient ascent.

/// Steps at most of the first ascent.
pub const FIRST_ASCENT_STEPS: usize = 200;
/// Steps at most of the second ascent, in which linking rows climb too.
pub const SECOND_ASCENT_STEPS: usize = 480;
/// Steps at most of each ascent with cuts.
pub const CUT_ASCENT_STEPS: usize = 240;
/// Length of the first step, as a share of the way to the target.
pub const FIRST_STEP: f64 = 1.0;
/// The same with cuts.
pub const FIRST_STEP_WITH_CUTS: f64 = 0.02;
/// Steps in turn without a better bound, after which the next ones are shorter.
pub const STEPS_WITHOUT_GAIN: usize = 4;
/// By what factor, in the first ascent …
pub const SHORTER_AT_FIRST: f64 = 0.6;
/// … and in later ones.
pub const SHORTER_LATER: f64 = 0.8;
/// A step that gains makes the next one longer by this factor.
pub const LONGER: f64 = 1.1;
/// Share of the new subgradient in the direction of the first ascent, and the most in later ones,
/// where it is the share that makes the direction shortest.
pub const NEW_DIRECTION_MOST: f64 = 0.3;
/// The least share in later ones.
pub const NEW_DIRECTION_LEAST: f64 = 0.03;
/// After the first ascent a linking row goes whose decks used its group less often than this.
pub const LINKING_ROW_SELDOM_USED: f64 = 0.1;
/// Weight of the last step in averages over steps.
pub const LAST_STEP_WEIGHT: f64 = 0.1;
/// A lot bought in this share of the steps of late, up to one less it, is one of which it is open
/// whether it pays, so that rows link its decks.
pub const LOT_OPEN_FROM: f64 = 0.02;

// Column generation.

/// Decks of least reduced cost taken in per span and round.
pub const NEW_COLUMNS_PER_SPAN: usize = 4;
/// Columns of each span kept after an ascent without cuts.
pub const KEPT_COLUMNS_PER_SPAN: usize = 12;
/// Columns per span, on average, that a linear program begins with.
pub const FIRST_COLUMNS_PER_SPAN: usize = 30;
/// One in this many parts of the gap: a linear program that can raise the bound by no more is not
/// worth its time.
pub const GAP_PARTS_NOT_WORTH: i64 = 200;
/// Eighths of the best multipliers in those tried next, the rest from the linear program: less swinging
/// to and fro.
pub const EIGHTHS_OF_BEST: i64 = 5;
/// Where a solution pays a fee instead of keeping the rules, the fee grows by this factor, …
pub const FEE_GROWTH: f64 = 30.0;
/// … up to this many times the first.
pub const FEE_GROWTH_MOST: f64 = 1e5;
/// Passing the budget, or a fund, by its whole size costs this many fees.
pub const FEES_FOR_WHOLE_BUDGET: f64 = 1000.0;
/// Programs of more columns than this are solved to a coarser tolerance.
pub const COARSE_ABOVE_COLUMNS: usize = 1_000;
/// Decks listed at most.
pub const LISTED_DECKS_MOST: usize = 50_000;

// Rows added.

/// A linking row is added when a solution breaks it by more than this.
pub const LINKING_ROW_BROKEN: f64 = 1e-3;
/// A cut is added when a solution breaks it by more than this.
pub const CUT_BROKEN: f64 = 0.02;
/// Cuts added at once, or one per crossing if there are more of these.
pub const CUTS_AT_ONCE: usize = 60;
/// Of the cuts added at once no item or span is in more than this many.
pub const CUTS_PER_ITEM: usize = 4;
/// Rounds of cuts at the root …
pub const CUT_ROUNDS_AT_ROOT: usize = 40;
/// … and at any other node.
pub const CUT_ROUNDS_BELOW: usize = 3;
/// Rounds in turn at the root that may each raise the bound by less than [`WORTHWHILE_RISE`] …
pub const IDLE_CUT_ROUNDS_AT_ROOT: usize = 3;
/// … and at any other node.
pub const IDLE_CUT_ROUNDS_BELOW: usize = 1;
/// Share of the gap by which a round of rows is to raise the bound.
pub const WORTHWHILE_RISE: f64 = 0.02;

// The root of a large problem.

/// From this many candidates on, over all spans, plans and bound are made as good as they get before
/// the first linear program is solved to the end, and threads save more than they cost.
pub const LARGE_FROM_CANDIDATES: usize = 20_000;
/// More threads than this are not started for one search.
pub const THREADS_MOST: usize = 8;
/// Ascents with cuts between two searches around the incumbent.
pub const CUT_ASCENTS_PER_TURN: usize = 2;
/// Turns of ascent and search around the incumbent at most …
pub const TURNS_MOST: usize = 6;
/// … as long as each closes this share of the gap.
pub const TURN_CLOSES: f64 = 0.05;

// Plans.

/// A layout counts as chosen in a solution above this share.
pub const CHOSEN_ABOVE: f64 = 0.5;
/// Plans are made with the lots bought that the ascent bought more often than each of these shares.
pub const LOTS_BOUGHT_ABOVE: [f64; 3] = [0.7, 0.5, 0.3];
/// Up to this many pairs of lot and crossing, a lot is tried at every crossing it fits. Beyond, the
/// linear program finds the lots that pay, and in less time.
pub const LOT_TRIALS_MOST: usize = 500;
/// Decks of each span but the last that a best response tries on.
pub const DECKS_PER_SPAN_TRIED: usize = 8;
/// Crossings decided together in a search around the incumbent.
pub const NEIGHBORHOOD: usize = 12;
/// Neighborhoods decided at the same time. The number does not depend on the machine, nor does the
/// result.
pub const NEIGHBORHOODS_AT_ONCE: usize = 4;
/// The gain is judged whenever one in this many crossings was the first of a neighborhood.
pub const JUDGED_ONE_IN: usize = 4;
/// Candidates of a span that take part at most, those that stand in the cheapest decks.
pub const CANDIDATES_PER_SPAN: usize = 60;
/// Nodes of the search over a neighborhood at most.
pub const NEIGHBORHOOD_NODES: usize = 6;
/// A neighborhood is left as it is where no more than one in this many parts of its cost can be saved.
pub const NEIGHBORHOOD_SLACK: i64 = 5_000;
/// A search around the incumbent ends when a round saved less than this share of the cost …
pub const ROUND_SAVES_AT_FIRST: f64 = 2e-4;
/// … or, once the bound is as good as it gets, this one.
pub const ROUND_SAVES_LATER: f64 = 1e-5;

// Service.

/// Crossings decided together with one left out.
pub const SERVICE_NEIGHBORHOOD: usize = 10;
/// Nodes of the search over them at most.
pub const SERVICE_NEIGHBORHOOD_NODES: usize = 20;
/// Rounds in turn that may bring nothing …
pub const SERVICE_IDLE_ROUNDS: usize = 8;
/// … and where there are more crossings than this, so many.
pub const SERVICE_MANY_CROSSINGS: usize = 60;
/// See above.
pub const SERVICE_IDLE_ROUNDS_OF_MANY: usize = 40;
/// Candidates of a span that take part at most, those that fewest crossings want.
pub const SERVICE_CANDIDATES_PER_SPAN: usize = 150;
/// Cars of a crossing that are compared with those of others at most.
pub const SERVICE_CARS_COMPARED: usize = 300;

// Time.

/// One in this many parts of the time there is goes to the question of how many can be served, before
/// the money is looked at for the first time.
pub const SERVICE_TIME_ONE_IN: u32 = 4;
/// Columns and candidates gone through in the first turn of each search; twice as many in the next.
pub const FIRST_TURN: u64 = 50_000;

/// Decks found between two looks at the clock.
pub const DECKS_BETWEEN_LOOKS: usize = 256;
/// When the search has ended, other decks are looked for and equal plans compared for this share of
/// the time limit …
pub const AFTERWARDS_SHARE: u32 = 40;
/// … or for this time, if that is more.
pub const AFTERWARDS_LEAST: Duration = Duration::from_millis(250);
/// One in this many parts as long it is then looked into why crossings go without.
pub const EXPLAINING_ONE_IN: u32 = 3;

// Numbers.

/// Values of a solution below this count as zero.
pub const ZERO_BELOW: f64 = 1e-6;
/// A value this near to a whole number counts as whole.
pub const WHOLE_WITHIN: f64 = 1e-4;
/// Multipliers are cut off here, so that sums of them stay within 64 bits.
pub const MULTIPLIER_MOST: f64 = 1e16;

// Questions.

/// Decks of one span that a bound on the price of a car looks at; of a span with more, less is known.
pub const PRICED_DECKS_MOST: usize = 100_000;
/// Decks of one span but the last that the cheapest other decks of a crossing are made from; no real
/// span has as many that could be better.
pub const ALTERNATIVE_DECKS_MOST: usize = 20_000;
/// Exchanges of equal cars worked out in full; a plan has few that keep its cost.
pub const EXCHANGES_MOST: usize = 4_000;
