//! The same problem written deck by deck for a general-purpose integer solver: every deck that its span's
//! rule admits is a variable. Of the library it uses the rule of a deck alone.

use good_lp::{Expression, ProblemVariables, Variable, constraint, variable, variables};
use spanyard::choose::{Market, SpanDemand};
use spanyard::group::{Candidate, haul_cost};

use super::model::{Model, money, purchases, total};

/// The model, with how many decks it has; none: there are more than `most`. Yards have no price levels in
/// it, and no span holds a car by decision.
pub fn decks(market: &Market, most: usize) -> Option<(Model, usize)> {
    let mut variables = variables!();
    let mut rules = Vec::new();
    let (trips, lots) = purchases(market, &mut variables);
    let mut used = vec![Expression::from(0.0); market.offers.len()];
    let mut built = Expression::from(0.0);
    let mut served = Vec::new();
    let mut number = 0;
    for crossing in &market.crossings {
        let mut of_crossing = Expression::from(0.0);
        for layout in crossing.layouts.iter().filter(|layout| !layout.spans.is_empty()) {
            let chosen = variables.add(variable().binary());
            of_crossing += chosen;
            built += chosen * layout.fixed.0 as f64;
            for span in &layout.spans {
                built += chosen * span.fixed.0 as f64;
                let found = span_decks(market, span, most - number)?;
                number += found.len();
                let laid = lay(market, &found, &mut variables, &mut used, &mut built);
                rules.push(constraint!(total(laid.iter().map(|v| (*v).into())) == chosen));
                // A deck with a car of a lot or yard is laid only if that is bought: span by span this is
                // tighter than car by car.
                for (lot, bought) in lots.iter().enumerate() {
                    let of_lot = |offer: usize| market.offers[offer].lot == Some(lot);
                    rules.extend(tied(&found, &laid, of_lot, *bought));
                }
                for (yard, visited) in trips.iter().enumerate() {
                    let of_yard = |offer: usize| market.offers[offer].yard == yard;
                    rules.extend(tied(&found, &laid, of_yard, *visited));
                }
            }
        }
        rules.push(constraint!(of_crossing.clone() <= 1));
        served.push(of_crossing);
    }
    let (outlay, net) = money(market, built, &used, (&trips, &lots), &mut rules);
    if let Some(budget) = market.budget {
        rules.push(constraint!(outlay <= budget.0 as f64));
    }
    Some((Model { variables, rules, served, net }, number))
}

/// A variable for each deck, with what it uses and costs.
fn lay(
    market: &Market,
    found: &[Found<'_>],
    variables: &mut ProblemVariables,
    used: &mut [Expression],
    built: &mut Expression,
) -> Vec<Variable> {
    let one = |deck: &Found<'_>| {
        let laid = variables.add(variable().binary());
        for car in &deck.cars {
            used[car.offer].add_mul(1.0, laid);
        }
        built.add_mul(deck.cost as f64, laid);
        laid
    };
    debug_assert!(market.levels.is_empty());
    found.iter().map(one).collect()
}

/// The decks with such a car are laid only if that is bought.
fn tied(
    found: &[Found<'_>],
    laid: &[Variable],
    of: impl Fn(usize) -> bool,
    bought: Variable,
) -> Option<good_lp::Constraint> {
    let with = found.iter().zip(laid);
    let with = with.filter(|(deck, _)| deck.cars.iter().any(|car| of(car.offer)));
    let mut with = with.map(|(_, laid)| Expression::from(*laid)).peekable();
    with.peek()?;
    Some(constraint!(total(with) <= bought))
}

/// A deck with its cost, the prices of its cars apart.
struct Found<'a> {
    cars: Vec<&'a Candidate>,
    cost: i64,
}

/// Every deck of a span; none: there are more than `most`.
fn span_decks<'a>(market: &Market, span: &'a SpanDemand, most: usize) -> Option<Vec<Found<'a>>> {
    let mut found = Vec::new();
    extend(market, span, 0, &mut Vec::new(), &mut found, most)?;
    Some(found)
}

fn extend<'a>(
    market: &Market,
    span: &'a SpanDemand,
    from: usize,
    deck: &mut Vec<&'a Candidate>,
    found: &mut Vec<Found<'a>>,
    most: usize,
) -> Option<()> {
    if let Some(joint) = span.rule.admits(deck) {
        let cars = deck.iter().map(|car| car.cost.0).sum::<i64>();
        let cost = cars + haul_cost(deck).0 + joint.cost.0;
        found.push(Found { cars: deck.clone(), cost });
        if found.len() > most {
            return None;
        }
    }
    if deck.len() == span.rule.most_abreast {
        return Some(());
    }
    for (place, car) in span.candidates.iter().enumerate().skip(from) {
        let there = deck.iter().filter(|other| other.offer == car.offer).count();
        if there >= market.offers[car.offer].quantity as usize || !joins(span, deck, car) {
            continue;
        }
        deck.push(car);
        extend(market, span, place, deck, found, most)?;
        deck.pop();
    }
    Some(())
}

/// Whether a car may come to others: one section, no measure too far off, not too wide.
fn joins(span: &SpanDemand, deck: &[&Candidate], car: &Candidate) -> bool {
    let tolerances = span.rule.tolerances.all();
    let near = |other: &&Candidate| {
        let pairs = car.fit.measures.all().iter().zip(other.fit.measures.all());
        other.fit.section == car.fit.section
            && (car.fit.apart.is_none() || other.fit.apart != car.fit.apart)
            && pairs.zip(tolerances).all(|((a, b), most)| (a - b).abs() <= most + 1e-6)
    };
    let widths: f64 = deck.iter().map(|other| other.fit.width.0).sum();
    deck.iter().all(near) && widths + car.fit.width.0 <= span.rule.width_most.0 + 1e-6
}
