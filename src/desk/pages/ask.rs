//! Questions after the plan: what a lower price could save, what a failed inspection would cost, what
//! is missing for a crossing that is not served. Each is worked out when asked for, and shown till the
//! files change.

use std::time::Duration;

use askama::Template;
use spanyard::after::prices::{PricesToBeat, Question, Worth, prices};
use spanyard::after::relax::near_misses;
use spanyard::after::spare::{Substitute, spares};
use spanyard::after::want::wanted;
use spanyard::assemble::{PlanOptions, Solved};
use spanyard::choose::{Effort, Progress};
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs};
use spanyard::price::scrap_value;
use spanyard::quantity::{Cents, feet_inches};
use spanyard::report::facts::count;
use spanyard::report::facts::prices::{beat, found, name, offered};
use spanyard::report::facts::spares::{cost, goes_to, how_sure, names, substitute};
use spanyard::report::facts::want::{NEVER_OFFERED, change};

use super::{Place, Shown};
use crate::desk::exchange::Answer;
use crate::desk::job::Job;
use crate::desk::made::Made;
use crate::desk::told::Told;
use crate::desk::view::{Form, Frame, Input, Table, figure, head, page, text};

#[derive(Template)]
#[template(path = "desk/ask.html")]
struct AskPage {
    frame: Frame,
    words: Vec<String>,
    forms: Vec<Form>,
    questions: Vec<Table>,
    about_plan: Vec<&'static str>,
    plan_forms: Vec<Form>,
    tables: Vec<Table>,
    closing: Vec<String>,
}

/// The questions, and what was found.
pub fn show(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let fresh = |question| at.desk.told(question).filter(|told| told.stamp == at.known.stamp);
    let plain = |action, button| Form { post: true, action, button, inputs: Vec::new() };
    let mut view = AskPage {
        frame: at.frame("Ask", "Ask"),
        words: Vec::new(),
        forms: vec![plain("/ask/questions", "The fewest questions that open the most crossings")],
        questions: Vec::new(),
        about_plan: Vec::new(),
        plan_forms: Vec::new(),
        tables: Vec::new(),
        closing: Vec::new(),
    };
    if let Some(told) = fresh("questions") {
        view.words.clone_from(&told.words);
        view.questions.clone_from(&told.tables);
        let (form, letters) = super::questions::papers_of(at, &told);
        view.forms.extend(form);
        view.questions.push(letters);
    } else {
        let words = "What a list does not tell bars a car. The fewest questions whose answers, if they are \
                     as needed, would open the most crossings by priority: yard by yard, with letters.";
        view.words.push(words.to_owned());
    }
    let Some(made) = at.desk.made() else {
        view.about_plan
            .push("Prices to beat and substitutes are about a plan, and there is none yet.");
        view.plan_forms.push(plain("/plan", "Find the best purchase"));
        return Ok(page(&view));
    };
    if made.known.stamp != at.known.stamp {
        let words = "Files have changed since the plan was made; plan again to ask about them.";
        view.about_plan.push(words);
        view.plan_forms.push(plain("/plan", "Find the best purchase"));
        return Ok(page(&view));
    }
    view.about_plan.push("All three look at the cheapest plan.");
    view.plan_forms = vec![
        Form {
            post: true,
            action: "/ask/prices",
            button: "Prices to beat",
            inputs: vec![
                Input::new("number", "discount", "A discount, in per cent", "10"),
                Input::new("number", "seconds", "At most seconds", "60"),
            ],
        },
        Form {
            inputs: vec![Input::new("number", "seconds", "At most seconds", "60")],
            ..plain("/ask/spares", "If a car fails")
        },
        plain("/ask/want", "What is missing where nothing serves"),
    ];
    for told in ["prices", "spares", "want"].into_iter().filter_map(fresh) {
        view.tables.extend(told.tables.iter().cloned());
        view.closing.extend(told.closing.iter().cloned());
    }
    Ok(page(&view))
}

