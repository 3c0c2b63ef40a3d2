//! The same problem written car by car and solved by a general-purpose integer solver (microlp
//! 0.6 through good_lp, or HiGHS with the feature `highs`): a model without decks, columns or bounds of
//! ours.

#[cfg(feature = "highs")]
use good_lp::solvers::highs::highs as solver;
#[cfg(not(feature = "highs"))]
use good_lp::solvers::microlp::microlp as solver;
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolutionStatus, SolverModel, Variable,
    WithTimeLimit, constraint, variable, variables,
};
use itertools::Itertools;
use spanyard::check::Code;
use spanyard::choose::{Market, SpanDemand};
use spanyard::group::Figures;

/// A model's variables and rules, but for the objective.
pub struct Model {
    pub variables: ProblemVariables,
    pub rules: Vec<good_lp::Constraint>,
    /// Whether each crossing is served.
    pub served: Vec<Expression>,
    /// Net cost in cents.
    pub net: Expression,
}

impl Model {
    /// Of each rank, the most urgent first, how many are served.
    pub fn of_ranks(&self, market: &Market) -> Vec<Expression> {
        let of_rank = |rank: u8| {
            let crossings = market.crossings.iter().zip(&self.served);
            total(crossings.filter(|(c, _)| c.priority == rank).map(|(_, served)| served.clone()))
        };
        ranks(market).into_iter().map(of_rank).collect()
    }
}

/// The ranks that occur, the most urgent first.
fn ranks(market: &Market) -> Vec<u8> {
    let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
    ranks.sort_unstable();
    ranks.dedup();
    ranks
}

/// A sum of terms.
pub fn total(terms: impl IntoIterator<Item = Expression>) -> Expression {
    terms.into_iter().fold(Expression::from(0.0), |sum, term| sum + term)
}

/// The problem car by car.
pub fn direct(market: &Market) -> Model {
    let mut variables = variables!();
    let mut rules = Vec::new();
    let mut used: Vec<Expression> = vec![Expression::from(0.0); market.offers.len()];
    let mut built = Expression::from(0.0);
    let mut served = Vec::new();
    for crossing in &market.crossings {
        let mut of_crossing = Expression::from(0.0);
        for layout in crossing.layouts.iter().filter(|layout| !layout.spans.is_empty()) {
            let chosen = variables.add(variable().binary());
            of_crossing += chosen;
            built += chosen * layout.fixed.0 as f64;
            for span in &layout.spans {
                built += chosen * span.fixed.0 as f64;
                built += one_span(market, span, chosen, &mut variables, &mut rules, &mut used);
            }
        }
        rules.push(constraint!(of_crossing.clone() <= 1));
        served.push(of_crossing);
    }
    let (trips, lots) = purchases(market, &mut variables);
    let (outlay, net) = money(market, built, &used, (&trips, &lots), &mut rules);
    if let Some(budget) = market.budget {
        rules.push(constraint!(outlay <= budget.0 as f64));
    }
    Model { variables, rules, served, net }
}

/// Whether each yard is used, and each lot bought.
pub fn purchases(
    market: &Market,
    variables: &mut ProblemVariables,
) -> (Vec<Variable>, Vec<Variable>) {
    let mut all = |number: usize| -> Vec<Variable> {
        (0..number).map(|_| variables.add(variable().binary())).collect()
    };
    (all(market.trips.len()), all(market.lots.len()))
}

/// What is paid, and that less the stock value of what is left over: for what is built, the cars used of
/// each offer, trips and lots. Cars are used only of yards visited and lots bought.
pub fn money(
    market: &Market,
    built: Expression,
    used: &[Expression],
    (trips, lots): (&[Variable], &[Variable]),
    rules: &mut Vec<good_lp::Constraint>,
) -> (Expression, Expression) {
    let mut outlay = built;
    let mut back = Expression::from(0.0);
    for (offer, used) in market.offers.iter().zip(used) {
        let quantity = f64::from(offer.quantity);
        rules.push(constraint!(used.clone() <= quantity * trips[offer.yard]));
        outlay += used.clone() * offer.price.0 as f64;
        if let Some(lot) = offer.lot {
            rules.push(constraint!(used.clone() <= quantity * lots[lot]));
            back += (quantity * lots[lot] - used.clone()) * offer.stock_value.0 as f64;
        }
    }
    for (lot, (&bought, price)) in lots.iter().zip(&market.lots).enumerate() {
        let cars = market.offers.iter().zip(used).filter(|(offer, _)| offer.lot == Some(lot));
        // Nobody buys a lot to leave all of it over.
        rules.push(constraint!(total(cars.map(|(_, used)| used.clone())) >= bought));
        match price {
            Some(price) => outlay += bought * price.0 as f64,
            None => rules.push(constraint!(Expression::from(bought) <= 0)),
        }
    }
    outlay += total(trips.iter().zip(&market.trips).map(|(&trip, cost)| trip * cost.0 as f64));
    (outlay.clone(), outlay - back)
}

