//! The market with the price of one thing as the unknown.

use super::{Subject, merit_at};
use crate::choose::{Choice, Market, Merit};
use crate::price;
use crate::quantity::{Cents, Percent};

/// No car or lot is paid more for than this; a plan that is still better here is better at any price.
const MOST: Cents = Cents(100_000_000_000);

/// One thing, and the market around it.
pub(super) struct Priced<'a> {
    pub market: &'a Market,
    pub subject: Subject,
    worth: Worth<'a>,
}

/// By what left-over cars of a lot count.
#[derive(Clone, Copy, Debug)]
pub struct Worth<'a> {
    /// A share of the car's even share of the lot's price.
    pub share: Percent,
    /// What each offer is worth as scrap, by its number.
    pub scrap: &'a [Cents],
    /// The sales tax, which the prices of the market hold.
    pub sales_tax: Percent,
}

impl<'a> Priced<'a> {
    pub fn new(market: &'a Market, subject: Subject, worth: Worth<'a>) -> Self {
        Self { market, subject, worth }
    }

    /// The price asked.
    pub fn asked(&self) -> Cents {
        match self.subject {
            Subject::Row(car) => self.market.offers[car.0].price,
            Subject::Lot(lot) => self.market.lots[lot.0].unwrap_or_default(),
        }
    }

    /// Whether it is a single car, of which a plan uses one or none.
    pub fn is_one_car(&self) -> bool {
        matches!(self.subject, Subject::Row(car) if self.market.offers[car.0].quantity == 1)
    }

    /// How many cars of the row a choice uses; 1 for a lot that it buys.
    pub fn used(&self, choice: &Choice) -> u32 {
        match self.subject {
            Subject::Row(car) => {
                let decks =
                    choice.crossings.iter().flatten().flat_map(|c| c.decks.iter().flatten());
                decks.filter(|offer| **offer == car.0).count() as u32
            }
            Subject::Lot(lot) => u32::from(choice.lots.contains(&lot.0)),
        }
    }

    /// The market at another price.
    pub fn at(&self, price: Cents) -> Market {
        let mut market = self.market.clone();
        match self.subject {
            Subject::Row(car) => market.offers[car.0].price = price,
            Subject::Lot(lot) => {
                market.lots[lot.0] = Some(price);
                let cars = market.offers.iter().filter(|offer| offer.lot == Some(lot.0));
                let cars = cars.map(|offer| u64::from(offer.quantity)).sum();
                let Worth { share, scrap, sales_tax } = self.worth;
                let paid = price::before_tax(price, sales_tax);
                let offers = market.offers.iter_mut().enumerate();
                for (number, offer) in offers.filter(|(_, offer)| offer.lot == Some(lot.0)) {
                    let scrap = scrap.get(number).copied().unwrap_or_default();
                    offer.stock_value = price::stock_value_at(paid, share, scrap, cars);
                }
            }
        }
        market
    }

    /// The market without it.
    pub fn without(&self) -> Market {
        let mut market = self.market.clone();
        match self.subject {
            Subject::Row(car) => market.offers[car.0].quantity = 0,
            Subject::Lot(lot) => market.lots[lot.0] = None,
        }
        market
    }

    /// The least price, above one at which this choice is better than the plan without the thing,
    /// at which it is better no more; none where it is better at any price.
    pub fn end(&self, choice: &Choice, from: Cents, without: &Merit) -> Option<Cents> {
        let better =
            |price: Cents| merit_at(&self.at(price), choice).is_some_and(|merit| merit < *without);
        let (mut low, mut high) = (from, MOST);
        if better(high) {
            return None;
        }
        while high.0 - low.0 > 1 {
            let middle = Cents(low.0 + (high.0 - low.0) / 2);
            if better(middle) { low = middle } else { high = middle }
        }
        Some(high)
    }
}
