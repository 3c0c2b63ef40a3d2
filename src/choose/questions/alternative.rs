//! The cheapest other decks of one crossing, all other crossings' decks as they are: what the
//! chosen decks are better than.

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::heuristics::best_response::{Responder, Terms};
use crate::choose::market::{Choice, ChosenLayout, Market};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::Problem;
use crate::choose::tuning::{ALTERNATIVE_DECKS_MOST, DECKS_PER_SPAN_TRIED};
use crate::quantity::Cents;

/// Other decks of a crossing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Other {
    /// The decks, and what the plan would cost more with them; none: no others were found.
    pub decks: Option<(ChosenLayout, Cents)>,
    /// Whether no others cost less, or, where none were found, there are none. If not, the time was
    /// up before that was known.
    pub proven: bool,
}

impl Other {
    /// Of a crossing that has no decks.
    const NONE: Self = Self { decks: None, proven: true };
}

/// The cheapest other decks of a served crossing and what they would cost more, net.
///
/// Other decks: another layout, or other cars. Identical cars, and the same cars changed about
/// between the spans, are not other cars. Free for them are cars that no other crossing uses; lots
/// and trips that the other crossings need anyway cost nothing more, those that only this crossing
/// needs are given back, new ones are paid in full less the stock value of what is left over. A
/// budget holds for them too. None: the crossing is not served, or there are no others.
///
/// Where yards have price levels, other decks are compared at the lowest prices, so that cheaper ones
/// may exist; what they cost more is exact.
///
/// The cost is less than zero only if the choice is not the cheapest.
#[must_use]
pub fn cheapest_other(
    market: &Market,
    choice: &Choice,
    crossing: usize,
) -> Option<(ChosenLayout, Cents)> {
    let problem = Problem::new(market);
    let plan = Plan::from_choice(&problem, choice)?;
    plan.crossings.get(crossing)?;
    let clock = Clock::new(&Effort::default());
    let mut alternatives = Alternatives::new(&problem, &clock, plan, false);
    alternatives.answer(crossing, true);
    let extra = alternatives.extra(crossing)?;
    Some((alternatives.chosen(market, choice, crossing)?, Cents(extra)))
}

/// The [`cheapest_other`] decks of every crossing, as far as a short time after a search of this
/// effort allows.
///
/// Decks that cost less than those chosen are taken into the choice, unless that is proven cheapest or
/// is to be `kept`: no other decks cost less than nothing more. A kept choice has none in their place.
#[must_use]
pub fn with_others(
    market: &Market,
    choice: Choice,
    effort: &Effort,
    kept: bool,
) -> (Choice, Vec<Other>) {
    others_of(&Problem::new(market), market, choice, effort, kept)
}

/// [`with_others`], where the market is compiled.
pub fn others_of(
    problem: &Problem,
    market: &Market,
    choice: Choice,
    effort: &Effort,
    kept: bool,
) -> (Choice, Vec<Other>) {
    let effort = effort.afterwards(choice.stopped);
    let clock = Clock::new(&effort);
    let Some(plan) = Plan::from_choice(problem, &choice) else {
        let unknown = Other { decks: None, proven: false };
        return (choice, vec![unknown; market.crossings.len()]);
    };
    clock.best(plan.served(), choice.net.0);
    let mut alternatives = Alternatives::new(problem, &clock, plan, !kept && !choice.cheapest);
    alternatives.look();
    alternatives.settle();
    let choice = match alternatives.changes {
        0 => choice,
        _ => changed(&choice, alternatives.plan.clone().into_choice(problem, market)),
    };
    let crossings = 0..market.crossings.len();
    let others = crossings.map(|crossing| alternatives.other(market, &choice, crossing)).collect();
    (choice, others)
}

/// A cheaper choice that serves the same as the one before, with what was proven of that.
fn changed(before: &Choice, now: Choice) -> Choice {
    Choice {
        bound: before.bound.min(now.net),
        cheapest: before.service && now.net == before.bound,
        service: before.service,
        stopped: before.stopped,
        ..now
    }
}

/// What is known of the other decks of one crossing.
#[derive(Clone, Default)]
struct Found {
    served: Option<Served>,
    /// Whether all that could be cheaper were tried, when the plan had been changed so often.
    closely_at: Option<usize>,
    /// Whether some were tried, when the plan had been changed so often.
    quickly_at: Option<usize>,
}

/// A plan with the other decks of its crossings.
struct Alternatives<'a> {
    problem: &'a Problem,
    clock: &'a Clock<'a>,
    responder: Responder<'a>,
    plan: Plan,
    ledger: Ledger,
    found: Vec<Found>,
    /// Whether cheaper decks are taken into the plan.
    improves: bool,
    /// How often that was done.
    changes: usize,
}

impl<'a> Alternatives<'a> {
    fn new(problem: &'a Problem, clock: &'a Clock<'a>, plan: Plan, improves: bool) -> Self {
        Self {
            problem,
            clock,
            responder: Responder::until(problem, clock),
            ledger: plan.ledger(problem),
            found: vec![Found::default(); plan.crossings.len()],
            plan,
            improves,
            changes: 0,
        }
    }

