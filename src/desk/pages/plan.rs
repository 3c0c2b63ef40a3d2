//! The plan: asked for, watched, shown.

use std::time::Duration;

use askama::Template;
use axum::http::StatusCode;
use itertools::Itertools;
use spanyard::model::plan::Fate;
use spanyard::quantity::Cents;
use spanyard::report::drawing;
use spanyard::report::facts::board::{plain_why, posted, posting, risks, what_it_takes};
use spanyard::report::facts::purchases::{cars_bought, price_of_cars, single_price};
use spanyard::report::facts::{PlanReport, confirm, confirm::firmness, headline, totals};
use spanyard::report::{json, page::Drawn};
use spanyard::save::save;

use super::cars::car_href;
use super::costs::{item_href, yard_href};
use super::links::crossing_href;
use super::{Place, Shown, capital, changed, see};
use crate::desk::exchange::{Answer, encoded};
use crate::desk::job::Shown as Far;
use crate::desk::made::{self, AGREED, Made, Wish};
use crate::desk::view::{Frame, Table, figure, head, page, text};

#[derive(Template)]
#[template(path = "desk/plan.html")]
struct PlanPage {
    frame: Frame,
    job: Option<Running>,
    plan: Option<View>,
    budget: String,
    seconds: String,
    has_agreed: bool,
    agreed: &'static str,
}

struct Running {
    title: String,
    seconds: u64,
    found: String,
    open: String,
}

/// A number of the headline, and where it comes from.
struct Figure {
    what: &'static str,
    value: String,
    href: String,
}

impl Figure {
    fn new(what: &'static str, value: impl ToString, href: impl Into<String>) -> Self {
        Self { what, value: value.to_string(), href: href.into() }
    }
}

#[derive(Default)]
struct View {
    title: String,
    what_if: String,
    posted: String,
    figures: Vec<Figure>,
    change: Vec<String>,
    changed: Table,
    served: Table,
    unserved: Table,
    to_confirm: String,
    confirm: Table,
    drawings: Vec<Drawn>,
    buy: Table,
    charts: Vec<Drawn>,
    costs: Table,
    proof: Vec<String>,
    risks: Vec<String>,
    can_agree: bool,
}

/// The plan, or how the search for it goes.
pub fn show(at: &Place<'_>) -> Shown {
    let job = at.desk.job();
    let mut frame = at.frame("Plan", "Plan");
    let running = job.as_ref().filter(|job| job.runs()).map(|job| {
        job.look();
        let Far { seconds, found, open, .. } = job.shown();
        Running { title: job.title.clone(), seconds, found, open }
    });
    if let Some(why) = job.as_ref().and_then(|job| job.failed()) {
        frame.notices.push(crate::desk::view::Notice::new("alert", capital(why)));
    }
    frame.refresh = running.is_some();
    // While a search runs, the plan that it has found first, if there is one.
    let first = job.as_ref().is_some_and(|job| job.shown().plan);
    let made = at.desk.made().filter(|_| running.is_none() || first);
    if made.is_none() && running.is_none() {
        at.inputs()?;
    }
    let plan = made.as_ref().and_then(|made| made.report(|report| view(report, made)));
    let plan = plan.map(|view| View {
        can_agree: view.what_if.is_empty()
            && running.is_none()
            && made.as_ref().is_some_and(|made| made.known.stamp == at.known.stamp),
        ..view
    });
    Ok(page(&PlanPage {
        frame,
        job: running,
        budget: budget_of(made.as_deref()),
        seconds: String::new(),
        plan,
        has_agreed: at.known.files.at(AGREED.as_ref()).exists(),
        agreed: AGREED,
    }))
}

fn budget_of(made: Option<&Made>) -> String {
    let budget = made.and_then(|made| made.plan.budget);
    budget.map(|budget| format!("{:.2}", budget.as_dollars())).unwrap_or_default()
}

