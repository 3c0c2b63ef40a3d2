//! Budgets on the command line: one, or a range of them.

use spanyard::assemble::plan_each;
use spanyard::choose::Effort;
use spanyard::model::inputs::Inputs;
use spanyard::quantity::Cents;
use spanyard::report::facts::sweep::Point;
use spanyard::survey::Survey;
use spanyard::verify::Rejected;

/// What `--budget` says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Budget {
    /// The most that may be paid.
    One(Cents),
    /// From this to that, in steps.
    Range(Cents, Cents),
}

impl Budget {
    /// The one budget, if it is one.
    pub fn one(self) -> Option<Cents> {
        match self {
            Self::One(budget) => Some(budget),
            Self::Range(..) => None,
        }
    }
}

/// More budgets than this are a slip of the finger.
const MOST: i64 = 1_000;

/// The budgets of a range.
pub fn steps(from: Cents, to: Cents, step: Option<Cents>) -> anyhow::Result<Vec<Cents>> {
    let Some(step) = step.filter(|step| *step > Cents::ZERO) else {
        anyhow::bail!("a range of budgets needs --step, such as --budget 100k..400k --step 25k");
    };
    if (to - from).0 / step.0 >= MOST {
        anyhow::bail!("that would be more than {MOST} budgets; take a larger --step");
    }
    let mut budgets = Vec::new();
    let mut budget = from;
    while budget <= to {
        budgets.push(budget);
        budget += step;
    }
    Ok(budgets)
}

/// One plan for each budget, verified; after Ctrl-C those of the largest budgets alone.
pub fn sweep(
    inputs: &Inputs,
    budgets: &[Cents],
    effort: Effort<'_>,
) -> Result<Vec<Point>, Rejected> {
    if budgets.is_empty() {
        return Ok(Vec::new());
    }
    let end = effort.deadline();
    let survey = Survey::new(inputs);
    let least = effort.time_limit.map(|limit| limit / 4);
    let left = end.left().zip(least).map(|(left, least)| left.max(least));
    let effort = Effort { time_limit: left, ..effort };
    let plans = plan_each(inputs, &survey, budgets, &effort)?;
    let points = budgets.iter().zip(plans);
    Ok(points.filter_map(|(budget, plan)| Some(Point::of(inputs, *budget, &plan?))).collect())
}

/// One budget, or two with `..` between them.
pub fn budget_or_range(text: &str) -> Result<Budget, String> {
    match text.split_once("..") {
        None => dollars(text).map(Budget::One),
        Some((from, to)) => {
            let (from, to) = (dollars(from)?, dollars(to)?);
            if from > to {
                return Err("write the lower budget first".to_owned());
            }
            Ok(Budget::Range(from, to))
        }
    }
}

/// Dollars as people write them: `250000`, `250,000.50`, `$250,000`, `250k`.
pub fn dollars(text: &str) -> Result<Cents, String> {
    let plain: String = text.trim().trim_start_matches('$').replace(',', "");
    let (plain, thousands) = match plain.strip_suffix(['k', 'K']) {
        Some(thousands) => (thousands.to_owned(), true),
        None => (plain, false),
    };
    let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    let (dollars, cents) = plain.split_once('.').unwrap_or((&plain, "00"));
    let wrong = || "write dollars, such as 250000 or 250000.50".to_owned();
    if !digits(dollars) || !digits(cents) || cents.len() > 2 || dollars.len() > 12 {
        return Err(wrong());
    }
    let amount: i64 = format!("{dollars}{cents:0<2}").parse().map_err(|_| wrong())?;
    Ok(Cents(if thousands { amount * 1_000 } else { amount }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn budgets() {
        for (text, cents) in [
            ("250000", Some(25_000_000)),
            ("$250,000.50", Some(25_000_050)),
            ("10.5", Some(1_050)),
            ("0", Some(0)),
            ("250k", Some(25_000_000)),
            ("2.5k", Some(250_000)),
            ("k", None),
            ("-5", None),
            ("1e6", None),
            ("10.505", None),
            ("", None),
            ("99999999999999999999", None),
        ] {
            assert_eq!(dollars(text).ok(), cents.map(Cents), "{text:?}");
        }
    }

    #[test]
    fn ranges() {
        let k = |thousands: i64| Cents::dollars(thousands * 1_000);
        assert_eq!(budget_or_range("100k..400k"), Ok(Budget::Range(k(100), k(400))));
        assert_eq!(budget_or_range("100k"), Ok(Budget::One(k(100))));
        assert!(budget_or_range("400k..100k").is_err());
        assert!(budget_or_range("..100k").is_err());
        assert_eq!(steps(k(100), k(170), Some(k(25))).unwrap(), [k(100), k(125), k(150)]);
        assert!(steps(k(100), k(170), None).is_err());
        assert!(steps(k(0), k(400), Some(Cents(1))).is_err());
    }
}
