//! The means against size, tried one by one on markets too small to need them.

use std::collections::BTreeSet;

use crate::choose::bound::ascent::{AscentEnd, SubgradientAscent};
use crate::choose::bound::duals::Duals;
use crate::choose::bound::lagrangian::Pricer;
use crate::choose::bound::master::Master;
use crate::choose::bound::multipliers::Multipliers;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::decks::cuts::Cut;
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::Stage;

use crate::choose::bound::listed::list;

use crate::choose::heuristics::best_response::{Responder, Terms};
use crate::choose::market::{Demand, LayoutDemand, Market, Offer, SpanDemand};

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::search::branch_and_price::{BranchAndPrice, Outcome};
use crate::choose::search::service;
use crate::group::{Candidate, DeckRule, Figures, Fit, JointOption, SharedHaul};
use crate::price::LoadCost;
use crate::quantity::{Cents, Feet, Inches};

/// A small generator of numbers (xorshift).
struct Draw(u64);

impl Draw {
    fn new(seed: u64) -> Self {
        let mut new = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        new.below(1);
        new
    }

    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % end
    }
}

/// Six crossings that compete for some fifteen cars, two or three to a deck, a part of them in lots,
/// some in batches; some crossings have a pier and then two spans alike. Of odd seeds, cars of one yard
/// share trailers by twos.
fn tight(seed: u64) -> Market {
    let mut draw = Draw::new(seed);
    let lots = draw.below(4) as usize;
    let mut offers = Vec::new();
    for _ in 0..12 + draw.below(6) {
        let lot = (lots > 0 && draw.below(3) == 0).then(|| draw.below(lots as u64) as usize);
        offers.push(Offer {
            quantity: 1 + u32::from(draw.below(6) == 0),
            yard: lot.map_or(draw.below(2) as usize, |lot| lot % 2),
            lot,
            price: if lot.is_some() { Cents(0) } else { Cents(500 + draw.below(900) as i64) },
            stock_value: if lot.is_some() { Cents(draw.below(150) as i64) } else { Cents(0) },
            quotes: Vec::new(),
        });
    }
    let cambers: Vec<f64> = offers.iter().map(|_| draw.below(16) as f64 / 8.0).collect();
    let span = |draw: &mut Draw| SpanDemand {
        holds: Vec::new(),
        fixed: Cents(100),
        candidates: cambers
            .iter()
            .enumerate()
            .map(|(offer, camber)| Candidate {
                offer,
                cost: Cents(100 + draw.below(500) as i64),
                fit: Fit {
                    section: 1,
                    apart: None,
                    measures: Figures::plain(Inches(*camber), Feet(60.0)),
                    width: Feet(9.0),
                    exterior_depth: Inches(10.0),
                    laid: Feet(60.0),
                },
                haul: (seed % 2 == 1).then(|| {
                    let haul = Cents(150 + 100 * offers[offer].yard as i64);
                    let load = LoadCost { haul, ..LoadCost::default() };
                    SharedHaul { from: offers[offer].yard as u32, alone: load, shared: vec![load] }
                }),
            })
            .filter(|candidate| candidate.cost.0 % 5 != 0)
            .collect(),
        rule: DeckRule {
            most_abreast: 3,
            width_least: Feet(if draw.below(4) == 0 { 26.0 } else { 17.5 }),
            width_most: Feet(28.0),
            tolerances: Figures::plain(Inches(1.0), Feet(1.0)),
            step_most: Inches(f64::INFINITY),
            joints: vec![JointOption {
                gap_min: Inches(0.0),
                gap_max: Inches(4.0),
                depth_min: Inches(8.0),
                costs: vec![Cents(5)],
            }],
            lengths: Vec::new(),
            rails: Vec::new(),
        },
    };
    let mut crossings = Vec::new();
    for _ in 0..6 {
        let whole = vec![span(&mut draw)];
        let mut layouts = vec![LayoutDemand { layout: 0, fixed: Cents(30), spans: whole }];
        if draw.below(3) == 0 {
            let half = span(&mut draw);
            let spans = vec![half.clone(), half];
            layouts.push(LayoutDemand { layout: 1, fixed: Cents(0), spans });
        }
        crossings.push(Demand { priority: 1, points: 1, fund: None, layouts });
    }
    Market {
        offers,
        trips: vec![Cents(200), Cents(draw.below(2) as i64 * 300)],
        levels: Vec::new(),
        fillers: Vec::new(),
        lots: (0..lots).map(|_| Some(Cents(900 + draw.below(2_000) as i64))).collect(),
        crossings,
        budget: (draw.below(4) == 0).then(|| Cents(9_000 + draw.below(9_000) as i64)),
        funds: Vec::new(),
        grants: Vec::new(),
    }
}