/// Begins to work out an answer.
pub fn begin(at: &Place<'_>, question: &'static str) -> Shown {
    let made = at.desk.made().ok_or_else(|| at.missing("there is no plan yet"))?;
    let number =
        |name: &str, usual: f64| at.asked.get(name).and_then(|n| n.parse().ok()).unwrap_or(usual);
    let (discount, seconds): (f64, f64) = (number("discount", 10.0), number("seconds", 60.0));
    let (discount, seconds) = (discount.clamp(0.0, 100.0), seconds.clamp(1.0, 3_600.0));
    let within = Duration::from_secs_f64(seconds);
    let title = match question {
        "prices" => "Looking for the prices to beat",
        "spares" => "Letting each car of the plan fail",
        _ => "Looking for what is missing",
    };
    at.desk.begin(title, "/ask", move |desk, job| {
        let told = match question {
            "prices" => told_prices(&made, discount, within, job),
            "spares" => told_spares(&made, within, job),
            _ => told_want(&made, job),
        };
        desk.tell(question, told?);
        Ok(())
    });
    Ok(Answer::See("/plan".to_owned()))
}

fn gone() -> String {
    "the files have problems".to_owned()
}

fn solved(made: &Made) -> Solved {
    Solved { market: made.market.clone(), choice: made.choice.clone(), plan: made.plan.clone() }
}

fn told_prices(made: &Made, discount: f64, within: Duration, job: &Job) -> Result<Told, String> {
    let inputs = made.known.inputs().ok_or_else(gone)?;
    let survey = made.known.survey().ok_or_else(gone)?;
    let rate = inputs.rules.purchase.scrap_usd_per_lb;
    let scrap: Vec<_> = inputs.cars.iter().map(|car| scrap_value(car, rate)).collect();
    let question = Question {
        discount_pct: discount,
        worth: Worth {
            share: inputs.rules.purchase.stock_value_pct,
            scrap: &scrap,
            sales_tax: inputs.rules.overhead.sales_tax_pct,
        },
        time_limit: None,
        in_all: Some(within),
        interrupt: Some(job.interrupt()),
    };
    let far = |done: usize, all: usize| job.say(&format!("{done} of {all} prices"));
    let found = prices(inputs, survey, &solved(made), &question, &far);
    let mut told = Told::new(&made.known);
    told.tables = price_tables(inputs, &found, discount);
    if found.left_out > 0 {
        let words =
            format!("Not looked at, for the time was up: {}.", count(found.left_out, "offer"));
        told.closing.push(words);
    }
    if found.list.iter().all(|offer| offer.proven) {
        let words =
            "Every price is proven, to the cent. Each holds while all other prices are as quoted.";
        told.closing.push(words.to_owned());
    }
    Ok(told)
}

fn price_tables(inputs: &Inputs, prices: &PricesToBeat, discount: f64) -> Vec<Table> {
    let heads = [
        "Car or lot",
        "#Cars",
        "#Asked",
        "#Stays below",
        "#Without it",
        "#The discount saves",
        "How found",
    ];
    let mut chosen = Table::new(format!("In the plan; a discount of {discount} per cent"), &heads);
    let heads = [
        "Car or lot",
        "#Cars",
        "#Asked",
        "#Enters below",
        "#Over by",
        "#The discount saves",
        "How found",
    ];
    let mut others = Table::new("Not in the plan, nearest first", &heads);
    let mut list: Vec<_> = prices.list.iter().collect();
    list.sort_by_key(|offer| std::cmp::Reverse(offer.saves));
    for offer in list {
        let cars = offered(inputs, offer.subject);
        let amount =
            |amount: Cents| if amount == Cents::ZERO { String::new() } else { amount.to_string() };
        let mut row = vec![head(name(inputs, offer.subject))];
        if offer.chosen > 0 {
            let same = offer.without.unserved == prices.plan.unserved;
            let without = if same {
                format!("+{}", offer.without.net - prices.plan.net)
            } else {
                "fewer served".to_owned()
            };
            row.extend([
                figure(format!("{} of {cars}", offer.chosen)),
                figure(offer.asked),
                figure(beat(offer)),
                figure(without),
                figure(amount(offer.saves)),
                text(found(offer)),
            ]);
            chosen.row(row);
        } else {
            let over = match offer.beat {
                spanyard::after::prices::Beat::Below(price) => (offer.asked - price).to_string(),
                _ => String::new(),
            };
            row.extend([
                figure(cars),
                figure(offer.asked),
                figure(beat(offer)),
                figure(over),
                figure(amount(offer.saves)),
                text(found(offer)),
            ]);
            others.row(row);
        }
    }
    vec![chosen, others]
}

