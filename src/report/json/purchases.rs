//! What is bought, as JSON.

use super::shared::CostJson;
use crate::model::inputs::Inputs;
use crate::model::plan::{CarCount, LotPurchase, Plan, YardPurchase};
use crate::quantity::Cents;
use crate::report::facts::purchases::{self, destinations};
use crate::schema;

pub(super) fn purchase(inputs: &Inputs, plan: &Plan, purchase: &YardPurchase) -> schema::Purchase {
    let yard = inputs.yard(purchase.yard);
    schema::Purchase {
        dealer: yard.dealer.clone(),
        yard: yard.name.clone(),
        cars: purchases::cars_bought(purchase),
        price_usd_cents: purchases::price_of_cars(inputs, purchase),
        loading_per_car_usd_cents: yard.loading,
        first_quote_ends: purchases::first_quote_end(inputs, purchase).map(|(date, _)| date),
        singles: purchase
            .singles
            .iter()
            .map(|cars| {
                bought(inputs, plan, cars, Some(purchases::single_price(inputs, purchase, cars)))
            })
            .collect(),
        price_level: yard.levels.get(purchase.level).filter(|_| yard.has_levels()).map(|level| {
            schema::PriceLevel {
                at_least_cars: level.at_least,
                off_basis_points: level.off,
                minimum_order_cars: yard.minimum_order(),
            }
        }),
        spares: purchase
            .spares
            .iter()
            .map(|spare| schema::Spare {
                car: inputs.car(spare.car).id.clone(),
                count: spare.count,
                price_usd_cents: purchases::single_price(inputs, purchase, spare),
            })
            .collect(),
        spare_cost_lines: CostJson::all(&purchase.spare_lines),
        own_stock: purchase.own.iter().map(|cars| bought(inputs, plan, cars, None)).collect(),
        lots: purchase.lots.iter().map(|lot| lot_json(inputs, plan, lot)).collect(),
        cost_lines: CostJson::all(&purchase.lines),
    }
}

fn lot_json(inputs: &Inputs, plan: &Plan, lot: &LotPurchase) -> schema::Lot {
    schema::Lot {
        lot: inputs.lot(lot.lot).name.clone(),
        price_usd_cents: lot.price,
        placed: lot.placed.iter().map(|cars| bought(inputs, plan, cars, None)).collect(),
        left_over: lot
            .left_over
            .iter()
            .map(|cars| schema::LeftOver {
                car: inputs.car(cars.car).id.clone(),
                count: cars.count,
            })
            .collect(),
        left_over_value_usd_cents: purchases::stock_value(&lot.left_over_lines),
        left_over_cost_lines: CostJson::all(&lot.left_over_lines),
    }
}

fn bought(inputs: &Inputs, plan: &Plan, cars: &CarCount, price: Option<Cents>) -> schema::Bought {
    schema::Bought {
        car: inputs.car(cars.car).id.clone(),
        count: cars.count,
        price_usd_cents: price,
        quote_expires: inputs.car(cars.car).quote_expires,
        goes_to: destinations(inputs, plan, cars.car)
            .into_iter()
            .map(|going| schema::Destination {
                crossing: inputs.crossing(going.site.crossing).id.clone(),
                span_number: going.site.span + 1,
                count: going.count,
                haul_per_car_usd_cents: going.each,
                haul_usd_cents: (going.each.is_none() && !going.basis.is_empty())
                    .then_some(going.haul),
                haul_basis: (!going.basis.is_empty()).then_some(going.basis),
            })
            .collect(),
    }
}