/// A plan for whoever comes first, in an order and at prices drawn.
fn some_plan(problem: &Problem, draw: &mut Draw) -> Plan {
    let bias: Vec<i64> = problem.items.iter().map(|_| draw.below(800) as i64).collect();
    let mut order: Vec<usize> = (0..problem.crossings.len()).collect();
    for place in (1..order.len()).rev() {
        order.swap(place, draw.below(place as u64 + 1) as usize);
    }
    let (mut plan, mut ledger) = (Plan::empty(problem), Ledger::empty(problem));
    let mut responder = Responder::new(problem);
    for crossing in order {
        let terms = Terms { bias: Some(&bias), ..Terms::default() };
        if let Some(served) = responder.respond(&ledger, crossing, &terms) {
            ledger.place(problem, &served);
            plan.crossings[crossing] = Some(served);
        }
    }
    plan
}

/// A row from items and spans drawn.
fn some_cut(problem: &Problem, draw: &mut Draw) -> Option<Cut> {
    let mut some = |most: u64, of: usize| -> Vec<usize> {
        let drawn: BTreeSet<usize> =
            (0..draw.below(most + 1)).map(|_| draw.below(of as u64) as usize).collect();
        drawn.into_iter().collect()
    };
    let (items, spans) = (some(6, problem.items.len()), some(3, problem.spans.len()));
    Cut::new(problem, items, spans)
}

/// The means of a search.
enum With {
    Nothing,
    /// Rows and lists.
    Rows,
    /// Those for a large problem too.
    Everything,
}

/// The search for the least cost at the service of a plan.
fn least(problem: &Problem, plan: &Plan, with: With) -> Outcome {
    let clock = Clock::new(&Effort::default());
    let stage = Stage::cost(&plan.unserved(problem));
    let net = plan.ledger(problem).net;
    let master = Master::new(problem);
    let tree = BranchAndPrice::new(problem, &stage, master, &clock, plan.clone(), net);
    match with {
        With::Nothing => tree.without_rows().run(),
        With::Rows => tree.run(),
        With::Everything => tree.taken_for_large().run(),
    }
}

#[test]
fn every_row_added_holds_for_every_plan() {
    let (mut tried, mut tight_rows) = (0, 0);
    for seed in 0..60 {
        let problem = Problem::new(&tight(seed));
        let mut draw = Draw::new(seed);
        let plans: Vec<Plan> = (0..20).map(|_| some_plan(&problem, &mut draw)).collect();
        for _ in 0..200 {
            let Some(cut) = some_cut(&problem, &mut draw) else { continue };
            for plan in &plans {
                let decks = plan.crossings.iter().flatten().flat_map(|served| &served.decks);
                let taken: i64 = decks.map(|deck| cut.taken(deck.span, deck.items(&problem))).sum();
                let lots = plan.ledger(&problem).lots;
                let bought = cut.lot.is_some_and(|lot| lots[lot] > 0);
                let most = cut.most + if bought { cut.per_lot } else { 0 };
                assert!(taken <= most, "seed {seed}: {cut:?} takes {taken}");
                tried += 1;
                tight_rows += usize::from(taken == most && taken > 0);
            }
        }
    }
    assert!(tried > 50_000 && tight_rows > 1_000, "{tried} {tight_rows}");
}

#[test]
fn an_ascent_never_passes_the_cheapest_plan_whatever_the_rows() {
    let mut near = 0;
    for seed in 0..40 {
        let problem = Problem::new(&tight(seed));
        let clock = Clock::new(&Effort::default());
        let start = service::start(&problem, &clock);
        let best = least(&problem, &start, With::Nothing).value;
        let stage = Stage::cost(&start.unserved(&problem));
        let mut master = Master::new(&problem);
        let mut pricer = Pricer::new(&problem);
        let mut draw = Draw::new(seed);
        let mut told = Vec::new();
        let mut from: Option<AscentEnd> = None;
        for rows in [0, 0, 8, 8] {
            master.cuts.extend((0..rows).filter_map(|_| some_cut(&problem, &mut draw)));
            let ascent = SubgradientAscent {
                problem: &problem,
                stage: &stage,
                clock: &clock,
                best: (start.ledger(&problem).net, start.served()),
                from: from.as_ref(),
            };
            from = Some(ascent.run(&mut master, &mut pricer, &mut |bound| told.push(bound)));
        }
        assert!(told.iter().all(|bound| stage.in_value(*bound) <= best), "seed {seed}");
        near += usize::from(told.iter().any(|bound| stage.in_value(*bound) * 100 >= best * 98));
    }
    assert!(near > 20, "{near}");
}

