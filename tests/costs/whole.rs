//! What makes a cost whole: gear and old deck off, tests, bearings, scrap, and what is added in per cent.
//! Rates are those of the built-in rules, and each sum is done by hand beside its check.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::Code;
use spanyard::model::car::{Car, CarDeck};
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs, LotIx};
use spanyard::model::plan::{CostItem, CostLine, Fate, Plan, Served, sum};
use spanyard::model::rules::FitRules;
use spanyard::price::{
    car_at, car_cost, lot_tax_line, overhead_lines, stock_value, stock_value_line, tax_line,
};
use spanyard::quantity::{Cents, Feet, Kips, Percent, UsdPerFoot, UsdPerPound};
use spanyard::survey::Survey;
use spanyard::verify;

use crate::testkit::fixture::{CAR, SITE, inputs, inputs_with, into_lot, rules};

/// The fixture's inputs at the built-in rules' rates.
fn whole() -> Inputs {
    Inputs { rules: rules(), ..inputs() }
}

fn of(change: impl FnOnce(&mut Inputs), items: &[CostItem]) -> Vec<(CostItem, i64, String)> {
    let mut inputs = whole();
    change(&mut inputs);
    let lines = car_at(&inputs, CAR, SITE).unwrap();
    let lines = lines.into_iter().filter(|line| items.contains(&line.item));
    lines.map(|line| (line.item, line.amount.0, line.basis)).collect()
}

fn line(item: CostItem, cents: i64, basis: &str) -> (CostItem, i64, String) {
    (item, cents, basis.to_owned())
}

#[test]
fn a_car_is_made_ready_line_by_line() {
    use CostItem::{Bearing, Gear, ScrapCredit, Strip, Tests, Trim};
    // 69 of 76 ft lie there. Deck 9 x 69 = 621 sq ft x 2 = 1,242. The 7 ft cut off weigh
    // 40,000 x 7 / 76 = 3,684.2 lb x 0.08 = 294.72.
    let all = [Gear, Strip, Tests, Trim, ScrapCredit, Bearing];
    assert_eq!(
        of(|_| {}, &all),
        [
            line(Trim, 130_000, "2 ends x $650.00; overhang 6.00 ft, cut back to 2.50 ft"),
            line(ScrapCredit, -29_472, "3684 lb x $0.08/lb; 7.00 ft of 76 ft cut off, of 40000 lb"),
            line(Gear, 70_000, "1 car x $700.00; couplers, draft gear, brake rigging"),
            line(Tests, 40_000, "1 survey x $400.00"),
            line(Strip, 124_200, "621.0 sq ft x $2.00/sq ft; 9 ft x 69 ft"),
            line(Bearing, 90_000, "2 ends x $450.00"),
        ]
    );
}

#[test]
fn an_old_deck_comes_off_where_there_is_one_and_it_is_not_kept() {
    use CostItem::{ScrapCredit, Strip};
    let stripped = |deck: Option<CarDeck>| {
        of(
            |inputs| {
                inputs.cars[0].deck = deck;
                inputs.cars[0].length = Some(Feet(69.0)); // nothing is cut
            },
            &[Strip, ScrapCredit],
        )
    };
    let strip = |words: &str| {
        line(Strip, 124_200, &format!("621.0 sq ft x $2.00/sq ft; 9 ft x 69 ft{words}"))
    };
    assert_eq!(stripped(Some(CarDeck::NoDeck)), []);
    assert_eq!(stripped(Some(CarDeck::Timber)), [strip("")]);
    assert_eq!(stripped(None), [strip(", deck not known, taken as there")]);
    // The plate of a steel deck: 621 x 0.60 = 372.60.
    let credit = line(ScrapCredit, -37_260, "621.0 sq ft of steel deck x $0.60/sq ft");
    assert_eq!(stripped(Some(CarDeck::SteelPlate)), [strip(""), credit]);
    let kept = |inputs: &mut Inputs| inputs.crossings[0].deck_system = "car deck".to_owned();
    assert_eq!(of(kept, &[Strip]), []);
}

#[test]
fn scrap_never_brings_more_than_the_work_it_comes_from() {
    let rate = |usd: f64| {
        of(
            |inputs| inputs.rules.purchase.scrap_usd_per_lb = UsdPerPound(usd),
            &[CostItem::ScrapCredit],
        )
    };
    // 3,684 lb x 0.35 = 1,289.40; x 0.36 = 1,326.24, and both cuts cost 1,300.
    assert_eq!(rate(0.35)[0].1, -128_940);
    assert_eq!(rate(0.36)[0].1, -130_000);
    assert!(rate(0.36)[0].2.starts_with("3684 lb x $0.36/lb, no more than cutting costs;"));
    assert_eq!(rate(0.0), []);
}

