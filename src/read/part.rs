//! A part of the files: some dealers' cars, some crossings.

use super::problem::{Findings, Problem, shown};
use crate::check::Code;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::decision::{Decision, What};
use crate::model::inputs::LotIx;
use crate::model::yard::Lot;
use crate::words::nearest;

/// Which dealers' cars and which crossings are looked at. Names are taken in any case of letters.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Part {
    /// Only the cars of these dealers; all where it is empty.
    pub only_dealers: Vec<String>,
    /// None of the cars of these dealers.
    pub without_dealers: Vec<String>,
    /// Only these crossings; all where it is empty.
    pub only_crossings: Vec<String>,
}

/// What a decision has to do with the part of the files that is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Scope {
    /// It counts.
    Inside,
    /// It is about what is not looked at.
    Outside,
    /// It ties a car that is looked at to what is not.
    TiesOutside,
}

fn has(names: &[String], name: &str) -> bool {
    names.iter().any(|named| named.eq_ignore_ascii_case(name))
}

impl Part {
    /// Whether all is looked at.
    #[must_use]
    pub fn is_all(&self) -> bool {
        *self == Self::default()
    }

    /// Whether a dealer's cars are looked at.
    pub(super) fn has_dealer(&self, dealer: &str) -> bool {
        let only = self.only_dealers.is_empty() || has(&self.only_dealers, dealer);
        only && !has(&self.without_dealers, dealer)
    }

    /// Whether a crossing is looked at.
    pub(super) fn has_crossing(&self, crossing: &str) -> bool {
        self.only_crossings.is_empty() || has(&self.only_crossings, crossing)
    }

    /// What is looked at, in sentences for the head of a report; none where it is all.
    pub(super) fn sentences(&self) -> Vec<String> {
        let said = |what: &str, names: &[String]| {
            (!names.is_empty()).then(|| format!("{what} {}", names.join(", ")))
        };
        let all = [
            said("only the cars of", &self.only_dealers),
            said("none of the cars of", &self.without_dealers),
            said("only the crossings", &self.only_crossings),
        ];
        all.into_iter().flatten().collect()
    }

    /// Tells the names that no file has.
    pub(super) fn check(&self, dealers: &[&str], crossings: &[&str], findings: &mut Findings) {
        let options = [
            ("--only-dealer", &self.only_dealers, dealers, "dealer"),
            ("--without-dealer", &self.without_dealers, dealers, "dealer"),
            ("--only", &self.only_crossings, crossings, "crossing"),
        ];
        for (option, names, known, what) in options {
            for name in names {
                if known.iter().any(|known| known.eq_ignore_ascii_case(name)) {
                    continue;
                }
                let instead = match nearest(name, known.iter().copied()) {
                    Some(meant) => format!("write `{meant}` if that is meant"),
                    None => format!("write one of: {}", known.join(", ")),
                };
                let wrong = format!("is no {what} of the files");
                let problem =
                    Problem::of_file(Code::RefersToNothing, option.into(), wrong, instead);
                findings.problems.push(Problem { text: shown(name), ..problem });
            }
        }
    }

    /// Leaves the cars and lots of the dealers looked at.
    pub(super) fn keep_dealers(&self, cars: &mut Vec<Car>, lots: &mut Vec<Lot>) {
        if self.only_dealers.is_empty() && self.without_dealers.is_empty() {
            return;
        }
        let kept: Vec<bool> = lots.iter().map(|lot| self.has_dealer(&lot.dealer)).collect();
        cars.retain(|car| self.has_dealer(&car.dealer));
        for car in cars.iter_mut() {
            if let Some(lot) = &mut car.lot {
                let before = kept.iter().take(lot.0).filter(|kept| **kept).count();
                *lot = LotIx(before);
            }
        }
        lots.retain(|lot| self.has_dealer(&lot.dealer));
    }

    /// Leaves the crossings looked at.
    pub(super) fn keep_crossings(&self, crossings: &mut Vec<Crossing>) {
        crossings.retain(|crossing| self.has_crossing(&crossing.id));
    }

    /// What a decision has to do with the part looked at.
    pub(super) fn scope(&self, decision: &Decision) -> Scope {
        use crate::model::decision::Goods;
        let dealer = decision.what.goods().map(|goods| match goods {
            Goods::Car { dealer, .. } | Goods::Lot { dealer, .. } => dealer,
        });
        if dealer.is_some_and(|dealer| !self.has_dealer(dealer)) {
            return Scope::Outside;
        }
        match &decision.what {
            // The car is promised elsewhere, and must not be taken for free here.
            What::Fixed { crossing, .. } if !self.has_crossing(crossing) => Scope::TiesOutside,
            What::Dropped(crossing) if !self.has_crossing(crossing) => Scope::Outside,
            What::Changed { crossing, .. } if !self.has_crossing(crossing) => Scope::Outside,
            What::Added(crossing) if !self.has_crossing(&crossing.id) => Scope::Outside,
            _ => Scope::Inside,
        }
    }
}