#[test]
fn rows_added_and_decks_listed_change_nothing_but_the_time() {
    let mut differ = 0;
    for seed in 0..100 {
        let problem = Problem::new(&tight(seed));
        let clock = Clock::new(&Effort::default());
        let start = service::start(&problem, &clock);
        let without = least(&problem, &start, With::Nothing);
        assert_eq!(without.bound, without.value, "seed {seed}");
        for with in [With::Rows, With::Everything] {
            let with = least(&problem, &start, with);
            assert_eq!((with.value, with.bound), (without.value, without.value), "seed {seed}");
        }
        differ += usize::from(without.value < start.ledger(&problem).net);
    }
    // The start is not the best plan so often that a deck left out would show.
    assert!(differ > 12, "{differ}");
}

#[test]
fn no_deck_of_the_best_plan_is_missing_in_the_list() {
    let (mut tried, mut left_out) = (0, 0);
    for seed in 0..80 {
        let problem = Problem::new(&tight(seed));
        let clock = Clock::new(&Effort::default());
        let start = service::start(&problem, &clock);
        let best = least(&problem, &start, With::Nothing);
        let stage = Stage::cost(&start.unserved(&problem));
        let mut master = Master::new(&problem);
        for deck in best.plan.crossings.iter().flatten().flat_map(|served| &served.decks) {
            master.add(deck.clone());
        }
        let mut draw = Draw::new(seed);
        for round in 0..8 {
            // Good multipliers are not needed: whatever they are, the list holds.
            let mut node = Node::root(&problem);
            master.cuts = (0..6).filter_map(|_| some_cut(&problem, &mut draw)).collect();
            let mut some = |most: u64| stage.scale * draw.below(1 + most * round) as i64;
            let rows = Multipliers {
                item: problem.items.iter().map(|_| some(90)).collect(),
                rank: vec![stage.scale * 2_000; problem.ranks.len()],
                cut: master.cuts.iter().map(|_| some(60)).collect(),
                linking: Vec::new(),
            };
            let duals = Duals { rows, ..Duals::zero(&problem, 0, 0) };
            let reduced_costs = ReducedCosts::new(&problem, &stage, &master, &node, &duals);
            let mut pricer = Pricer::new(&problem);
            let whole = pricer.evaluate(&reduced_costs, &master, &node).bound;
            assert!(stage.in_value(whole) <= best.value, "seed {seed}: bound");
            let target = best.value * stage.scale;
            let Some(listed) =
                list(&reduced_costs, &master, &mut pricer, &mut node, target, 50_000)
            else {
                continue;
            };
            tried += 1;
            let mut all = 0;
            for span in 0..problem.spans.len() {
                pricer.each_deck(
                    &reduced_costs,
                    &master,
                    &Node::root(&problem),
                    span,
                    i64::MAX / 16,
                    |_| {
                        all += 1;
                        Some(i64::MAX / 16)
                    },
                );
            }
            left_out += all - listed.iter().map(Vec::len).sum::<usize>();
            let lots = best.plan.ledger(&problem).lots;
            for (state, cars) in node.lots.iter().zip(&lots) {
                assert!(state.is_none_or(|bought| bought == (*cars > 0)), "seed {seed}: lot");
            }
            for served in best.plan.crossings.iter().flatten() {
                assert!(node.layout_open(&problem, served.layout), "seed {seed}: layout");
                for deck in &served.decks {
                    assert!(listed[deck.span].contains(deck), "seed {seed}: {deck:?}");
                }
            }
        }
    }
    assert!(tried > 300 && left_out > 1_000, "{tried} {left_out}");
}

/// The program over decks with rows and lots, by a solver of other people's as well.
#[cfg(feature = "highs")]
#[test]
fn another_solver_finds_the_same_least_of_the_program() {
    let mut tried = 0;
    for seed in 0..60 {
        let problem = Problem::new(&tight(seed));
        let clock = Clock::new(&Effort::default());
        let start = service::start(&problem, &clock);
        let stage = Stage::cost(&start.unserved(&problem));
        let net = start.ledger(&problem).net;
        let master = Master::new(&problem);
        let tree = BranchAndPrice::new(&problem, &stage, master, &clock, start.clone(), net);
        let mut master = tree.run().master;
        let mut draw = Draw::new(seed);
        master.cuts.extend((0..4).filter_map(|_| some_cut(&problem, &mut draw)));
        let root = Node::root(&problem);
        let Some((one, other)) = master.least_by_both(&problem, &stage, &root, 20_000.0) else {
            continue;
        };
        assert!((one - other).abs() <= 1e-5 * other.abs().max(1.0), "seed {seed}: {one}, {other}");
        tried += 1;
    }
    assert!(tried > 50, "{tried}");
}