#[test]
fn coupons_where_nobody_answers_for_the_steel() {
    let tests = |change: fn(&mut Car)| of(|inputs| change(&mut inputs.cars[0]), &[CostItem::Tests]);
    let coupons = line(
        CostItem::Tests,
        90_000,
        "1 set of coupons x $900.00; no source of the yield strength",
    );
    let survey = line(CostItem::Tests, 40_000, "1 survey x $400.00");
    assert_eq!(tests(|_| {}), std::slice::from_ref(&survey));
    assert_eq!(tests(|car| car.yield_source = None), [survey.clone(), coupons.clone()]);
    assert_eq!(tests(|car| car.steel_yield = None), [survey, coupons]);
}

#[test]
fn contingency_and_engineering_are_rounded_line_by_line() {
    let mut inputs = whole();
    inputs.rules.overhead.contingency_pct = Percent(10.0);
    inputs.rules.overhead.engineering_pct = Percent(12.0);
    let work = |item, cents| CostLine {
        item,
        subject: String::new(),
        basis: String::new(),
        amount: Cents(cents),
    };
    let lines = [
        work(CostItem::Haul, 1_250),
        work(CostItem::Pick, 775),
        // No work: what dealers are paid, scrap, what is stated as a whole.
        work(CostItem::Car, 950_000),
        work(CostItem::ScrapCredit, -5_000),
        work(CostItem::Other, 4_000_000),
    ];
    // 10 %: 1.25 + 0.775 -> 0.78; 12 %: 1.50 + 0.93.
    let found = overhead_lines(&inputs, CrossingIx(0), &lines);
    let found: Vec<_> = found.iter().map(|l| (l.item, l.amount.0, l.basis.as_str())).collect();
    let words = "of $20.25 of work, each line rounded to the cent";
    assert_eq!(
        found,
        [
            (CostItem::Contingency, 203, format!("10.0 % {words}").as_str()),
            (CostItem::Engineering, 243, format!("12.0 % {words}").as_str()),
        ]
    );
    // What the choice counts is what the lines come to.
    let lines = car_at(&inputs, CAR, SITE).unwrap();
    let overhead = overhead_lines(&inputs, CrossingIx(0), &lines);
    assert_eq!(car_cost(&inputs, CAR, SITE).unwrap(), sum(&lines) + sum(&overhead));
}

#[test]
fn sales_tax_on_what_dealers_are_paid() {
    let mut inputs = inputs_with(&[&|car| car.quantity = 2, &|car| car.quantity = 3]);
    inputs.rules.overhead.sales_tax_pct = Percent(7.0);
    // 9,500 x 0.07 = 665; 9,025.50 x 0.07 = 631.785.
    let words = |line: CostLine| (line.item, line.amount.0, line.basis);
    let found = tax_line(&inputs, CAR, Cents(950_000)).map(words);
    assert_eq!(found, Some(line(CostItem::SalesTax, 66_500, "7.0 % of $9,500.00")));
    assert_eq!(tax_line(&inputs, CAR, Cents(902_550)).unwrap().amount, Cents(63_179));
    // A lot at $100.03: tax $7.00. Price and tax, 10,703 cents, over five cars: 2,141 three times and
    // 2,140; of the price alone 2,001 three times and 2,000.
    into_lot(&mut inputs, Some(Cents(10_003)));
    let tax = |car: usize, copy: u32| lot_tax_line(&inputs, CarIx(car), copy).map(|l| l.amount.0);
    let found = [tax(0, 0), tax(0, 1), tax(1, 0), tax(1, 1), tax(1, 2), tax(1, 3)];
    assert_eq!(found, [Some(140), Some(140), Some(140), Some(140), Some(140), None]);
    inputs.rules.overhead.sales_tax_pct = Percent(0.0);
    assert_eq!(lot_tax_line(&inputs, CarIx(0), 0), None);
    assert_eq!(tax_line(&inputs, CAR, Cents(950_000)), None);
}

#[test]
fn a_left_over_car_is_worth_its_share_or_its_scrap() {
    let mut inputs = inputs_with(&[&|car| car.weight = Some(Kips(53.2)), &|_| {}, &|_| {}]);
    into_lot(&mut inputs, Some(Cents(1_980_000)));
    inputs.rules.purchase.stock_value_pct = Percent(20.0);
    // 20 % of 19,800 / 3 = 1,320. 53,200 lb x 0.08 = 4,256; 40,000 x 0.08 = 3,200.
    for (rate, first, second, words) in [
        (0.0, 132_000, 132_000, "20.0 % of $19,800.00 / 3 cars of lot L-1"),
        (0.024, 132_000, 132_000, "20.0 % of $19,800.00 / 3 cars of lot L-1"), // 1,276.80
        (0.08, 425_600, 320_000, "as scrap, 53,200 lb x $0.08/lb, more than 20.0 % of its share"),
        // 53,200 x 0.15 = 7,980: no more than the 6,600 paid; 40,000 x 0.15 = 6,000.
        (
            0.15,
            660_000,
            600_000,
            "$19,800.00 / 3 cars of lot L-1; as scrap it would bring $7,980.00",
        ),
    ] {
        inputs.rules.purchase.scrap_usd_per_lb = UsdPerPound(rate);
        assert_eq!(stock_value(&inputs, CarIx(0)), Cents(first), "{rate}");
        assert_eq!(stock_value(&inputs, CarIx(1)), Cents(second), "{rate}");
        let line = stock_value_line(&inputs, CarIx(0)).unwrap();
        assert_eq!((line.amount.0, line.basis.as_str()), (-first, words));
    }
    inputs.cars[0].weight = None;
    assert_eq!(stock_value(&inputs, CarIx(0)), Cents(132_000));
    inputs.lots[LotIx(0).0].price = None;
    assert_eq!(stock_value(&inputs, CarIx(1)), Cents::ZERO);
}

