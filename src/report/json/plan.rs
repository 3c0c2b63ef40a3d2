//! The plan as JSON: the same facts as the terminal, with every check and every cost line.

use jiff::civil::Date;
use serde::Serialize;

use super::render;
use super::shared::{CarName, CheckJson, CostJson, RulesJson};
use crate::check::Outcome;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::model::plan::{CarCount, Deck, Fate, LotPurchase, Plan, Served, YardPurchase};
use crate::quantity::{Cents, Feet, Inches, Tons};
use crate::read::FileRead;
use crate::report::facts::PlanReport;
use crate::report::facts::limits::{ALWAYS_MIND, NEVER_CHECKED};
use crate::report::facts::purchases::{self, destinations};
use crate::report::facts::reasons::{self, Said};
use crate::report::facts::refusals::refusals;
use crate::report::facts::totals::{by_item, gap};

#[derive(Debug, Serialize)]
struct PlanJson<'a> {
    files: &'a [FileRead],
    order_date: Date,
    rules: RulesJson,
    summary: Summary,
    purchases: Vec<PurchaseJson>,
    crossings: Vec<CrossingJson>,
    cars_refused: RefusedJson,
    totals_by_item: Vec<ItemTotal>,
    not_checked: Vec<SaidJson>,
    never_checked: &'static [&'static str],
    cautions: &'static [&'static str],
}

#[derive(Debug, Serialize)]
struct Summary {
    crossings: usize,
    served: usize,
    outlay_usd_cents: Cents,
    stock_value_usd_cents: Cents,
    net_usd_cents: Cents,
    budget_usd_cents: Option<Cents>,
    service_proven_best: bool,
    cost_proven_least: bool,
    stopped_at_time_limit: bool,
    bound_usd_cents: Option<Cents>,
    gap_usd_cents: Option<Cents>,
    gap_percent: Option<f64>,
}

#[derive(Debug, Serialize)]
struct PurchaseJson {
    dealer: String,
    yard: String,
    cars: usize,
    price_usd_cents: Cents,
    loading_per_car_usd_cents: Cents,
    first_quote_ends: Option<Date>,
    singles: Vec<BoughtJson>,
    lots: Vec<LotJson>,
    cost_lines: Vec<CostJson>,
}

#[derive(Debug, Serialize)]
struct BoughtJson {
    car: String,
    count: u32,
    price_usd_cents: Option<Cents>,
    quote_expires: Option<Date>,
    goes_to: Vec<DestinationJson>,
}

#[derive(Debug, Serialize)]
struct DestinationJson {
    crossing: String,
    span_number: usize,
    count: u32,
    haul_per_car_usd_cents: Option<Cents>,
    haul_basis: Option<String>,
}

#[derive(Debug, Serialize)]
struct LotJson {
    lot: String,
    price_usd_cents: Cents,
    placed: Vec<BoughtJson>,
    left_over: Vec<LeftOverJson>,
    left_over_value_usd_cents: Cents,
    left_over_cost_lines: Vec<CostJson>,
}

#[derive(Debug, Serialize)]
struct LeftOverJson {
    car: String,
    count: u32,
}

#[derive(Debug, Serialize)]
struct CrossingJson {
    crossing: String,
    road: String,
    priority: u8,
    needed_by: Option<Date>,
    clear_width_ft: Feet,
    vehicles: Vec<String>,
    deck_system: String,
    least_posting_short_tons: Option<Tons>,
    #[serde(flatten)]
    fate: FateJson,
}

#[derive(Debug, Serialize)]
#[serde(tag = "status", rename_all = "snake_case")]
enum FateJson {
    Served {
        layout: LayoutJson,
        signs: Vec<SignJson>,
        decks: Vec<DeckJson>,
        cost_lines: Vec<CostJson>,
        total_usd_cents: Cents,
        lowest_rating: Option<Box<SaidJson>>,
        least_margins: Vec<SaidJson>,
        cautions: Vec<SaidJson>,
        cheapest_alternative: Option<AlternativeJson>,
    },
    Unserved {
        reasons: Vec<CheckJson>,
        nearest_miss: Option<NearMissJson>,
        cars_that_pass: Vec<PassingJson>,
    },
}

#[derive(Debug, Serialize)]
struct LayoutJson {
    spans_ft: Vec<Feet>,
    piers: usize,
}

#[derive(Debug, Serialize)]
struct SignJson {
    vehicle: String,
    sign_short_tons: Tons,
}

#[derive(Debug, Serialize)]
struct DeckJson {
    span_number: usize,
    span_ft: Feet,
    cars_left_to_right: Vec<PlacedJson>,
    joint: Option<JointJson>,
    total_width_ft: Feet,
    required_width_ft: Feet,
    checks: Vec<CheckJson>,
}

#[derive(Debug, Serialize)]
struct PlacedJson {
    #[serde(flatten)]
    name: CarName,
    section: Option<String>,
    width_ft: Option<Feet>,
    camber_in: Option<Inches>,
    truck_centres_ft: Option<Feet>,
    inventory_row: String,
    checks: Vec<CheckJson>,
}

