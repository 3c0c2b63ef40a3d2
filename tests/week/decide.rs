//! The decisions file: what it does to the inputs, and what is wrong with bad ones.

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::Code;
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::plan::Plan;
use spanyard::quantity::{Cents, Feet, Inches};
use spanyard::read::SourceText;
use spanyard::survey::Survey;
use spanyard::verify;

use crate::testkit::demo;

fn decided(text: &str) -> Result<Inputs, Vec<String>> {
    let mut sources = demo::sources();
    sources.decisions = Some(SourceText::new("week.toml", text));
    spanyard::after::decide::read(&sources, jiff::civil::date(2026, 1, 1))
        .map(|reading| reading.inputs)
        .map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

fn obeyed(text: &str) -> Inputs {
    decided(text).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn car(inputs: &Inputs, id: &str) -> CarIx {
    inputs.car_indices().find(|ix| inputs.car(*ix).id == id).unwrap()
}

fn plan(inputs: &Inputs) -> Plan {
    make_plan(inputs, &Survey::new(inputs), &PlanOptions::default()).unwrap()
}

/// The crossings whose decks hold a car, once for each.
fn goes_to(inputs: &Inputs, plan: &Plan, id: &str) -> Vec<String> {
    let mut places = Vec::new();
    for crossing in &plan.crossings {
        let decks = crossing.served().into_iter().flat_map(|served| &served.decks);
        for placed in decks.flat_map(|deck| &deck.cars) {
            if inputs.car(placed.car).id == id {
                places.push(inputs.crossing(crossing.crossing).id.clone());
            }
        }
    }
    places
}

#[test]
fn bad_decisions_are_problems_with_their_place() {
    let drumfell = "dealer = \"Drumfell Reclaim\"";
    for (text, problems) in [
        ("[[bought]\n", vec!["week.toml:1:"]),
        (
            "[[bougth]]\n",
            vec![
                "week.toml:1:3: D22 bougth: is no kind of decision; write [[bought]] if that is meant",
            ],
        ),
        (
            "[[sold]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-80\"\n",
            vec![
                "week.toml:3:7: D09 sold.car: `UD-80` is no car of Drumfell Reclaim; write UD-08 if that is meant",
            ],
        ),
        (
            "[[sold]]\ncar = \"UD-08\"\nprice = 3\n",
            vec![
                "week.toml:1:1: D10 sold.dealer: is missing; add the key to this [[sold]]",
                "week.toml:3:1: D22 sold.price: is no key of [[sold]]; write dealer, car, lot, count, as, on or note",
            ],
        ),
        (
            &format!(
                "[[sold]]\n{drumfell}\ncar = \"UD-08\"\n\n[[bought]]\n{drumfell}\ncar = \"UD-08\"\nprice_usd = 9000\n"
            ),
            vec![
                "week.toml:7:7: D12 bought.car: `UD-08` is bought; Drumfell Reclaim UD-08 is sold to others, see line 1; keep one of the two decisions",
            ],
        ),
        (
            &format!("[[bought]]\n{drumfell}\ncar = \"UD-08\"\nprice_usd = 9\n"),
            vec!["week.toml:4:13: D05 bought.price_usd: `9` is outside"],
        ),
        (
            &format!("[[bought]]\n{drumfell}\ncar = \"UD-01\"\nprice_usd = 8000\n"),
            vec![
                "week.toml:1:1: D10 bought.count: is missing, and the row has 3 identical cars; write `count = 3` for all, or fewer with a new ID in `as`",
            ],
        ),
        (
            &format!("[[bought]]\n{drumfell}\ncar = \"UD-01\"\ncount = 4\nprice_usd = 8000\n"),
            vec![
                "week.toml:4:9: D05 bought.count: `4` is more than the 3 cars of the row; write how many are meant",
            ],
        ),
        (
            &format!(
                "[[bought]]\n{drumfell}\ncar = \"UD-01\"\ncount = 1\nas = \"ud-02\"\nprice_usd = 8000\n"
            ),
            vec![
                "week.toml:5:6: D08 bought.as: `ud-02` is a car of Drumfell Reclaim already; choose another ID",
            ],
        ),
        (
            &format!("[[bought]]\n{drumfell}\ncar = \"UD-13\"\nprice_usd = 8000\n"),
            vec![
                "week.toml:3:7: D12 bought.car: `UD-13` is sold only with lot UD-A; write `lot = \"UD-A\"` instead of the car",
            ],
        ),
        (
            &format!("[[measured]]\n{drumfell}\ncar = \"UD-08\"\ncamber_in = \"1 1/2\"\n"),
            vec!["week.toml:4:13: D04 measured.camber_in: `1 1/2` has a fraction"],
        ),
        (
            &format!("[[measured]]\n{drumfell}\ncar = \"UD-08\"\ntruck_centers_ft = 100\n"),
            vec![
                "week.toml:4:20: D12 measured.truck_centers_ft: `100` leaves truck centers of 100.00 ft in a length of",
            ],
        ),
        (
            &format!("[[measured]]\n{drumfell}\ncar = \"UD-08\"\n"),
            vec![
                "week.toml:3:7: D10 measured.car: `UD-08` holds no measured value; add one, such as camber_in",
            ],
        ),
        (
            "[[dropped]]\ncrossing = \"B-19\"\n[[dropped]]\ncrossing = \"B-19\"\n",
            vec![
                "week.toml:4:12: D12 dropped.crossing: `B-19` was dropped, see line 1; keep one of the two decisions",
            ],
        ),
        (
            &format!(
                "[[dropped]]\ncrossing = \"B-07\"\n[[fixed]]\n{drumfell}\ncar = \"UD-08\"\ncrossing = \"B-07\"\n"
            ),
            vec![
                "week.toml:6:12: D12 fixed.crossing: `B-07` was dropped, see line 1; keep one of the two decisions",
            ],
        ),
        (
            &format!(
                "[[refused]]\n{drumfell}\ncar = \"UD-08\"\n[[fixed]]\n{drumfell}\ncar = \"UD-08\"\ncrossing = \"B-07\"\n"
            ),
            vec![
                "week.toml:6:7: D12 fixed.car: `UD-08` is refused after inspection, see line 1; keep one of the two decisions",
            ],
        ),
        (
            "[[added]]\ncrossing = \"B-07\"\nroad = \"New Road\"\nspan_ft = 40\nclear_width_ft = 16\nvehicles = \"H15\"\ndeck = \"timber\"\nmost_abreast = 2\npriority = 1\nlatitude_deg = 44\nlongitude_deg = -40\n",
            vec![
                "week.toml:2:12: D08 added.crossing: `B-07` is a crossing already; give the new crossing an ID of its own",
            ],
        ),
        (
            "[[added]]\ncrossing = \"B-50\"\nspan_ft = 400\nvehicles = \"tank\"\n",
            vec!["week.toml:1:1: D10 added.road: is missing; add the key to this [[added]]"],
        ),
    ] {
        let Err(found) = decided(text) else { panic!("no problem in\n{text}") };
        for problem in &problems {
            assert!(
                found.iter().any(|found| found.starts_with(problem)),
                "{text}\nwants {problem}\nfound {found:#?}"
            );
        }
        if text.contains("[[added]]") {
            continue;
        }
        assert_eq!(found.len(), problems.len(), "{text}\n{found:#?}");
    }
}

#[test]
fn a_car_bought_is_used_at_no_price_and_stays_bought() {
    let before = plan(&obeyed(""));
    let inputs = obeyed(
        "[[bought]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\nprice_usd = 10900\nnote = \"by telephone\"\n",
    );
    assert_eq!(inputs.decided.paid, Cents::dollars(10_900));
    let after = plan(&inputs);
    // Bought at its price, the same purchase stays the cheapest: only the price is paid already.
    assert_eq!(goes_to(&inputs, &before, "UD-08"), ["B-07"]);
    assert_eq!(goes_to(&inputs, &after, "UD-08"), ["B-07"]);
    assert_eq!(after.totals.net, before.totals.net - Cents::dollars(10_900));
    let bought = after.purchases.iter().flat_map(|yard| &yard.singles);
    assert!(bought.clone().all(|single| inputs.car(single.car).id != "UD-08"));
}

#[test]
fn a_car_bought_that_nobody_needs_is_left_in_stock() {
    let inputs = obeyed(
        "[[bought]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\nprice_usd = 10900\n\
         [[dropped]]\ncrossing = \"B-07\"\n",
    );
    let after = plan(&inputs);
    let decisions = spanyard::report::facts::decisions::obeyed(&inputs, &after).unwrap();
    let left: Vec<_> =
        decisions.in_stock.iter().map(|left| inputs.car(left.car).id.as_str()).collect();
    assert_eq!(left, ["UD-08"]);
    assert!(after.crossings.iter().all(|c| inputs.crossing(c.crossing).id != "B-07"));
}

#[test]
fn what_is_gone_is_barred_with_the_reason() {
    for kind in ["sold", "refused"] {
        let inputs = obeyed(&format!(
            "[[{kind}]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\nnote = \"cracked bolster\"\n"
        ));
        let survey = Survey::new(&inputs);
        let gone = car(&inputs, "UD-08");
        assert!(!survey.passes_somewhere(gone));
        let site = survey.sites().next().unwrap();
        let checks = spanyard::survey::checks(&inputs, gone, site);
        let check = checks.iter().find(|check| check.code == Code::StillToBeHad).unwrap();
        assert!(check.outcome.bars());
        assert_eq!(check.note, "decided at week.toml:1: cracked bolster");
        assert!(goes_to(&inputs, &plan(&inputs), "UD-08").is_empty());
    }
}

#[test]
fn measured_values_replace_the_dealers() {
    let text = "[[measured]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-01\"\ncount = 1\nas = \"UD-01a\"\n\
                camber_in = 1.25\nwidth_ft = 9.25\nmain_girder = \"corroded 8\"\n";
    let inputs = obeyed(text);
    let (row, part) = (car(&inputs, "UD-01"), car(&inputs, "UD-01a"));
    assert_eq!((inputs.car(row).quantity, inputs.car(part).quantity), (2, 1));
    assert_eq!(inputs.car(part).camber, Some(Inches(1.25)));
    assert_eq!(inputs.car(part).width, Some(Feet(9.25)));
    assert_eq!(inputs.car(row).camber, Some(Inches(0.5)));
    // A loss seen on the girder holds for the plates that the dealer measured as sound.
    let plates = inputs.car(part).girder.plates.unwrap();
    assert_eq!([plates.web_loss_pct.0, plates.top_loss_pct.0, plates.bottom_loss_pct.0], [8.0; 3]);
    assert_eq!(inputs.first_id(part), "UD-01");
    plan(&inputs);
}

#[test]
fn a_fixed_car_lies_where_it_must_or_the_crossing_goes_without() {
    // UD-08 lies at B-07 in the cheapest plan; K-50 cars are too weak or short for it.
    let at = |crossing: &str| {
        obeyed(&format!(
            "[[fixed]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\ncrossing = \"{crossing}\"\n"
        ))
    };
    let free = plan(&obeyed(""));
    for crossing in ["B-07", "B-21", "B-33"] {
        let inputs = at(crossing);
        let fixed = plan(&inputs);
        assert!(fixed.totals.net >= free.totals.net || fixed.served_count() < free.served_count());
        let places = goes_to(&inputs, &fixed, "UD-08");
        let ix = inputs.crossing_indices().find(|ix| inputs.crossing(*ix).id == crossing).unwrap();
        match fixed.crossings[ix.0].served() {
            Some(_) => assert_eq!(places, [crossing]),
            None => assert!(places.is_empty(), "{places:?}"),
        }
    }
}

#[test]
fn lots_are_bought_sold_and_quoted_whole() {
    let lot = |kind: &str, more: &str| {
        obeyed(&format!("[[{kind}]]\ndealer = \"Drumfell Reclaim\"\nlot = \"UD-A\"\n{more}"))
    };
    let bought = lot("bought", "price_usd = 37600\n");
    assert_eq!(bought.decided.paid, Cents::dollars(37_600));
    for id in ["UD-13", "UD-14", "UD-15", "UD-16"] {
        let car = bought.car(car(&bought, id));
        assert!(car.owned && car.lot.is_none());
    }
    assert_eq!(plan(&bought).served_count(), plan(&obeyed("")).served_count());
    let sold = lot("sold", "");
    assert!(!Survey::new(&sold).passes_somewhere(car(&sold, "UD-13")));
    let quoted = lot("quoted", "price_usd = 30000\nuntil = 2026-08-31\n");
    assert_eq!(
        quoted.lots.iter().find(|l| l.name == "UD-A").unwrap().price,
        Some(Cents::dollars(30_000))
    );
    assert_eq!(
        quoted.car(car(&quoted, "UD-13")).quote_expires,
        Some(jiff::civil::date(2026, 8, 31))
    );
}

#[test]
fn crossings_are_added_in_their_order() {
    let inputs = obeyed(
        "[[added]]\ncrossing = \"B-08\"\nroad = \"New Road\"\nspan_ft = 40\nclear_width_ft = 16\n\
         vehicles = \"H15; school bus\"\ndeck = \"timber\"\nmost_abreast = 2\npriority = 1\n\
         haul_length_limit_ft = 95\nhaul_width_limit_ft = 12\nhaul_weight_limit_lb = 60000\ncrane_limit_lb = 66000\n\
         latitude_deg = 44\nlongitude_deg = -40\nnote = \"washed out\"\n",
    );
    let ids: Vec<&str> = inputs.crossings.iter().map(|c| c.id.as_str()).collect();
    assert!(ids.is_sorted() && ids.contains(&"B-08") && ids.len() == 13);
    assert!(
        plan(&inputs).crossings[ids.iter().position(|id| *id == "B-08").unwrap()]
            .served()
            .is_some()
    );
}

#[test]
fn a_plan_that_disobeys_is_rejected() {
    let inputs = obeyed("[[refused]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\n");
    let made = plan(&inputs);
    assert!(verify::verify(&inputs, &made).is_ok());
    let faulty = |change: &dyn Fn(&mut Inputs)| {
        let mut changed = inputs.clone();
        change(&mut changed);
        let checks = verify::checks(&changed, &made);
        checks.iter().find(|c| c.code == Code::DecisionsKept).unwrap().outcome.bars()
    };
    assert!(!faulty(&|_| ()));
    assert!(faulty(&|inputs| inputs.decided.paid = Cents(1)));
    // As if the plan had been made before these decisions.
    let of = |text: &str| obeyed(text).decided;
    let dealer = "dealer = \"Drumfell Reclaim\"\ncar = \"UD-19\"\n";
    assert_eq!(goes_to(&inputs, &made, "UD-19"), ["B-33"]);
    for text in [
        format!("[[sold]]\n{dealer}"),
        format!("[[fixed]]\n{dealer}crossing = \"B-07\"\n"),
        format!("[[measured]]\n{dealer}camber_in = 3\n"),
        "[[dropped]]\ncrossing = \"B-33\"\n".to_owned(),
    ] {
        let mut list = of(&text);
        list.paid = Cents::ZERO;
        assert!(faulty(&|inputs| inputs.decided = list.clone()), "{text}");
    }
}

/// UD-08 bought for $10,500.00: its crossing costs that much less from now on, and no less in all.
#[test]
fn what_was_paid_already_is_told_with_its_crossing() {
    let bought = "[[bought]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\nprice_usd = 10500\n";
    let inputs = obeyed(bought);
    let plan = plan(&inputs);
    let place = goes_to(&inputs, &plan, "UD-08");
    let served =
        |of: &spanyard::model::plan::CrossingPlan| place.contains(&inputs.crossing(of.crossing).id);
    let crossing = plan.crossings.iter().find(|of| served(of)).unwrap().served().unwrap();
    let paid = spanyard::price::paid_already(&inputs, &crossing.decks);
    assert_eq!(paid, Cents::dollars(10_500));
    let others = plan.crossings.iter().filter(|of| !served(of)).filter_map(|of| of.served());
    for other in others {
        assert_eq!(spanyard::price::paid_already(&inputs, &other.decks), Cents::ZERO);
    }
}
