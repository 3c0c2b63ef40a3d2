//! Prices to beat: below which price a car or lot that is not chosen would enter the cheapest plan,
//! and up to which price a chosen one stays in it.
//!
//! Each is found by choosing again, and is exact to the cent. With the price of one thing as the only
//! unknown, let `without` be the best plan that does not use it. A plan that uses it is better than
//! that up to some price, which its own sums tell. Begin at a price of nothing, go to where the
//! plan found there stops being better, and choose again there: if that choice is no better than
//! `without` either, the price is found, else go on from the new plan. For one car sold singly,
//! without budget or funds, the first step is the last: every plan with it grows by the cent as its price
//! does.
//!
//! Bounds come first: what a plan with the car in it costs at least tells of many cars that not even a
//! gift would bring them in (see `bounds` and [`Floor`](crate::choose::Floor)). Where the time is up
//! before a price is proven, the bounds and the best plans found say between which prices it lies.

mod bounds;
mod priced;
mod search;

use std::sync::atomic::AtomicBool;
use std::time::Duration;

use crate::assemble::Solved;
use crate::choose::{Choice, Market, Merit, merit, totals};
use crate::deadline::Deadline;
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::parallel;
use crate::quantity::Cents;
use crate::survey::Survey;
use bounds::Bounds;
use priced::Priced;
pub use priced::Worth;
use search::{Search, Time};

/// What a price is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// A row of the inventory, sold singly.
    Row(CarIx),
    /// A lot.
    Lot(LotIx),
}

/// The price to beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beat {
    /// Not even as a gift would it be used.
    Never,
    /// At any price below this one it is in the cheapest plan; at this one it makes no difference.
    Below(Cents),
    /// At any price: without it fewer crossings are served.
    Always,
}

/// How a price was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// No deck that anybody could lay holds it.
    NoDeck,
    /// By bounds, without choosing again.
    ByBound,
    /// By choosing again so often.
    BySolving(u32),
}

/// The price to beat of one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct PriceToBeat {
    /// What it is.
    pub subject: Subject,
    /// The price asked, of one car or of the lot.
    pub asked: Cents,
    /// Cars of the row in the plan, or 1 for a lot in the plan.
    pub chosen: u32,
    /// The price to beat.
    pub beat: Beat,
    /// The best plan without it: of a chosen thing, what it costs and whom it serves.
    pub without: Merit,
    /// What the plan's net cost falls by if the dealer lowers the price by the discount asked about.
    pub saves: Cents,
    /// How the price was found.
    pub found: Found,
    /// Whether every choice behind it was proven best.
    pub proven: bool,
    /// Where it is not proven, the least and the greatest price to beat that are possible, if
    /// anything is known of them.
    pub range: Option<(Cents, Cents)>,
}

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct Question<'a> {
    /// The discount to tell the saving of, in per cent of the price asked.
    pub discount_pct: f64,
    /// By what left-over cars of a lot count.
    pub worth: Worth<'a>,
    /// How long each choice may take.
    pub time_limit: Option<Duration>,
    /// How long all of them together may take.
    pub in_all: Option<Duration>,
    /// Ends the search for all that are left when it is set.
    pub interrupt: Option<&'a AtomicBool>,
}

/// All prices to beat.
#[derive(Clone, Debug, PartialEq)]
pub struct PricesToBeat {
    /// What a telephone call could save comes first, then what is nearest to its price.
    pub list: Vec<PriceToBeat>,
    /// The plan as it is.
    pub plan: Merit,
    /// Things that were not looked at, for the time was up.
    pub left_out: usize,
}

/// Of the time for all prices, one in so many parts goes to the bounds.
const FOR_BOUNDS: u32 = 6;