#[derive(Debug, Serialize)]
struct JointJson {
    name: String,
    gap_in: Inches,
}

#[derive(Debug, Serialize)]
struct AlternativeJson {
    layout: LayoutJson,
    decks: Vec<Vec<CarName>>,
    extra_usd_cents: Cents,
}

#[derive(Debug, Serialize)]
struct NearMissJson {
    #[serde(flatten)]
    name: CarName,
    span_ft: Feet,
    barred_by: Vec<CheckJson>,
}

#[derive(Debug, Serialize)]
struct PassingJson {
    span_ft: Feet,
    cars: Vec<CarName>,
}

#[derive(Debug, Serialize)]
struct SaidJson {
    subjects: Vec<String>,
    check: CheckJson,
}

impl SaidJson {
    fn of(said: Said) -> Self {
        Self { check: CheckJson::of(&said.check), subjects: said.subjects }
    }
}

#[derive(Debug, Serialize)]
struct RefusedJson {
    cars: usize,
    cars_that_fit_no_crossing: usize,
    reasons: Vec<RefusalJson>,
}

#[derive(Debug, Serialize)]
struct RefusalJson {
    code: &'static str,
    name: &'static str,
    cars_barred_everywhere: usize,
    cars_barred_somewhere: usize,
    cars_barred_for_want_of_data: usize,
}

#[derive(Debug, Serialize)]
struct ItemTotal {
    item: &'static str,
    amount_usd_cents: Cents,
}

/// The plan.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn plan(report: &PlanReport) -> serde_json::Result<String> {
    let PlanReport { inputs, plan, matching, files } = *report;
    let refusals = refusals(inputs, matching);
    let body = PlanJson {
        files,
        order_date: inputs.order_date,
        rules: RulesJson::of(inputs),
        summary: summary(plan),
        purchases: plan.purchases.iter().map(|p| purchase(inputs, plan, p)).collect(),
        crossings: plan
            .crossings
            .iter()
            .map(|planned| {
                let site = inputs.crossing(planned.crossing);
                CrossingJson {
                    crossing: site.id.clone(),
                    road: site.road.clone(),
                    priority: site.priority,
                    needed_by: site.needed_by,
                    clear_width_ft: site.clear_width,
                    vehicles: site.vehicles.clone(),
                    deck_system: site.deck_system.clone(),
                    least_posting_short_tons: site.least_posting,
                    fate: fate(report, planned.crossing, &planned.fate),
                }
            })
            .collect(),
        cars_refused: RefusedJson {
            cars: refusals.cars,
            cars_that_fit_no_crossing: refusals.fit_none,
            reasons: refusals
                .reasons
                .iter()
                .map(|refusal| RefusalJson {
                    code: refusal.code.id(),
                    name: refusal.code.kind().name,
                    cars_barred_everywhere: refusal.everywhere,
                    cars_barred_somewhere: refusal.somewhere,
                    cars_barred_for_want_of_data: refusal.for_want_of_data,
                })
                .collect(),
        },
        totals_by_item: by_item(plan)
            .into_iter()
            .map(|(item, amount)| ItemTotal { item: item.word(), amount_usd_cents: amount })
            .collect(),
        not_checked: said(reasons::not_checked(inputs, plan)),
        never_checked: NEVER_CHECKED,
        cautions: ALWAYS_MIND,
    };
    render("plan", body)
}

fn summary(plan: &Plan) -> Summary {
    let gap = gap(plan);
    Summary {
        crossings: plan.crossings.len(),
        served: plan.served_count(),
        outlay_usd_cents: plan.totals.outlay,
        stock_value_usd_cents: plan.totals.stock_value,
        net_usd_cents: plan.totals.net,
        budget_usd_cents: plan.budget,
        service_proven_best: plan.proof.service,
        cost_proven_least: plan.proof.cheapest,
        stopped_at_time_limit: plan.proof.stopped_early,
        bound_usd_cents: gap.map(|_| plan.proof.bound),
        gap_usd_cents: gap.map(|gap| gap.amount),
        gap_percent: gap.map(|gap| gap.percent),
    }
}

fn purchase(inputs: &Inputs, plan: &Plan, purchase: &YardPurchase) -> PurchaseJson {
    let yard = inputs.yard(purchase.yard);
    PurchaseJson {
        dealer: yard.dealer.clone(),
        yard: yard.name.clone(),
        cars: purchases::cars_bought(purchase),
        price_usd_cents: purchases::price_of_cars(inputs, purchase),
        loading_per_car_usd_cents: yard.loading,
        first_quote_ends: purchases::first_quote_end(inputs, purchase).map(|(date, _)| date),
        singles: purchase
            .singles
            .iter()
            .map(|cars| bought(inputs, plan, cars, Some(purchases::single_price(inputs, cars))))
            .collect(),
        lots: purchase.lots.iter().map(|lot| lot_json(inputs, plan, lot)).collect(),
        cost_lines: CostJson::all(&purchase.lines),
    }
}