    /// Looks at all crossings in turn, first quickly and then closely, until no change pays or the time
    /// is up.
    fn look(&mut self) {
        let crossings = self.plan.crossings.len();
        for closely in [false, true] {
            let (mut at, mut unchanged) = (0, 0);
            while unchanged < crossings && !self.clock.up() {
                unchanged = if self.answer(at, closely) { 0 } else { unchanged + 1 };
                at = (at + 1) % crossings;
            }
        }
    }

    /// Looks for other decks of one crossing; whether they were cheaper and are now its own.
    fn answer(&mut self, crossing: usize, closely: bool) -> bool {
        let problem = self.problem;
        let layouts = problem.crossings[crossing].layouts.clone();
        let several = layouts.into_iter().any(|layout| problem.layouts[layout].spans.len() > 1);
        let known = &self.found[crossing];
        let (quick, close) = (known.quickly_at, known.closely_at);
        let is_known = close == Some(self.changes) || !closely && quick == Some(self.changes);
        let Some(present) = self.plan.crossings[crossing].take_if(|_| !is_known) else {
            return false;
        };
        let before = self.ledger.net;
        self.ledger.remove(problem, &present);
        let terms = Terms { except: Some(&present), ..Terms::default() };
        let mut best = self.responder.respond(&self.ledger, crossing, &terms);
        let mut net = best.as_ref().map(|served| self.ledger.with(problem, served).net);
        if several && closely {
            // With several spans only the first decks of each were tried; now all that could be better.
            self.responder.width = ALTERNATIVE_DECKS_MOST;
            let below = net.map(|net| net - self.ledger.net);
            let terms = Terms { below, ..terms };
            if let Some(served) = self.responder.respond(&self.ledger, crossing, &terms) {
                net = Some(self.ledger.with(problem, &served).net);
                best = Some(served);
            }
            self.responder.width = DECKS_PER_SPAN_TRIED;
        }
        let best = best.filter(|served| self.ledger.with(problem, served).holds(problem));
        let late = self.responder.is_late();
        let pays = self.improves && net.is_some_and(|net| net < before);
        let found = &mut self.found[crossing];
        let (own, other, improved) = match best {
            Some(best) if pays => (best, Some(present), true),
            best => (present, best, false),
        };
        self.ledger.place(problem, &own);
        self.plan.crossings[crossing] = Some(own);
        self.changes += usize::from(improved);
        if !late || other.is_some() {
            found.served = other;
        }
        let at = Some(self.changes).filter(|_| !improved && !late);
        found.quickly_at = at;
        found.closely_at = at.filter(|_| closely || !several);
        improved
    }

    /// What the plan would cost more with the other decks of a crossing, if they can be had.
    fn extra(&self, crossing: usize) -> Option<i64> {
        let present = self.plan.crossings[crossing].as_ref()?;
        let mut ledger = self.ledger.clone();
        ledger.remove(self.problem, present);
        ledger.place(self.problem, self.found[crossing].served.as_ref()?);
        ledger.holds(self.problem).then_some(ledger.net - self.ledger.net)
    }

    /// Takes in what is known to be cheaper beside the plan as it has become, and forgets what can no
    /// longer be had.
    fn settle(&mut self) {
        let mut crossing = 0;
        while crossing < self.plan.crossings.len() {
            let extra = self.extra(crossing);
            let cheaper = extra.is_some_and(|extra| extra < 0);
            if cheaper && self.improves {
                let found = &mut self.found[crossing];
                let own = &mut self.plan.crossings[crossing];
                std::mem::swap(own, &mut found.served);
                (found.quickly_at, found.closely_at) = (None, None);
                self.ledger = self.plan.ledger(self.problem);
                self.changes += 1;
                crossing = 0;
                continue;
            }
            if (cheaper || extra.is_none()) && self.found[crossing].served.is_some() {
                self.found[crossing] = Found::default();
            }
            crossing += 1;
        }
    }

    /// The other decks of a crossing in offers, beside those that the choice has at the others.
    fn chosen(&self, market: &Market, choice: &Choice, crossing: usize) -> Option<ChosenLayout> {
        let mut left: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
        for (number, chosen) in choice.crossings.iter().enumerate() {
            for &offer in
                chosen.iter().filter(|_| number != crossing).flat_map(|c| c.decks.iter().flatten())
            {
                left[offer] = left[offer].saturating_sub(1);
            }
        }
        Some(self.found[crossing].served.as_ref()?.chosen(self.problem, &mut left))
    }

    fn other(&self, market: &Market, choice: &Choice, crossing: usize) -> Other {
        if self.plan.crossings[crossing].is_none() {
            return Other::NONE;
        }
        let proven = self.found[crossing].closely_at == Some(self.changes);
        let extra = self.extra(crossing);
        let decks =
            extra.and_then(|extra| Some((self.chosen(market, choice, crossing)?, Cents(extra))));
        Other { decks, proven }
    }
}