/// Begins a search.
pub fn begin(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let wish = wish(at)?;
    search(at.desk, wish);
    Ok(Answer::See("/plan".to_owned()))
}

/// A valid plan of a large folder is shown after this time, and the search for a better one goes on.
const FIRST: Duration = Duration::from_millis(500);

/// Cars times crossings from which on a folder is large.
const LARGE: usize = 4_000;

/// Begins a search on the folder as it is when the search begins.
pub fn search(desk: &std::sync::Arc<crate::desk::state::Desk>, wish: Wish) {
    desk.begin("Searching for the best purchase", "/plan", move |desk, job| {
        let known = desk.known().map_err(|_| "the files have problems".to_owned())?;
        let size = known.inputs().map_or(0, |inputs| inputs.cars.len() * inputs.crossings.len());
        let longer = wish.time_limit.is_none_or(|limit| limit > FIRST * 2);
        if size > LARGE && longer {
            let first = made::plan(&known, &Wish { time_limit: Some(FIRST), ..wish.clone() }, job)?;
            let done = first.is_proven();
            desk.keep(first);
            if done || job.is_stopped() {
                return Ok(());
            }
            job.show_plan();
        }
        let made = made::plan(&known, &wish, job)?;
        // One that was stopped early may be worse than the first.
        let first = desk.made().filter(|_| job.shown().plan);
        if made.is_proven() || first.is_none_or(|first| !first.is_better_than(&made)) {
            desk.keep(made);
        }
        Ok(())
    });
}

/// What the form asks.
fn wish(at: &Place<'_>) -> Result<Wish, Answer> {
    let budget = match at.asked.get("budget") {
        None => None,
        Some(words) => Some(dollars(words).ok_or_else(|| unreadable(at, "budget", words))?),
    };
    let time_limit = match at.asked.get("seconds") {
        None => None,
        Some(words) => {
            let seconds = words.parse::<f64>().ok().filter(|s| *s > 0.0 && *s <= 31_536_000.0);
            let limit = seconds.and_then(|s| Duration::try_from_secs_f64(s).ok());
            Some(limit.ok_or_else(|| unreadable(at, "number of seconds", words))?)
        }
    };
    let little_change = at.asked.get("little").is_some();
    Ok(Wish { budget, time_limit, little_change, what_if: String::new() })
}

fn unreadable(at: &Place<'_>, what: &str, words: &str) -> Answer {
    let words = format!("\u{201c}{words}\u{201d} is no {what}. Write a number such as 250000.");
    at.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Not understood", &words)
}

/// Dollars as people write them: `250000`, `250,000.50`, `$250,000`, `250k`.
pub fn dollars(text: &str) -> Option<Cents> {
    let plain: String = text.trim().trim_start_matches('$').replace(',', "");
    let (plain, times) = match plain.strip_suffix(['k', 'K']) {
        Some(thousands) => (thousands, 1_000),
        None => (plain.as_str(), 1),
    };
    let (dollars, cents) = plain.split_once('.').unwrap_or((plain, "00"));
    let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    if !digits(dollars) || !digits(cents) || cents.len() > 2 || dollars.len() > 12 {
        return None;
    }
    let amount: i64 = format!("{dollars}{cents:0<2}").parse().ok()?;
    Some(Cents(amount * times))
}

