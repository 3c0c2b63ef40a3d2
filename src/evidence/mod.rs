//! What a check of a car rests on: which facts go into it, and the weakest of them.

mod decisive;
pub mod news;
mod sisters;
mod twins;

pub use decisive::{ASKED, Decisive, asked, below_plan, decisive, to_confirm};
pub use sisters::settle;
pub use twins::twins;

use crate::check::{Check, Code, Grade, Outcome, RestsOn};
use crate::model::car::{Car, MemberGroup};
use crate::model::columns::Columns as _;
use crate::model::evidence::Evidence;
use crate::model::inventory::Inventory as C;
use crate::model::rules::Rules;

/// The check with the weakest fact behind it. A pass that rests on what the agency assumed itself is a
/// caution: somebody must look before it is relied on. What the agency reads into a dealer's words is one
/// where it is asked for itself, and not again at every number that follows from it.
#[must_use]
pub fn told(mut check: Check, car: &Car, rules: &Rules) -> Check {
    let Some(rests_on) = weakest(&check, car, rules) else { return check };
    let told = match rests_on.grade {
        Grade::Assumed => check.outcome != Outcome::NotChecked,
        Grade::Interpreted => facts(&check, car).len() == 1,
        _ => false,
    };
    if told {
        if check.outcome == Outcome::Pass {
            check.outcome = Outcome::Caution;
        }
        let gap = if check.note.is_empty() { "" } else { "; " };
        check.note.push_str(&format!("{gap}{rests_on}"));
    }
    check.rests_on = Some(rests_on);
    check
}

/// The weakest fact behind a check, the first of several alike; none where it rests on no fact of the
/// car that is known.
#[must_use]
pub fn weakest(check: &Check, car: &Car, rules: &Rules) -> Option<RestsOn> {
    let known = facts(check, car).into_iter().filter(|column| column.is_known(car));
    let graded = known.map(|column| (column, of(car, column, rules)));
    let (column, evidence) = graded.min_by_key(|(_, evidence)| evidence.grade)?;
    let place = format!("{} {}", evidence.place, column.column().name);
    Some(RestsOn {
        grade: evidence.grade,
        fact: column.fact().label,
        place: match evidence.by {
            // Figures of a sister stand in her row, not in this car's.
            Some(by) if evidence.grade == Grade::Assumed => by,
            Some(by) => format!("{place} ({by})"),
            None => place,
        },
    })
}

/// What a fact rests on; what a list states with a document is documented.
#[must_use]
pub fn of(car: &Car, column: C, rules: &Rules) -> Evidence {
    let mut evidence = car.evidence(column);
    let source = match column {
        C::Modulus => car.girder.modulus_source.as_ref(),
        C::Yield => car.yield_source.as_ref(),
        _ => None,
    };
    if let Some(source) = source.filter(|source| rules.evidence.is_document(source))
        && evidence.grade == Grade::Stated
    {
        (evidence.grade, evidence.by) = (Grade::Documented, Some(source.clone()));
    }
    evidence
}

/// The facts of a car that go into a check of screening or rating.
fn facts(check: &Check, car: &Car) -> Vec<C> {
    let strength = || match car.girder.plates {
        Some(_) => C::PLATES.into_iter().chain([C::MainGirder]).collect(),
        None => vec![C::Modulus, C::MainGirder],
    };
    let steel = || if car.steel_yield.is_some() { C::Yield } else { C::YearBuilt };
    let rated = || {
        let mut facts = strength();
        facts.extend([steel(), C::Weight, C::Length, C::Width, C::TruckCenters]);
        facts
    };
    match check.code {
        Code::CarKind => vec![C::Kind],
        Code::Underframe => vec![C::Underframe],
        Code::HaulHeight => vec![C::DepthOverAll],
        Code::ShapeAndHistory => match check.part.as_str() {
            "sweep" => vec![C::Sweep],
            "twist" => vec![C::Twist],
            "prior repairs" => vec![C::Repaired],
            "cover plates" => vec![C::CoverLength],
            "notch toughness" => vec![C::Toughness],
            _ => Vec::new(),
        },
        Code::WreckHistory => vec![C::Wrecked],
        Code::PrimaryMembers | Code::SecondaryMembers => {
            MemberGroup::from_word(&check.part).map(member).into_iter().collect()
        }
        Code::Support => vec![C::TruckCenters],
        Code::BearingInside => vec![C::TruckCenters, C::Length],
        Code::CarDeck => vec![C::Deck, C::DeckCondition],
        Code::HaulLength => vec![C::Length],
        Code::HaulWeight | Code::CranePick | Code::WeightKnown => vec![C::Weight],
        Code::NeedDate => vec![C::Available],
        Code::WidthPossible | Code::HaulWidth => vec![C::Width],
        Code::SectionKnown => vec![C::Section],
        Code::CamberKnown => vec![C::Camber],
        Code::JointDepth => vec![C::ExteriorDepth],
        Code::Coating => vec![C::Coating],
        Code::Lead => vec![C::Lead],
        Code::Rateable => {
            let mut facts = strength();
            facts.extend([C::Weight, C::Length, C::Width]);
            facts
        }
        Code::SteelYield => vec![steel()],
        Code::BendingAllowable
        | Code::BendingFactored
        | Code::ShearAllowable
        | Code::ShearFactored
        | Code::Posting
        | Code::Deflection => rated(),
        Code::Slenderness => {
            let mut facts = strength();
            facts.push(C::Unbraced);
            facts
        }
        Code::LocalMembers => vec![
            C::StringerModulus,
            C::StringerSpacing,
            C::CrossMemberModulus,
            C::CrossMemberSpacing,
        ],
        _ => Vec::new(),
    }
}

fn member(group: MemberGroup) -> C {
    match group {
        MemberGroup::MainGirder => C::MainGirder,
        MemberGroup::ExteriorGirders => C::ExteriorGirders,
        MemberGroup::Bolsters => C::Bolsters,
        MemberGroup::CrossMembers => C::CrossMembers,
        MemberGroup::Stringers => C::Stringers,
    }
}
