//! Serve first, then cost: one search per rank, and one for the money.
//!
//! The searches take turns until all are proven or the time is up: as long as it is open whether more can
//! be served, the money is looked after as well, so that there is a good plan at any moment, and no time
//! is left over.

use crate::choose::bound::master::Master;
use crate::choose::heuristics::best_response::Responder;
use crate::choose::heuristics::improvement::{local_search, objective, orders, serve_greedily};
use crate::choose::heuristics::service_neighborhoods::ServiceNeighborhoods;
use crate::choose::plan::Plan;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::Stage;
use crate::choose::tuning::{FIRST_TURN, SERVICE_TIME_ONE_IN};

use crate::choose::clock::Clock;
use crate::choose::search::all_bought;
use crate::choose::search::branch_and_price::{BranchAndPrice, solve_part};
use crate::model::plan::Stop;

/// The end of all searches.
pub struct Result {
    pub plan: Plan,
    /// No plan that serves the same costs less.
    pub bound: i64,
    /// Whether no plan serves more.
    pub service: bool,
    /// Whether no plan that serves the same costs less than this one.
    pub cheapest: bool,
    pub stopped: Option<Stop>,
}

/// The best of a few plans made crossing by crossing.
pub fn start(problem: &Problem, clock: &Clock) -> Plan {
    let mut best = Plan::empty(problem);
    for order in orders(problem) {
        let mut plan = Plan::empty(problem);
        serve_greedily(problem, &mut plan, &order, None, clock);
        local_search(problem, &mut plan, clock);
        if objective(problem, &plan) < objective(problem, &best) {
            best = plan;
            clock.best(best.served(), objective(problem, &best).1);
        }
        if clock.up() {
            break;
        }
    }
    best
}

/// Closes the crossings that have no deck at all on some span of each layout, so that no search need
/// prove it.
pub fn close_infeasible(problem: &mut Problem) {
    let mut responder = Responder::new(problem);
    let infeasible: Vec<usize> = (0..problem.crossings.len())
        .filter(|crossing| {
            let mut layouts = problem.crossings[*crossing].layouts.clone();
            !layouts.any(|l| problem.layouts[l].spans.clone().all(|s| responder.has_deck(s)))
        })
        .collect();
    for crossing in infeasible {
        problem.crossings[crossing].layouts = 0..0;
    }
}

/// A plan made good again of which some crossings may be open.
pub fn completed(problem: &Problem, mut plan: Plan, clock: &Clock) -> Plan {
    serve_greedily(problem, &mut plan, &orders(problem).swap_remove(0), None, clock);
    local_search(problem, &mut plan, clock);
    plan
}

/// What is known of a problem before it is searched.
#[derive(Default)]
pub struct Known {
    /// A plan to begin with, of which some crossings may be open.
    pub plan: Option<Plan>,
    /// Per rank what every plan leaves out at least that leaves out no more of the ranks before it than told
    /// here.
    pub unserved: Option<Vec<usize>>,
    /// No plan that leaves out just these costs less.
    pub bound: Option<i64>,
}

/// Solves the problem.
pub fn solve(problem: &Problem, clock: &Clock, known: Known) -> Result {
    let best = match known.plan {
        Some(plan) => completed(problem, plan, clock),
        None => start(problem, clock),
    };
    let open = best.unserved(problem).iter().any(|unserved| *unserved > 0);
    let supply = if open { all_bought::all_bought(problem) } else { None };
    let searches = Searches {
        problem,
        supply: supply.as_ref().unwrap_or(problem),
        clock,
        best,
        least: known.unserved.unwrap_or_default(),
        bound: known.bound,
        ranks: problem.ranks.iter().map(|_| Rank::default()).collect(),
        money: None,
        cheapest: false,
    };
    searches.run()
}

/// The search of one rank.
#[derive(Default)]
struct Rank<'a> {
    tree: Option<BranchAndPrice<'a>>,
    neighborhoods: Option<ServiceNeighborhoods<'a>>,
    proven: bool,
}

/// All searches, and the best plan of any.
struct Searches<'a> {
    problem: &'a Problem,
    /// What the ranks are searched on: all cars bought, or the problem itself where money decides.
    supply: &'a Problem,
    clock: &'a Clock<'a>,
    best: Plan,
    /// See [`Known`].
    least: Vec<usize>,
    bound: Option<i64>,
    ranks: Vec<Rank<'a>>,
    money: Option<BranchAndPrice<'a>>,
    cheapest: bool,
}