/// Ends the search with the best plan so far.
pub fn stop(at: &Place<'_>) -> Shown {
    let Some(job) = at.desk.job() else { return Ok(Answer::See("/plan".to_owned())) };
    job.stop();
    // It ends within moments; the page that comes then is the plan.
    for _ in 0..50 {
        if !job.runs() {
            break;
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    let page = if job.runs() { "/plan".to_owned() } else { job.page.clone() };
    Ok(Answer::See(page))
}

/// Keeps the plan as the agreed one, as `plan --format json` prints it.
pub fn agree(at: &Place<'_>) -> Shown {
    let Some(made) = at.desk.made().filter(|made| made.known.stamp == at.known.stamp) else {
        let words = "the files have changed since the plan was made: plan again first";
        return Err(at.refuse(StatusCode::CONFLICT, "Nothing was kept", words));
    };
    let text = made.report(|report| json::plan_and_change(report, made.change.as_ref()));
    let text = text.and_then(Result::ok).ok_or_else(|| at.missing("the plan is gone"))?;
    let path = at.known.files.at(AGREED.as_ref());
    match save(at.desk.disk(), &path, text.as_bytes()) {
        Ok(()) => Ok(see("/plan", &format!("Kept as agreed in {AGREED}"))),
        Err(error) => {
            let words = error.to_string();
            Err(at.refuse(StatusCode::INTERNAL_SERVER_ERROR, "Nothing was kept", &words))
        }
    }
}

fn view(report: &PlanReport<'_>, made: &Made) -> View {
    let (inputs, plan) = (report.inputs, report.plan);
    let (served, all) = (plan.served_count(), plan.crossings.len());
    let title = headline::title(inputs, plan);
    let cars: usize = plan.purchases.iter().map(cars_bought).sum();
    let dollars = |amount: Cents| format!("{amount:.0}");
    let mut figures = vec![
        Figure::new("To pay", dollars(plan.totals.outlay), "/plan/costs"),
        Figure::new("Net of stock left", dollars(plan.totals.net), "/plan/costs"),
        Figure::new("Cars bought", cars, "#buy"),
        Figure::new("Not served", all - served, "#unserved"),
        Figure::new("Bridges", firmness(plan), "#confirm"),
    ];
    if inputs.decided.paid != Cents::ZERO {
        figures.push(Figure::new("Paid already", dollars(inputs.decided.paid), "/decide"));
    }
    if let Some(budget) = plan.budget {
        figures.push(Figure::new("Budget", dollars(budget), "#again"));
    }
    let drawn = |caption: &str, svg: String| Drawn { caption: caption.to_owned(), svg };
    View {
        title: capital(title.trim_end_matches('.')),
        what_if: made.what_if.clone(),
        posted: posted(inputs, plan).join(", "),
        figures,
        change: made.change.as_ref().map(changed::words).unwrap_or_default(),
        changed: made.change.as_ref().map(changed::table).unwrap_or_default(),
        served: served_table(report),
        unserved: unserved_table(report),
        to_confirm: confirm::total(inputs, plan).unwrap_or_default(),
        confirm: confirm_table(report),
        drawings: vec![drawn(
            "Crossings, yards and hauls",
            drawing::map::draw(inputs, plan, "map"),
        )],
        buy: buy(report),
        charts: (served > 0)
            .then(|| {
                let svg = drawing::cost_bars::draw(inputs, plan, "bars");
                drawn("Where the money goes, crossing by crossing", svg)
            })
            .into_iter()
            .collect(),
        costs: costs(report),
        proof: headline::part(inputs).into_iter().chain(headline::proof(inputs, plan)).collect(),
        risks: risks(report),
        can_agree: false,
    }
}

fn served_table(report: &PlanReport<'_>) -> Table {
    let heads = [
        "Crossing",
        "Road",
        "Bridge",
        "Cars, left to right",
        "Weight sign",
        "#Priority",
        "#Next best costs more",
        "#In place",
    ];
    let mut table = Table::new("What each crossing gets", &heads);
    for planned in &report.plan.crossings {
        let Some(served) = planned.served() else { continue };
        let row = report.inputs.crossing(planned.crossing);
        let cars = served.decks.iter().map(|deck| {
            deck.cars.iter().map(|placed| report.inputs.car(placed.car).id.as_str()).join(" + ")
        });
        let other = served.alternative.as_ref().map(|other| other.extra.to_string());
        let layout = row.layouts.get(served.layout).map(|layout| layout.describe());
        let stands = format!("/source?file={}&line={}", encoded(&row.place.file), row.place.line);
        table.row(vec![
            head(row.id.clone()).to(crossing_href(&row.id)),
            text(row.road.clone()),
            text(layout.unwrap_or_default()),
            text(cars.collect::<Vec<_>>().join("; ")),
            text(posting(served).unwrap_or_else(|| "none".to_owned())),
            figure(row.priority).to(stands),
            figure(other.unwrap_or_default()).to(crossing_href(&row.id)),
            figure(served.total()).to(format!("{}#costs", crossing_href(&row.id))),
        ]);
    }
    table
}

fn unserved_table(report: &PlanReport<'_>) -> Table {
    let heads = ["Crossing", "Road", "Why", "What it would take"];
    let mut table = Table::new("Not served", &heads);
    for planned in &report.plan.crossings {
        let Fate::Unserved(unserved) = &planned.fate else { continue };
        let row = report.inputs.crossing(planned.crossing);
        table.row(vec![
            head(row.id.clone()).to(crossing_href(&row.id)),
            text(row.road.clone()),
            text(capital(&plain_why(unserved))),
            text(what_it_takes(report.inputs, unserved)),
        ]);
    }
    table
}

/// What has to be confirmed before money is paid, car by car, with the value that each fact must have.
fn confirm_table(report: &PlanReport<'_>) -> Table {
    let heads = ["Crossing", "Car", "To confirm, and what it must be", "If the car is refused"];
    let mut table = Table::new("Before money is paid", &heads);
    for planned in &report.plan.crossings {
        let Some(served) = planned.served() else { continue };
        let row = report.inputs.crossing(planned.crossing);
        for of_car in confirm::of_bridge(report.inputs, report.plan, served) {
            let car = report.inputs.car(of_car.car);
            let facts = of_car.facts.iter();
            let facts = facts.map(|(known, facts)| format!("{known}: {}", facts.join("; ")));
            table.row(vec![
                head(row.id.clone()).to(format!("{}#confirm", crossing_href(&row.id))),
                text(car.name()).to(car_href(&car.dealer, &car.id, &row.id)),
                text(capital(&facts.collect::<Vec<_>>().join(". "))),
                text(capital(&of_car.if_refused)),
            ]);
        }
    }
    table
}

fn buy(report: &PlanReport<'_>) -> Table {
    let (inputs, plan) = (report.inputs, report.plan);
    let mut table =
        Table::new("Yard by yard", &["Yard", "Cars and lots", "#Cars", "#Price of cars"]);
    for purchase in plan.purchases.iter().filter(|purchase| purchase.is_bought()) {
        let yard = inputs.yard(purchase.yard);
        let singles = purchase.singles.iter().map(|cars| {
            let times = if cars.count > 1 { format!("{} x ", cars.count) } else { String::new() };
            let price = single_price(inputs, purchase, cars);
            format!("{times}{} at {price}", inputs.car(cars.car).id)
        });
        let lots = purchase
            .lots
            .iter()
            .map(|lot| format!("lot {} at {}", inputs.lot(lot.lot).name, lot.price));
        table.row(vec![
            head(format!("{}, {}", yard.dealer, yard.name)),
            text(lots.chain(singles).collect::<Vec<_>>().join("; ")),
            figure(cars_bought(purchase)),
            figure(price_of_cars(inputs, purchase)).to(yard_href(&yard.dealer, &yard.name)),
        ]);
    }
    table
}

fn costs(report: &PlanReport<'_>) -> Table {
    let mut table = Table::new("Every cost by its kind", &["What", "#Amount"]);
    table.class = "slim";
    for (item, amount) in totals::by_item(report.plan) {
        let href = item_href(item.word());
        table.row(vec![head(capital(item.word())), figure(amount).to(href)]);
    }
    table.row(vec![head("To pay"), figure(report.plan.totals.outlay)]);
    table
}
