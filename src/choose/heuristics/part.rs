//! A few crossings taken out of the problem, to be decided again exactly while all others keep their
//! decks: the cars of the others are gone, their lots and trips are paid.

use std::sync::Arc;

use crate::choose::bound::master::Master;
use crate::choose::clock::Clock;
use crate::choose::decks::column::{Column, column};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::fund_rows::FundRows;
use crate::choose::problem::stage::Stage;
use crate::choose::problem::{Cand, Crossing, Item, Layout, Lot, Problem, Section, Span};
use crate::choose::tuning::{NEIGHBORHOOD_NODES, NEIGHBORHOOD_SLACK, SERVICE_NEIGHBORHOOD_NODES};
use crate::parallel;

/// The search of one stage over a problem, from a plan that is valid in it.
pub struct Search<'a> {
    pub problem: &'a Problem,
    pub stage: &'a Stage,
    pub master: &'a mut Master,
    pub clock: &'a Clock<'a>,
    pub plan: Plan,
    /// What the plan is worth in the stage.
    pub value: i64,
    /// Nodes at most.
    pub nodes: usize,
    /// A better plan is looked for only if it can be better by more than this.
    pub slack: i64,
}

/// Searches a problem; the best plan found and its value.
pub type Solver = fn(Search) -> (Plan, i64);

/// The part as a problem of its own, with the way back.
struct Part {
    problem: Problem,
    /// Per crossing, layout and span of the part, the whole problem's.
    crossings: Vec<usize>,
    layouts: Vec<usize>,
    spans: Vec<usize>,
    /// Per span and candidate of the part, the whole problem's candidate, rising.
    cands: Vec<Vec<u32>>,
}

/// Numbers of the whole problem's things in the part.
struct Renumbered {
    number: Vec<Option<usize>>,
    old: Vec<usize>,
}

impl Renumbered {
    fn new(count: usize) -> Self {
        Self { number: vec![None; count], old: Vec::new() }
    }

    fn of(&mut self, old: usize) -> usize {
        *self.number[old].get_or_insert_with(|| {
            self.old.push(old);
            self.old.len() - 1
        })
    }
}

impl Part {
    /// Cuts crossings out. The ledger is without them; of each span only the candidates given, in
    /// rising order, take part.
    fn cut(
        whole: &Problem,
        ledger: &Ledger,
        crossings: &[usize],
        kept: &dyn Fn(usize) -> Vec<u32>,
    ) -> Self {
        let mut items = Renumbered::new(whole.items.len());
        let mut part = Self {
            problem: Problem {
                items: Vec::new(),
                item_of: Vec::new(),
                lots: Vec::new(),
                trips: whole.trips.clone(),
                levels: whole.levels.clone(),
                crossings: Vec::new(),
                layouts: Vec::new(),
                spans: Arc::default(),
                ranks: whole.ranks.clone(),
                budget: whole.budget.map(|budget| budget - ledger.outlay),
                funds: FundRows { limits: ledger.funds.left(whole), ..whole.funds.clone() },
            },
            crossings: crossings.to_vec(),
            layouts: Vec::new(),
            spans: Vec::new(),
            cands: Vec::new(),
        };
        for &crossing in crossings {
            let first = part.problem.layouts.len();
            for layout in whole.crossings[crossing].layouts.clone() {
                let record = &whole.layouts[layout];
                let first_span = part.problem.spans.len();
                for span in record.spans.clone() {
                    let kept = kept(span).into_iter().filter(|cand| {
                        let item = whole.spans[span].cands[*cand as usize].item;
                        ledger.used[item] < whole.items[item].quantity
                    });
                    let kept: Vec<u32> = kept.collect();
                    part.add_span(whole, span, &kept, &mut items);
                    part.cands.push(kept);
                    part.spans.push(span);
                }
                part.problem.layouts.push(Layout {
                    crossing: part.problem.crossings.len(),
                    number: record.number,
                    fixed: record.fixed,
                    spans: first_span..part.problem.spans.len(),
                });
                part.layouts.push(layout);
            }
            let Crossing { rank, points, fund, .. } = whole.crossings[crossing];
            let layouts = first..part.problem.layouts.len();
            part.problem.crossings.push(Crossing { rank, points, fund, layouts });
        }
        part.add_items(whole, ledger, &items);
        part
    }