#[test]
fn approach_rail_at_four_corners() {
    let mut inputs = inputs();
    inputs.rules.rail.approach_usd_per_ft = UsdPerFoot(60.0);
    // 4 x 12.5 x 60 = 3,000.
    let lines = spanyard::price::layout_fixed(&inputs, CrossingIx(0), 0);
    let rail = lines.iter().find(|line| line.item == CostItem::ApproachRail).unwrap();
    assert_eq!((rail.amount.0, rail.basis.as_str()), (300_000, "4 corners x 12.5 ft x $60.00/ft"));
}

/// A lot of three cars of which two are laid, and one more car sold singly; taxed, at a yard without a crane.
fn planned() -> (Inputs, Plan) {
    let lot: &dyn Fn(&mut Car) = &|_| {};
    let mut inputs = Inputs { rules: rules(), ..inputs_with(&[lot, lot, lot]) };
    into_lot(&mut inputs, Some(Cents(2_250_001)));
    inputs.yards[0].crane = Cents::dollars(2_600);
    inputs.rules.overhead.sales_tax_pct = Percent(6.25);
    let plan = make_plan(&inputs, &Survey::new(&inputs), &PlanOptions::default()).unwrap();
    (inputs, plan)
}

#[test]
fn a_whole_plan_adds_up_and_nothing_of_it_can_be_changed() {
    let (inputs, plan) = planned();
    let Fate::Served(served) = &plan.crossings[0].fate else { panic!("not served") };
    assert_eq!(served.decks[0].cars.len(), 2);
    let total = |item: CostItem| {
        let crossing = served.lines.iter();
        let yards = plan.purchases.iter().flat_map(|yard| {
            yard.lines.iter().chain(yard.lots.iter().flat_map(|lot| &lot.left_over_lines))
        });
        let lines = crossing.chain(yards).filter(|line| line.item == item);
        lines.map(|line| line.amount.0).sum::<i64>()
    };
    assert_eq!(total(CostItem::LotShare), 2_250_001);
    assert_eq!(total(CostItem::SalesTax), 140_625); // 22,500.01 x 0.0625 = 1,406.250625
    assert_eq!(total(CostItem::YardCrane), 260_000);
    assert_eq!(total(CostItem::StockValue), -320_000); // 40,000 lb x 0.08
    assert_eq!(total(CostItem::Bearing), 180_000);
    assert_eq!(plan.totals.net, Cents(CostItem::ALL.iter().map(|item| total(*item)).sum()));

    for item in [
        CostItem::SalesTax,
        CostItem::Contingency,
        CostItem::Engineering,
        CostItem::ScrapCredit,
        CostItem::Gear,
        CostItem::Strip,
        CostItem::Tests,
        CostItem::Bearing,
        CostItem::Trim,
        CostItem::ApproachRail,
    ] {
        for change in [-3, 3] {
            let mut tampered = plan.clone();
            let lines = &mut lines_of(&mut tampered).lines;
            lines.iter_mut().find(|line| line.item == item).unwrap().amount += Cents(change);
            refused(&inputs, &tampered, item);
        }
        let mut tampered = plan.clone();
        lines_of(&mut tampered).lines.retain(|line| line.item != item);
        refused(&inputs, &tampered, item);
    }
    for item in [CostItem::YardCrane, CostItem::Trip] {
        let mut tampered = plan.clone();
        tampered.purchases[0].lines.retain(|line| line.item != item);
        refused(&inputs, &tampered, item);
    }
    // The other way round: what the rules ask for is missing in a plan of other rules.
    let mut dearer = inputs;
    dearer.rules.fit = FitRules { gear_usd_per_car: Cents(1), ..dearer.rules.fit };
    refused(&dearer, &plan, CostItem::Gear);
}

fn lines_of(plan: &mut Plan) -> &mut Served {
    match &mut plan.crossings[0].fate {
        Fate::Served(served) => served,
        Fate::Unserved(_) => panic!("not served"),
    }
}

fn refused(inputs: &Inputs, plan: &Plan, item: CostItem) {
    let rejected = verify::verify(inputs, plan).unwrap_err();
    let costs = rejected.0.iter().any(|check| check.code == Code::CostLines);
    assert!(costs, "{item}: {rejected}");
}
