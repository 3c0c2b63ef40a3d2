//! Which facts of a car decide whether it may lie at a crossing, and how well each is known.

use super::{C, of};
use crate::check::Grade;
use crate::model::car::{Car, LeadStatus};
use crate::model::crossing::Crossing;
use crate::model::rules::{FactKind, Rules};

/// One fact that decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decisive {
    /// The facts that are found out with it.
    pub kind: FactKind,
    /// The fact; of the plates their first column stands for all.
    pub column: C,
    /// How well it is known; none: it is not.
    pub grade: Option<Grade>,
}

/// Facts that decide wherever the car lies.
const ALWAYS: [(FactKind, C); 17] = [
    (FactKind::Kind, C::Kind),
    (FactKind::Kind, C::Section),
    (FactKind::History, C::Wrecked),
    (FactKind::Primary, C::MainGirder),
    (FactKind::Primary, C::ExteriorGirders),
    (FactKind::Primary, C::Bolsters),
    (FactKind::Secondary, C::CrossMembers),
    (FactKind::Secondary, C::Stringers),
    (FactKind::Lengths, C::Length),
    (FactKind::Lengths, C::TruckCenters),
    (FactKind::Width, C::Width),
    (FactKind::Camber, C::Camber),
    (FactKind::Weight, C::Weight),
    (FactKind::Local, C::StringerModulus),
    (FactKind::Local, C::StringerSpacing),
    (FactKind::Local, C::CrossMemberModulus),
    (FactKind::Local, C::CrossMemberSpacing),
];

/// Ways in which crossings ask for facts, see [`asked`].
pub const ASKED: usize = 8;

/// Which facts a crossing asks for beyond those that every crossing does, as a number: crossings of one number
/// ask alike.
#[must_use]
pub fn asked(crossing: &Crossing, rules: &Rules) -> usize {
    let asks = [has_neighbors(crossing), keeps_car_deck(crossing, rules), has_a_date(crossing)];
    asks.into_iter().fold(0, |number, asks| 2 * number + usize::from(asks))
}

fn has_neighbors(crossing: &Crossing) -> bool {
    crossing.most_abreast > 1
}

fn keeps_car_deck(crossing: &Crossing, rules: &Rules) -> bool {
    rules.deck_system(&crossing.deck_system).is_some_and(|deck| deck.keeps_car_deck)
}

fn has_a_date(crossing: &Crossing) -> bool {
    crossing.needed_by.is_some()
}

/// The facts that decide, in the order in which they are asked for.
#[must_use]
pub fn decisive(car: &Car, crossing: &Crossing, rules: &Rules) -> Vec<Decisive> {
    let grade = |column: C| column.is_known(car).then(|| of(car, column, rules).grade);
    let fact = |kind, column| Decisive { kind, column, grade: grade(column) };
    let mut facts: Vec<Decisive> =
        ALWAYS.iter().map(|&(kind, column)| fact(kind, column)).collect();
    if let Some(plates) = &car.girder.plates {
        let weakest = C::PLATES.into_iter().filter_map(grade).min();
        facts.push(Decisive { kind: FactKind::Plates, column: C::Webs, grade: weakest });
        // A box does not buckle sideways.
        if plates.webs == 1 {
            facts.push(fact(FactKind::Web, C::Unbraced));
        }
    } else {
        facts.push(fact(FactKind::Modulus, C::Modulus));
        facts.push(fact(FactKind::Web, C::Webs));
    }
    let stated = car.steel_yield.is_some() && grade(C::Yield) >= Some(Grade::Documented);
    if !stated {
        facts.push(fact(FactKind::Year, C::YearBuilt));
    }
    if has_neighbors(crossing) {
        facts.push(fact(FactKind::Exterior, C::ExteriorDepth));
    }
    if keeps_car_deck(crossing, rules) {
        facts.push(fact(FactKind::Deck, C::Deck));
        facts.push(fact(FactKind::Deck, C::DeckCondition));
    }
    if car.lead == Some(LeadStatus::Free) {
        facts.push(fact(FactKind::Lead, C::Lead));
    }
    if has_a_date(crossing) {
        facts.push(fact(FactKind::Ready, C::Available));
    }
    facts.sort_by_key(|fact| fact.kind);
    facts
}

/// The facts that are not enough to pay on.
#[must_use]
pub fn to_confirm(car: &Car, crossing: &Crossing, rules: &Rules) -> Vec<Decisive> {
    let enough = |fact: &Decisive| {
        let least = rules.evidence.to_pay.of(fact.kind);
        least.is_met_by(fact.grade) || fact.grade.is_none() && fact.kind.unknown_is_worst()
    };
    let facts = decisive(car, crossing, rules).into_iter();
    facts.filter(|fact| !enough(fact)).collect()
}

/// The facts that are not even enough to plan with. What is unknown is asked by the checks that need
/// it; only where none of them does and unknown is not the worst, it is asked here.
#[must_use]
pub fn below_plan(car: &Car, crossing: &Crossing, rules: &Rules) -> Vec<Decisive> {
    let enough = |fact: &Decisive| {
        let asked_elsewhere = !matches!(fact.kind, FactKind::Local | FactKind::Web);
        let least = rules.evidence.to_plan.of(fact.kind);
        least.is_met_by(fact.grade) || fact.grade.is_none() && asked_elsewhere
    };
    let facts = decisive(car, crossing, rules).into_iter();
    facts.filter(|fact| !enough(fact)).collect()
}