/// One span: how many of each candidate, in which window of section, camber and truck centers, how
/// many abreast with which joint. Returns the cost of cars and joints.
fn one_span(
    market: &Market,
    span: &SpanDemand,
    chosen: Variable,
    variables: &mut ProblemVariables,
    rules: &mut Vec<good_lp::Constraint>,
    used: &mut [Expression],
) -> Expression {
    const ROUNDING: f64 = 1e-9;
    let rule = &span.rule;
    let count: Vec<Variable> = span
        .candidates
        .iter()
        .map(|c| variables.add(variable().integer().min(0).max(market.offers[c.offer].quantity)))
        .collect();
    // A window begins at the camber of one car and at the truck centers of one car, of one section.
    let mut windows: Vec<(u32, f64, f64)> = Vec::new();
    for a in &span.candidates {
        for b in span.candidates.iter().filter(|b| b.fit.section == a.fit.section) {
            windows.push((a.fit.section, camber(&a.fit.measures), centers(&b.fit.measures)));
        }
    }
    windows.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2)));
    windows.dedup();
    let windows: Vec<_> =
        windows.into_iter().map(|w| (w, variables.add(variable().binary()))).collect();
    rules.push(constraint!(total(windows.iter().map(|(_, v)| (*v).into())) == chosen));
    // How many abreast, with which joint.
    let mut rows: Vec<(usize, Option<usize>, usize, Variable)> = Vec::new();
    for cars in 1..=rule.most_abreast {
        let joints =
            if cars == 1 { vec![None] } else { (0..rule.joints.len()).map(Some).collect() };
        // And for how long a deck.
        for (joint, length) in joints.into_iter().cartesian_product(0..rule.lengths.len().max(1)) {
            rows.push((cars, joint, length, variables.add(variable().binary())));
        }
    }
    rules.push(constraint!(total(rows.iter().map(|(.., v)| (*v).into())) == chosen));
    let abreast = total(rows.iter().map(|(cars, .., v)| *v * *cars as f64));
    rules.push(constraint!(total(count.iter().map(|n| (*n).into())) == abreast));
    for (candidate, &n) in span.candidates.iter().zip(&count) {
        used[candidate.offer] += n;
        let quantity = f64::from(market.offers[candidate.offer].quantity);
        let inside = windows.iter().filter(|((section, low, shortest), _)| {
            let measures = &candidate.fit.measures;
            let within = |value: f64, low: f64, most: f64| {
                value >= low - ROUNDING && value <= low + most + ROUNDING
            };
            *section == candidate.fit.section
                && within(camber(measures), *low, camber(&rule.tolerances))
                && within(centers(measures), *shortest, centers(&rule.tolerances))
        });
        rules.push(constraint!(
            Expression::from(n) <= quantity * total(inside.map(|(_, v)| (*v).into()))
        ));
        let deep = rows.iter().filter(|(_, joint, length, _)| {
            let long = rule.lengths.get(*length).is_none_or(|most| candidate.fit.laid <= *most);
            let deep = |j: usize| candidate.fit.exterior_depth.0 >= rule.joints[j].depth_min.0;
            long && joint.is_none_or(deep)
        });
        rules.push(constraint!(
            Expression::from(n) <= quantity * total(deep.map(|(.., v)| (*v).into()))
        ));
    }
    if rule.step_most.0 < camber(&rule.tolerances) {
        steps(market, span, &count, variables, rules);
    }
    // The width with the widest gaps reaches, and with the narrowest does not exceed. The crews'
    // eighth of an inch cannot matter: the markets' allowances are far wider.
    let widths = total(span.candidates.iter().zip(&count).map(|(c, n)| *n * c.fit.width.0));
    let gaps = |gap: fn(&spanyard::group::JointOption) -> f64| {
        total(rows.iter().map(|(cars, joint, _, v)| {
            *v * joint.map_or(0.0, |j| (*cars as f64 - 1.0) * gap(&rule.joints[j]) / 12.0)
        }))
    };
    let widest = widths.clone() + gaps(|joint| joint.gap_max.0);
    let narrowest = widths + gaps(|joint| joint.gap_min.0);
    rules.push(constraint!(widest >= rule.width_least.0 * chosen - ROUNDING));
    // Nothing is laid where the layout is not chosen, so the limit may stand for it too.
    rules.push(constraint!(narrowest <= rule.width_most.0 * chosen + ROUNDING));
    let cars = total(span.candidates.iter().zip(&count).map(|(c, n)| *n * c.cost.0 as f64));
    let joints = rows.iter().map(|(cars, joint, length, v)| {
        let rails = rule.rails.get(*length).map_or(0, |cost| cost.0);
        let joints = joint.map_or(0, |j| (*cars as i64 - 1) * rule.joints[j].costs[*length].0);
        *v * (rails + joints) as f64
    });
    cars + total(joints) + hauls(span, &count, variables, rules)
}