fn lot_json(inputs: &Inputs, plan: &Plan, lot: &LotPurchase) -> LotJson {
    LotJson {
        lot: inputs.lot(lot.lot).name.clone(),
        price_usd_cents: lot.price,
        placed: lot.placed.iter().map(|cars| bought(inputs, plan, cars, None)).collect(),
        left_over: lot
            .left_over
            .iter()
            .map(|cars| LeftOverJson { car: inputs.car(cars.car).id.clone(), count: cars.count })
            .collect(),
        left_over_value_usd_cents: purchases::stock_value(&lot.left_over_lines),
        left_over_cost_lines: CostJson::all(&lot.left_over_lines),
    }
}

fn bought(inputs: &Inputs, plan: &Plan, cars: &CarCount, price: Option<Cents>) -> BoughtJson {
    BoughtJson {
        car: inputs.car(cars.car).id.clone(),
        count: cars.count,
        price_usd_cents: price,
        quote_expires: inputs.car(cars.car).quote_expires,
        goes_to: destinations(inputs, plan, cars.car)
            .into_iter()
            .map(|going| DestinationJson {
                crossing: inputs.crossing(going.site.crossing).id.clone(),
                span_number: going.site.span + 1,
                count: going.count,
                haul_per_car_usd_cents: going.haul.as_ref().map(|line| line.amount),
                haul_basis: going.haul.map(|line| line.basis),
            })
            .collect(),
    }
}

fn fate(report: &PlanReport, crossing: CrossingIx, fate: &Fate) -> FateJson {
    let PlanReport { inputs, matching, .. } = *report;
    match fate {
        Fate::Served(served) => FateJson::Served {
            layout: layout(inputs, crossing, served.layout),
            signs: reasons::signs(served)
                .into_iter()
                .map(|sign| SignJson { vehicle: sign.vehicle, sign_short_tons: sign.weight })
                .collect(),
            decks: served.decks.iter().map(|d| deck(inputs, d)).collect(),
            cost_lines: CostJson::all(&served.lines),
            total_usd_cents: served.total(),
            lowest_rating: reasons::lowest_rating(inputs, served)
                .map(|said| Box::new(SaidJson::of(said))),
            least_margins: said(reasons::least_margins(inputs, served, usize::MAX)),
            cautions: cautions(inputs, served),
            cheapest_alternative: served.alternative.as_ref().map(|other| AlternativeJson {
                layout: layout(inputs, crossing, other.layout),
                decks: other.decks.iter().map(|cars| names(inputs, cars)).collect(),
                extra_usd_cents: other.extra,
            }),
        },
        Fate::Unserved(unserved) => FateJson::Unserved {
            reasons: CheckJson::all(&unserved.reasons),
            nearest_miss: unserved.nearest.as_ref().map(|near| NearMissJson {
                name: CarName::of(inputs, near.car),
                span_ft: span(inputs, near.site),
                barred_by: CheckJson::all(&near.barred_by),
            }),
            cars_that_pass: matching
                .passing(inputs, crossing)
                .into_iter()
                .map(|(span_ft, cars)| PassingJson { span_ft, cars: names(inputs, &cars) })
                .collect(),
        },
    }
}

fn span(inputs: &Inputs, site: Site) -> Feet {
    inputs.crossing(site.crossing).layouts[site.layout].spans[site.span]
}

fn layout(inputs: &Inputs, crossing: CrossingIx, layout: usize) -> LayoutJson {
    let layout = &inputs.crossing(crossing).layouts[layout];
    LayoutJson { spans_ft: layout.spans.clone(), piers: layout.piers() }
}

fn deck(inputs: &Inputs, deck: &Deck) -> DeckJson {
    DeckJson {
        span_number: deck.site.span + 1,
        span_ft: deck.span,
        cars_left_to_right: deck
            .cars
            .iter()
            .map(|placed| {
                let car = inputs.car(placed.car);
                PlacedJson {
                    name: CarName::of(inputs, placed.car),
                    section: car.section.clone(),
                    width_ft: car.width,
                    camber_in: car.camber,
                    truck_centres_ft: car.truck_centres,
                    inventory_row: car.place.to_string(),
                    checks: CheckJson::all(&placed.checks),
                }
            })
            .collect(),
        joint: deck
            .joint
            .as_ref()
            .map(|joint| JointJson { name: joint.name.clone(), gap_in: joint.gap }),
        total_width_ft: deck.total_width,
        required_width_ft: deck.required_width,
        checks: CheckJson::all(&deck.checks),
    }
}

fn names(inputs: &Inputs, cars: &[CarIx]) -> Vec<CarName> {
    cars.iter().map(|&car| CarName::of(inputs, car)).collect()
}

fn cautions(inputs: &Inputs, served: &Served) -> Vec<SaidJson> {
    said(reasons::with_outcome(inputs, served, Outcome::Caution))
}

fn said(said: Vec<Said>) -> Vec<SaidJson> {
    said.into_iter().map(SaidJson::of).collect()
}