fn told_spares(made: &Made, within: Duration, job: &Job) -> Result<Told, String> {
    let inputs = made.known.inputs().ok_or_else(gone)?;
    let effort = Effort { interrupt: Some(job.interrupt()), ..Effort::default() };
    let effort = Effort { time_limit: Some(within), ..effort };
    let far = |done: usize, all: usize| job.say(&format!("{done} of {all} cars"));
    let spares = spares(&made.market, &made.choice, &effort, &far);
    let mut told = Told::new(&made.known);
    let heads = ["Car", "Goes to", "Cheapest substitute", "#Purchase"];
    let mut table = Table::new("If one car fails its inspection", &heads);
    for failure in &spares.failures {
        let class = if failure.substitute == Substitute::Nothing { "bad" } else { "" };
        table.classed(
            class,
            vec![
                head(inputs.car(CarIx(failure.offer)).name()),
                text(goes_to(inputs, &made.plan, failure.offer)),
                text(substitute(inputs, &failure.substitute)),
                figure(cost(failure)),
            ],
        );
    }
    told.tables.push(table);
    let what = names(inputs, &spares.cars, &spares.lots);
    told.closing.push(if what.is_empty() {
        "The cars of the plan cover each failed car that can be covered without a spare.".to_owned()
    } else {
        format!(
            "Spares that cover each failed car that can be covered: {what}. Premium {}.",
            spares.premium
        )
    });
    told.closing.push(how_sure(&spares));
    Ok(told)
}

fn told_want(made: &Made, job: &Job) -> Result<Told, String> {
    let inputs = made.known.inputs().ok_or_else(gone)?;
    let survey = made.known.survey().ok_or_else(gone)?;
    let plan = made.plan.crossings.iter();
    let crossings: Vec<CrossingIx> =
        plan.filter(|c| c.served().is_none()).map(|c| c.crossing).collect();
    let watch = |progress: &Progress| job.follow(progress);
    let effort =
        Effort { interrupt: Some(job.interrupt()), watch: Some(&watch), ..Effort::default() };
    let options = PlanOptions { budget: made.plan.budget, effort };
    let near = near_misses(inputs, &solved(made), &options, &crossings)
        .map_err(|error| error.to_string())?;
    let mut told = Told::new(&made.known);
    let heads = ["Crossing", "One limit relaxed that would serve it", "#Costs more"];
    let mut table = Table::new("Near misses", &heads);
    for misses in &near {
        let id = inputs.crossing(misses.crossing).id.clone();
        if misses.stopped {
            let words = "not tried to the end, for the search was stopped";
            table.row(vec![head(id.clone()), text(words), figure("")]);
        } else if misses.list.is_empty() {
            table.row(vec![
                head(id.clone()),
                text("none of the limits tried would do"),
                figure(""),
            ]);
        }
        for relaxation in &misses.list {
            table.row(vec![head(id.clone()), text(change(relaxation)), figure(relaxation.extra)]);
        }
    }
    told.tables.push(table);
    let heads = [
        "Crossing",
        "#Span",
        "#Truck centers at least",
        "#Length at most",
        "#Weight at most",
        "#Exterior depth at least",
    ];
    let mut table = Table::new("Cars to ask dealers for", &heads);
    for want in wanted(inputs, survey, &crossings) {
        let id = inputs.crossing(want.crossing).id.clone();
        if let Some(why) = &want.impossible {
            table.row(vec![head(id), text(why.clone())]);
            continue;
        }
        table.row(vec![
            head(id),
            figure(feet_inches(want.span)),
            figure(feet_inches(want.centers_least)),
            figure(want.length_most.map_or_else(|| "any".to_owned(), feet_inches)),
            figure(want.weight_most.map_or_else(|| "any".to_owned(), |weight| weight.to_string())),
            figure(want.exterior_depth_least),
        ]);
    }
    told.tables.push(table);
    told.closing.push(NEVER_OFFERED.to_owned());
    Ok(told)
}