impl Searches<'_> {
    fn run(mut self) -> Result {
        let mut turn = FIRST_TURN;
        self.clock.grant(SERVICE_TIME_ONE_IN);
        loop {
            for rank in 0..self.ranks.len() {
                self.serve(rank, turn);
            }
            self.clock.grant(1);
            let service = self.ranks.iter().all(|rank| rank.proven);
            self.clock.serves_most(service);
            if !self.cheapest {
                self.cut_cost(turn);
            }
            if service && self.cheapest || self.clock.stopped().is_some() {
                break;
            }
            turn = turn.saturating_mul(2);
        }
        let net = objective(self.problem, &self.best).1;
        let service = self.ranks.iter().all(|rank| rank.proven);
        Result {
            plan: self.best,
            bound: self.money.map_or(net, |tree| tree.bound()),
            service,
            cheapest: self.cheapest,
            stopped: self.clock.stopped().filter(|_| !(service && self.cheapest)),
        }
    }

    /// Looks on for plans that leave fewer of a rank out.
    fn serve(&mut self, rank: usize, turn: u64) {
        let (problem, supply) = (self.problem, self.supply);
        if self.ranks[rank].proven {
            return;
        }
        let unserved = self.best.unserved(problem);
        if unserved[rank] == 0 || self.least.get(..=rank) == Some(&unserved[..=rank]) {
            self.ranks[rank] = Rank { proven: true, ..Rank::default() };
            return;
        }
        if self.clock.stopped().is_some() {
            return;
        }
        let stage = Stage::serve(supply, rank, &unserved[..rank]);
        let plan = all_bought::turned(supply, &self.best, problem).trimmed(supply, &stage);
        let value = unserved[rank] as i64;
        let first = self.ranks[rank].tree.is_none();
        let mut tree = match self.ranks[rank].tree.take() {
            Some(mut tree) => {
                tree.update_incumbent_from(plan);
                tree
            }
            None => {
                let master = Master::new(supply);
                BranchAndPrice::new(supply, &stage, master, self.clock, plan, value)
            }
        };
        // At most sizes the root proves most.
        let mut done = first && !tree.is_large() && tree.go_on(1);
        if !done && ServiceNeighborhoods::pays(supply) {
            let (mut plan, least) = (tree.best().0.clone(), tree.bound());
            let neighborhoods = self.ranks[rank].neighborhoods.take();
            let mut neighborhoods = neighborhoods
                .unwrap_or_else(|| ServiceNeighborhoods::new(supply, &stage, solve_part));
            neighborhoods.run(&stage, &mut plan, tree.master(), self.clock, least);
            tree.update_incumbent_from(plan);
            self.ranks[rank].neighborhoods = Some(neighborhoods);
        }
        done = done || tree.go_on(turn);
        let kept = tree.best().1 >= value || self.take(rank, tree.best().0);
        self.ranks[rank].proven = kept && done && tree.bound() >= tree.best().1;
        self.ranks[rank].tree = (kept && !done).then_some(tree);
    }

    /// Takes a plan that serves more of a rank; what was asked given that rank is asked anew.
    fn take(&mut self, rank: usize, found: &Plan) -> bool {
        let (problem, clock) = (self.problem, self.clock);
        let Some(mut plan) = all_bought::turned_back(problem, found, self.supply) else {
            // Never seen; the search goes on without the short cut.
            debug_assert!(false, "what all cars can serve cannot be bought");
            self.supply = problem;
            self.ranks.iter_mut().for_each(|rank| *rank = Rank::default());
            return false;
        };
        let order = orders(problem).swap_remove(0);
        serve_greedily(problem, &mut plan, &order, None, clock);
        local_search(problem, &mut plan, clock);
        self.best = plan;
        self.asked_anew(rank + 1);
        clock.anew(self.best.served(), objective(problem, &self.best).1);
        true
    }

    /// What was asked given how many of the ranks before one are served is asked anew.
    fn asked_anew(&mut self, rank: usize) {
        self.ranks[rank..].iter_mut().for_each(|later| *later = Rank::default());
        (self.money, self.cheapest) = (None, false);
    }

    /// Looks on for a cheaper plan that serves as many.
    fn cut_cost(&mut self, turn: u64) {
        let (problem, clock) = (self.problem, self.clock);
        let before = self.best.unserved(problem);
        let mut tree = match self.money.take() {
            Some(tree) => tree,
            None => {
                local_search(problem, &mut self.best, clock);
                let net = objective(problem, &self.best).1;
                clock.best(self.best.served(), net);
                let stage = Stage::cost(&self.best.unserved(problem));
                let master = Master::new(problem);
                let tree =
                    BranchAndPrice::new(problem, &stage, master, clock, self.best.clone(), net);
                match self.bound.filter(|_| self.least == before) {
                    Some(bound) => tree.known_from(bound),
                    None => tree,
                }
            }
        };
        let done = tree.go_on(turn);
        self.best = tree.best().0.clone();
        self.cheapest = done && tree.bound() >= tree.best().1;
        self.money = Some(tree);
        // A cheaper plan may serve more.
        let more = before.iter().zip(self.best.unserved(problem)).position(|(a, b)| *a != b);
        if let Some(rank) = more.filter(|_| clock.stopped().is_none()) {
            self.asked_anew(rank + 1);
        }
    }
}
