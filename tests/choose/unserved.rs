//! Why a crossing goes without.

use spanyard::choose::{Effort, Market, Quote, WhyUnserved, choose, explain_unserved};
use spanyard::quantity::{Cents, Feet};

use crate::testkit::market;

/// One crossing asked to make do with what `change` leaves of a market.
fn why(change: impl Fn(&mut Market), crossing: usize) -> Option<WhyUnserved> {
    let mut market = market::two_crossings();
    change(&mut market);
    let choice = choose(&market, &Effort::default());
    choice.crossings[crossing].is_none().then(|| explain_unserved(&market, &choice, crossing))
}

#[test]
fn each_reason_is_told_apart() {
    assert_eq!(why(|_| {}, 1), None);
    let no_candidates = why(|m| m.crossings[1].layouts[0].spans[0].candidates.clear(), 1);
    assert_eq!(no_candidates, Some(WhyUnserved::NoCandidates { layout: 0, span: 0 }));
    let not_for_sale = why(
        |m| {
            m.lots.push(None);
            m.offers.iter_mut().for_each(|offer| offer.lot = Some(0));
        },
        1,
    );
    assert_eq!(not_for_sale, Some(WhyUnserved::NoCandidates { layout: 0, span: 0 }));
    let too_wide = why(|m| m.crossings[1].layouts[0].spans[0].rule.width_least = Feet(99.0), 1);
    assert_eq!(too_wide, Some(WhyUnserved::NoDeck { layout: 0, span: 0 }));
    let taken = why(|m| m.offers.truncate_to(2), 1);
    assert_eq!(taken, Some(WhyUnserved::CarsTaken));
    // Both crossings cost 2 × (100 + 10) + 5 + 50 = 275 each, and 20 for the trip they share.
    let short = why(|m| m.budget = Some(Cents(569)), 1);
    assert_eq!(short, Some(WhyUnserved::OverBudget { short_by: Cents(1) }));
    assert_eq!(why(|m| m.budget = Some(Cents(570)), 1), None);
    let with_fund = |limit: i64| {
        let change = move |m: &mut spanyard::choose::Market| {
            m.funds = vec![Cents(limit)];
            m.crossings.iter_mut().for_each(|crossing| crossing.fund = Some(0));
        };
        why(change, 1)
    };
    // No fund pays for the trip.
    assert_eq!(with_fund(548), Some(WhyUnserved::OverFund { short_by: Cents(2) }));
    assert_eq!(with_fund(550), None);
}

#[test]
fn a_minimum_order_that_cannot_be_met_is_a_reason_of_its_own() {
    let with_minimum = |least: u32| {
        why(
            move |market| {
                market.levels = vec![vec![least]];
                let quote = Quote { price: Cents(100), stock_value: Cents(20) };
                market.offers.iter_mut().for_each(|offer| offer.quotes = vec![quote]);
            },
            1,
        )
    };
    assert_eq!(with_minimum(4), None);
    assert_eq!(with_minimum(5), Some(WhyUnserved::OrderTooSmall));
}

/// Takes offers off the market.
trait TruncateTo {
    fn truncate_to(&mut self, offers: usize);
}

impl TruncateTo for Vec<spanyard::choose::Offer> {
    fn truncate_to(&mut self, offers: usize) {
        self.iter_mut().skip(offers).for_each(|offer| offer.quantity = 0);
    }
}