/// Finds the price to beat of every row sold singly and of every lot that has a price and a car that passes
/// somewhere, or may make up an order. `progress` hears how many are done, of how many.
#[must_use]
pub fn prices(
    inputs: &Inputs,
    survey: &Survey,
    solved: &Solved,
    question: &Question<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> PricesToBeat {
    let market = &solved.market;
    let subjects = subjects(inputs, survey, market);
    prices_for(market, &solved.choice, &subjects, question, progress)
}

/// The prices to beat of these things on a market of which this is the best choice.
#[must_use]
pub fn prices_for(
    market: &Market,
    choice: &Choice,
    subjects: &[Subject],
    question: &Question<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> PricesToBeat {
    let end = Deadline::after(None, question.in_all).interrupted_by(question.interrupt);
    let for_bounds = question.in_all.map_or(end, |limit| end.or_after(limit / FOR_BOUNDS));
    let plan = merit(market, choice, choice.net);
    let desk = Desk {
        market,
        choice,
        plan: plan.clone(),
        bounds: Bounds::new(market, choice, for_bounds),
        question: *question,
        time: Time::new(question, end, subjects.len()),
    };
    let queue = desk.narrowest_first(subjects);
    let found = parallel::map(&queue, |subject| desk.price_to_beat(*subject), progress);
    let mut list: Vec<PriceToBeat> = found.into_iter().flatten().collect();
    let left_out = subjects.len() - list.len();
    list.sort_by_key(order);
    PricesToBeat { list, plan, left_out }
}

/// The most saved first, then the least way from the price asked to the price to beat.
fn order(offer: &PriceToBeat) -> (i64, i64, Subject) {
    let way = match offer.beat {
        Beat::Never => i64::MAX,
        Beat::Below(price) => (offer.asked.0 - price.0).abs(),
        Beat::Always => i64::MAX - 1,
    };
    (-offer.saves.0, way, offer.subject)
}

fn subjects(inputs: &Inputs, survey: &Survey, market: &Market) -> Vec<Subject> {
    let passes = |car: CarIx| survey.passes_somewhere(car);
    let rows = inputs.car_indices().filter(|car| {
        let row = inputs.car(*car);
        // A row with several prices has no one price to beat.
        let one_price = market.offers[car.0].quotes.is_empty();
        row.lot.is_none() && !row.owned && row.price.is_some() && one_price && passes(*car)
    });
    let lots = (0..inputs.lots.len()).map(LotIx).filter(|lot| {
        let fits = || inputs.lot(*lot).cars.iter().any(|car| passes(*car));
        market.lots[lot.0].is_some() && (market.fillers.contains(&lot.0) || fits())
    });
    rows.map(Subject::Row).chain(lots.map(Subject::Lot)).collect()
}

/// What every price to beat is found from.
struct Desk<'a> {
    market: &'a Market,
    choice: &'a Choice,
    plan: Merit,
    bounds: Bounds,
    question: Question<'a>,
    time: Time<'a>,
}

impl Desk<'_> {
    /// Those first of which the bounds leave least open: they are proven soonest.
    fn narrowest_first(&self, subjects: &[Subject]) -> Vec<Subject> {
        let open = |subject: &Subject| {
            let Subject::Row(car) = subject else { return (1, Cents::ZERO) };
            let net = self.plan.net;
            (0, self.bounds.gift(car.0).map_or(Cents::ZERO, |if_free| net - if_free))
        };
        let mut order = subjects.to_vec();
        order.sort_by_key(|subject| (open(subject), *subject));
        order
    }

    /// The price to beat of one thing; none: the time was up before it was looked at, and the bounds
    /// alone say nothing.
    fn price_to_beat(&self, subject: Subject) -> Option<PriceToBeat> {
        let priced = Priced::new(self.market, subject, self.question.worth);
        let chosen = priced.used(self.choice);
        let asked = priced.asked();
        let mut offer = PriceToBeat {
            subject,
            asked,
            chosen,
            beat: Beat::Never,
            without: self.plan.clone(),
            saves: Cents::ZERO,
            found: Found::ByBound,
            proven: true,
            range: None,
        };
        if chosen == 0
            && let Some(found) = self.bounds.never(&priced)
        {
            return Some(PriceToBeat { found, ..offer });
        }
        if self.time.is_up() {
            offer.proven = false;
            offer.range = self.range(&priced, &offer, None);
            return offer.range.is_some().then_some(offer);
        }
        let floor = self.bounds.floor(&priced);
        let unlimited = self.market.is_unlimited();
        let mut search = Search::new(self.choice, self.time.next(), floor, unlimited);
        if chosen == 0 {
            search.proven = self.choice.cheapest && self.choice.service;
        } else {
            search.is_chosen = true;
            offer.without = search.merit(&priced.without()).1;
        }
        let without = search.least;
        offer.beat = self.beat(&priced, &offer.without, &mut search);
        offer.saves = self.saves(&priced, chosen, offer.beat, &mut search);
        offer.found = Found::BySolving(search.solves);
        offer.proven = search.proven;
        if !offer.proven {
            let least = if chosen > 0 { without } else { search.if_free };
            offer.range = self.range(&priced, &offer, least);
        }
        Some(offer)
    }

    /// Between which prices the price to beat of a single car lies, from bounds and from plans found.
    /// `least` is a bound on the plans without a car that is in the plan, or on those with one that is not,
    /// were it a gift.
    fn range(
        &self,
        priced: &Priced,
        offer: &PriceToBeat,
        least: Option<Cents>,
    ) -> Option<(Cents, Cents)> {
        if offer.without.unserved != self.plan.unserved {
            return None;
        }
        let (net, bound) = (self.plan.net, self.choice.bound);
        let Subject::Row(car) = offer.subject else {
            // Of a lot that is not chosen: from a price of nothing on, a plan with it grows by no less than
            // the part of the price that is not given back as stock value.
            let least = least.filter(|_| offer.chosen == 0 && self.market.is_unlimited())?;
            let kept = (1.0 - self.question.worth.share.0 / 100.0).max(0.1);
            let most = Cents::from_dollars(((net - least).as_dollars() / kept).ceil());
            return Some((self.found(offer), most.max(Cents::ZERO)));
        };
        if !priced.is_one_car() {
            return None;
        }
        if offer.chosen > 0 {
            let least = self.bounds.without(car.0)?.max(least?);
            return Some((offer.asked + least - net, offer.asked + offer.without.net - bound));
        }
        let if_free = self.bounds.gift(car.0)?;
        let most = net - least.map_or(if_free, |least| least.max(if_free));
        Some((self.found(offer), most))
    }

    /// The least price to beat that the plans found leave possible, of a thing not chosen.
    fn found(&self, offer: &PriceToBeat) -> Cents {
        let found = match offer.beat {
            Beat::Below(price) => price - (self.plan.net - self.choice.bound),
            Beat::Never | Beat::Always => Cents::ZERO,
        };
        found.max(Cents::ZERO)
    }

    fn beat(&self, priced: &Priced, without: &Merit, search: &mut Search<'_>) -> Beat {
        let straight = priced.is_one_car() && self.market.is_unlimited();
        if straight && search.is_chosen {
            // Every plan with it grows by the cent as its price does, so that the plan stays the best of them.
            if without.unserved != self.plan.unserved {
                return Beat::Always;
            }
            search.proven &= self.choice.cheapest && self.choice.service;
            let more = without.net - self.plan.net;
            return Beat::Below((priced.asked() + more).max(Cents::ZERO));
        }
        let mut price = Cents::ZERO;
        let mut beat = Beat::Never;
        loop {
            let (choice, found) = search.merit(&priced.at(price));
            if price == Cents::ZERO {
                search.if_free = search.least;
            }
            if found >= *without {
                return beat;
            }
            let Some(end) = priced.end(&choice, price, without) else { return Beat::Always };
            beat = Beat::Below(end);
            price = end;
            if straight {
                return beat;
            }
        }
    }

    /// What the discount saves.
    fn saves(&self, priced: &Priced, chosen: u32, beat: Beat, search: &mut Search<'_>) -> Cents {
        let asked = priced.asked();
        let share = (100.0 - self.question.discount_pct) / 100.0;
        let offered = Cents::from_dollars(asked.as_dollars() * share);
        let in_plan = match beat {
            Beat::Never => false,
            Beat::Below(price) => offered < price,
            Beat::Always => true,
        };
        if !in_plan {
            return Cents::ZERO;
        }
        if priced.is_one_car() && self.market.is_unlimited() {
            return match beat {
                Beat::Below(price) if chosen == 0 => price - offered,
                _ => asked - offered,
            };
        }
        let found = search.merit(&priced.at(offered)).1;
        // A budget may serve more at the lower price; then there is more than money in it.
        if found.unserved == self.plan.unserved { self.plan.net - found.net } else { Cents::ZERO }
    }
}

/// The merit of a choice at other prices; none: it cannot be paid.
fn merit_at(market: &Market, choice: &Choice) -> Option<Merit> {
    totals(market, choice).map(|totals| merit(market, choice, totals.net))
}