    fn add_span(&mut self, whole: &Problem, span: usize, kept: &[u32], items: &mut Renumbered) {
        let record = &whole.spans[span];
        let mut cands: Vec<Cand> = Vec::with_capacity(kept.len());
        let mut sections = Vec::new();
        let mut rest = kept;
        for section in &record.sections {
            let start = cands.len();
            let end = rest.partition_point(|cand| (*cand as usize) < section.cands.end);
            for &cand in &rest[..end] {
                let old = &record.cands[cand as usize];
                cands.push(Cand { item: items.of(old.item), ..old.clone() });
            }
            rest = &rest[end..];
            if cands.len() > start {
                sections
                    .push(Section { cands: start..cands.len(), counts: section.counts.clone() });
            }
        }
        let hauls = kept.iter().filter_map(|cand| record.hauls.get(*cand as usize));
        let here = |&(cand, times): &(u32, u32)| {
            kept.iter().position(|other| *other == cand).map(|at| (at as u32, times))
        };
        let holds: Option<Vec<(u32, u32)>> = record.holds.iter().map(here).collect();
        if holds.is_none() {
            // Without the cars that it must hold the span has no deck.
            cands.clear();
            sections.clear();
        }
        Arc::make_mut(&mut self.problem.spans).push(Span {
            holds: holds.unwrap_or_default(),
            layout: self.problem.layouts.len(),
            crossing: self.problem.crossings.len(),
            rule: record.rule.clone(),
            cands,
            sections,
            hauls: hauls.cloned().collect(),
        });
    }

    fn add_items(&mut self, whole: &Problem, ledger: &Ledger, items: &Renumbered) {
        let mut lots = Renumbered::new(whole.lots.len());
        for (number, &old) in items.old.iter().enumerate() {
            let item = &whole.items[old];
            // The cars of a lot that the others have bought stand there for nothing more.
            let open = item.lot.filter(|lot| ledger.lots[*lot] == 0);
            let lot = open.map(|lot| lots.of(lot));
            self.problem.items.push(Item {
                offers: Vec::new(),
                quantity: item.quantity - ledger.used[old],
                price: item.price,
                surcharge: Vec::new(),
                stock: item.stock,
                share: item.share,
                yard: item.yard,
                lot,
            });
            let new = open.filter(|_| lot == Some(self.problem.lots.len()));
            if let Some(record) = new.map(|lot| &whole.lots[lot]) {
                self.problem.lots.push(Lot {
                    price: record.price,
                    net: record.net,
                    items: Vec::new(),
                    yards: record.yards.clone(),
                    cars: record.cars.clone(),
                    fills: false,
                    useful: true,
                    crossings: Vec::new(),
                });
            }
            if let Some(lot) = lot {
                self.problem.lots[lot].items.push(number);
            }
        }
        for (trip, users) in self.problem.trips.iter_mut().zip(&ledger.yards) {
            if *users > 0 {
                *trip = 0;
            }
        }
    }

    /// Decks of the whole problem as decks of the part.
    fn inward(&self, whole: &Problem, served: &Served) -> Option<Served> {
        let layout = self.layouts.iter().position(|layout| *layout == served.layout)?;
        let spans = self.problem.layouts[layout].spans.clone();
        let decks = spans.zip(&served.decks);
        let decks = decks.map(|(span, deck)| self.inward_deck(whole, span, deck));
        Some(Served { layout, decks: decks.collect::<Option<_>>()? })
    }

    fn inward_deck(&self, whole: &Problem, span: usize, deck: &Column) -> Option<Column> {
        let known = &self.cands[span];
        let cands: Option<Vec<u32>> = deck
            .cands
            .iter()
            .map(|cand| known.binary_search(cand).ok().map(|place| place as u32))
            .collect();
        Some(column(&self.problem, span, &cands?, deck.joints(whole)))
    }

    /// Decks of the part as decks of the whole problem.
    fn outward(&self, whole: &Problem, served: &Served) -> Served {
        let deck = |deck: &Column| {
            let cands: Vec<u32> =
                deck.cands.iter().map(|cand| self.cands[deck.span][*cand as usize]).collect();
            column(whole, self.spans[deck.span], &cands, deck.joints(&self.problem))
        };
        Served {
            layout: self.layouts[served.layout],
            decks: served.decks.iter().map(deck).collect(),
        }
    }

    /// The decks that the plan has in the part, and the columns known there.
    fn present(&self, whole: &Problem, plan: &Plan, columns: &Master) -> Option<(Plan, Master)> {
        let mut present = Plan::empty(&self.problem);
        for (place, &crossing) in self.crossings.iter().enumerate() {
            if let Some(served) = &plan.crossings[crossing] {
                present.crossings[place] = Some(self.inward(whole, served)?);
            }
        }
        let mut master = Master::new(&self.problem);
        for (place, &span) in self.spans.iter().enumerate() {
            for &index in &columns.by_span[span] {
                if let Some(column) = self.inward_deck(whole, place, &columns.columns[index]) {
                    master.add(column);
                }
            }
        }
        Some((present, master))
    }