/// Of two cars farther apart in camber than a step may be, one lies between that the lower one steps to.
fn steps(
    market: &Market,
    span: &SpanDemand,
    count: &[Variable],
    variables: &mut ProblemVariables,
    rules: &mut Vec<good_lp::Constraint>,
) {
    const ROUNDING: f64 = 1e-9;
    let present: Vec<Variable> = count.iter().map(|_| variables.add(variable().binary())).collect();
    let cars = || span.candidates.iter().map(|c| camber(&c.fit.measures)).zip(&present);
    for ((candidate, &n), &here) in span.candidates.iter().zip(count).zip(&present) {
        let quantity = f64::from(market.offers[candidate.offer].quantity);
        rules.push(constraint!(Expression::from(n) <= quantity * here));
        rules.push(constraint!(Expression::from(here) <= n));
    }
    let most = span.rule.step_most.0 + ROUNDING;
    for (low, &lower) in cars() {
        for (_, &higher) in cars().filter(|(high, _)| *high > low + most) {
            let between = cars().filter(|(camber, _)| *camber > low && *camber <= low + most);
            let between = total(between.map(|(_, v)| (*v).into()));
            rules.push(constraint!(Expression::from(lower) + higher - 1.0 <= between));
        }
    }
}

/// Trailers: how many of each size leave from each place, and how many cars of each candidate go on
/// them. Of cars that leave from one place, loads of one size must cost the same.
fn hauls(
    span: &SpanDemand,
    count: &[Variable],
    variables: &mut ProblemVariables,
    rules: &mut Vec<good_lp::Constraint>,
) -> Expression {
    let hauls = span.candidates.iter().zip(count);
    let hauls: Vec<_> = hauls.filter_map(|(c, n)| Some((c.haul.as_ref()?, *n))).collect();
    let mut places: Vec<u32> = hauls.iter().map(|(haul, _)| haul.from).collect();
    places.sort_unstable();
    places.dedup();
    let mut cost = Expression::from(0.0);
    for from in places {
        let here: Vec<_> = hauls.iter().filter(|(haul, _)| haul.from == from).collect();
        let mut put = vec![Expression::from(0.0); here.len()];
        for size in 1..=span.rule.most_abreast {
            let trailers = variables.add(variable().integer().min(0).max(6));
            let mut on = Expression::from(0.0);
            let mut each = None;
            for ((haul, _), put) in here.iter().zip(&mut put) {
                let load = if size == 1 { Some(&haul.alone) } else { haul.shared.get(size - 2) };
                let Some(load) = load else { continue };
                assert!(each.is_none_or(|each| each == load.total()), "loads of unlike cost");
                each = Some(load.total());
                let cars = variables.add(variable().integer().min(0).max(6));
                *put += cars;
                on += cars;
            }
            rules.push(constraint!(on == trailers * size as f64));
            cost += trailers * each.map_or(0.0, |each| each.0 as f64);
        }
        for ((_, count), put) in here.iter().zip(put) {
            rules.push(constraint!(put == *count));
        }
    }
    cost
}

/// Most served by priority, then least net cost: one solve per rank and one for the cost. None
/// where a solve does not end within the seconds given.
pub fn best(
    market: &Market,
    seconds: Option<f64>,
) -> Result<Option<(Vec<usize>, i64)>, ResolutionError> {
    best_of(|| direct(market), market, seconds)
}

/// [`best`] of another model of the market.
pub fn best_of(
    model: impl Fn() -> Model,
    market: &Market,
    seconds: Option<f64>,
) -> Result<Option<(Vec<usize>, i64)>, ResolutionError> {
    let ranks = ranks(market);
    let mut kept: Vec<f64> = Vec::new();
    for step in 0..=ranks.len() {
        let model = model();
        let counts = model.of_ranks(market);
        let goal = counts.get(step).cloned();
        let net = model.net.clone();
        let mut problem = match &goal {
            Some(count) => model.variables.maximise(count.clone()).using(solver),
            None => model.variables.minimise(net.clone()).using(solver),
        };
        for rule in model.rules {
            problem = problem.with(rule);
        }
        for (count, least) in counts.iter().zip(&kept) {
            problem = problem.with(constraint!(count.clone() >= *least));
        }
        if let Some(seconds) = seconds {
            problem = problem.with_time_limit(seconds);
        }
        let solution = problem.solve()?;
        if matches!(solution.status(), SolutionStatus::TimeLimit) {
            return Ok(None);
        }
        match goal {
            Some(count) => kept.push(solution.eval(count).round()),
            None => {
                let unserved = ranks.iter().zip(&kept).map(|(rank, kept)| {
                    market.crossings.iter().filter(|c| c.priority == *rank).count() - *kept as usize
                });
                return Ok(Some((unserved.collect(), solution.eval(net).round() as i64)));
            }
        }
    }
    unreachable!("the last step returns")
}

fn camber(figures: &Figures) -> f64 {
    figures.get(Code::CamberSpread).unwrap()
}

fn centers(figures: &Figures) -> f64 {
    figures.get(Code::CentersSpread).unwrap()
}