    /// The decks of a plan of the part, for the whole.
    fn change(&self, whole: &Problem, plan: &Plan) -> Change {
        let decks = plan
            .crossings
            .iter()
            .map(|served| served.as_ref().map(|served| self.outward(whole, served)));
        self.crossings.iter().copied().zip(decks).collect()
    }

    /// Decides the part again, from the decks that the incumbent has there; the better decks, if
    /// there are any.
    fn solve(&self, around: &Incumbent, clock: &Clock) -> Option<Change> {
        let whole = around.problem;
        let (present, mut master) = self.present(whole, around.plan, around.master)?;
        let unserved = present.unserved(&self.problem);
        let rank = around.stage.and_then(|stage| stage.counted);
        let (stage, before, nodes, slack) = match rank {
            None => {
                let net = present.ledger(&self.problem).net;
                (Stage::cost(&unserved), net, NEIGHBORHOOD_NODES, net / NEIGHBORHOOD_SLACK)
            }
            Some(rank) => {
                let stage = Stage::serve(&self.problem, rank, &unserved[..rank]);
                (stage, unserved[rank] as i64, SERVICE_NEIGHBORHOOD_NODES, 0)
            }
        };
        let (better, value) = (around.solver)(Search {
            problem: &self.problem,
            stage: &stage,
            master: &mut master,
            clock,
            plan: present,
            value: before,
            nodes,
            slack,
        });
        (value < before).then(|| self.change(whole, &better))
    }
}

/// The incumbent around which parts are decided again.
pub struct Incumbent<'a> {
    pub problem: &'a Problem,
    pub plan: &'a Plan,
    pub ledger: &'a Ledger,
    pub master: &'a Master,
    /// The service stage whose rank is to leave fewer out; none: the cost is to fall.
    pub stage: Option<&'a Stage>,
    pub solver: Solver,
}

impl Incumbent<'_> {
    /// Decides parts again, at the same time: the crossings given, with these candidates of each
    /// span and those that lie there now.
    pub fn decide(
        &self,
        parts: &[Vec<usize>],
        clock: &Clock,
        candidates: &(dyn Fn(&Ledger, usize) -> Vec<u32> + Sync),
    ) -> Vec<Option<Change>> {
        let deadline = clock.deadline();
        let one = |crossings: &Vec<usize>| {
            let (ledger, present) = taken_up(self.problem, self.plan, self.ledger, crossings);
            let kept = |span: usize| {
                let mut cands = candidates(&ledger, span);
                cands.extend(present.iter().filter(|(s, _)| *s == span).map(|(_, cand)| *cand));
                cands.sort_unstable();
                cands.dedup();
                cands
            };
            let part = Part::cut(self.problem, &ledger, crossings, &kept);
            part.solve(self, &Clock::of_part(deadline))
        };
        parallel::map(parts, one, &|_, _| {})
    }
}

/// New decks of some crossings.
pub type Change = Vec<(usize, Option<Served>)>;

/// Takes a change if it still holds beside those before it and makes the plan
/// serve more, or cheaper.
pub fn take(problem: &Problem, plan: &mut Plan, ledger: &mut Ledger, change: Change) -> bool {
    let before = (plan.unserved(problem), ledger.net);
    let mut old: Change = Vec::new();
    for (crossing, served) in &change {
        let present = plan.crossings[*crossing].take();
        if let Some(present) = &present {
            ledger.remove(problem, present);
        }
        old.push((*crossing, present));
        plan.crossings[*crossing] = served.clone();
    }
    for (_, served) in &change {
        if let Some(served) = served {
            ledger.place(problem, served);
        }
    }
    if ledger.holds(problem) && (plan.unserved(problem), ledger.net) < before {
        return true;
    }
    for served in change.iter().filter_map(|(_, served)| served.as_ref()) {
        ledger.remove(problem, served);
    }
    for (crossing, present) in old {
        if let Some(present) = &present {
            ledger.place(problem, present);
        }
        plan.crossings[crossing] = present;
    }
    false
}

/// The ledger without these crossings' decks, and the candidates that lie in them, by span.
fn taken_up(
    problem: &Problem,
    plan: &Plan,
    ledger: &Ledger,
    crossings: &[usize],
) -> (Ledger, Vec<(usize, u32)>) {
    let mut ledger = ledger.clone();
    let mut present = Vec::new();
    for served in crossings.iter().filter_map(|crossing| plan.crossings[*crossing].as_ref()) {
        ledger.remove(problem, served);
        for deck in &served.decks {
            present.extend(deck.cands.iter().map(|cand| (deck.span, *cand)));
        }
    }
    (ledger, present)
}
