//! What each number of a rating means, for the quick answer and for the full list of checks alike.

use crate::check::{Outcome, TOLERANCE};
use crate::model::rules::Rules;
use crate::quantity::{Feet, Inches, Ratio, Tons};

/// Whether a rating factor is at least 1.
#[must_use]
pub(super) fn reaches_one(factor: Ratio) -> bool {
    factor.0 >= 1.0 - TOLERANCE
}

/// What a rating factor means: at least 1 passes; less fails where its form bars, unless the
/// crossing accepts a posting, which then decides; else it is a caution.
#[must_use]
pub(super) fn factor_outcome(reached: bool, form_bars: bool, posting_accepted: bool) -> Outcome {
    if reached {
        Outcome::Pass
    } else if form_bars && !posting_accepted {
        Outcome::Fail
    } else {
        Outcome::Caution
    }
}

/// What a posting means where the crossing accepts one: the sign must reach the least posting, and
/// the weight below which a bridge is closed.
#[must_use]
pub(super) fn posting_outcome(sign: Option<Tons>, least: Tons, rules: &Rules) -> Outcome {
    let least = least.max(rules.posting.close_below_tons);
    match sign {
        Some(sign) if sign.0 < least.0 - TOLERANCE => Outcome::Fail,
        _ => Outcome::Pass,
    }
}

/// The least posting that a crossing accepts; where it accepts none, that with which a bridge is not
/// closed.
#[must_use]
pub(super) fn least_accepted(accepted: Option<Tons>, rules: &Rules) -> Tons {
    let closed = rules.posting.close_below_tons;
    accepted.map_or(closed, |accepted| accepted.max(closed))
}

/// What the sign for a legal vehicle means: it must reach the least posting that the crossing accepts,
/// and the weight below which a bridge is closed; else a sign is a caution, whatever vehicles the
/// crossing names.
#[must_use]
pub(super) fn legal_outcome(sign: Option<Tons>, accepted: Option<Tons>, rules: &Rules) -> Outcome {
    match sign {
        Some(sign) if sign.0 < least_accepted(accepted, rules).0 - TOLERANCE => Outcome::Fail,
        Some(_) => Outcome::Caution,
        None => Outcome::Pass,
    }
}

/// What a deflection means.
#[must_use]
pub(super) fn deflection_outcome(found: Option<Inches>, span: Feet, rules: &Rules) -> Outcome {
    let rating = &rules.rating;
    match found {
        Some(found) if found.0 <= deflection_limit(span, rules).0 + TOLERANCE => Outcome::Pass,
        Some(_) if rating.deflection_bars => Outcome::Fail,
        Some(_) => Outcome::Caution,
        None if rating.deflection_bars => Outcome::Unknown,
        None => Outcome::NotChecked,
    }
}

/// The most that the rules let a span deflect.
#[must_use]
pub(super) fn deflection_limit(span: Feet, rules: &Rules) -> Inches {
    Inches::from(span) / rules.rating.deflection_span_fraction
}

/// What missing webs mean for the shear.
#[must_use]
pub(super) fn no_shear_outcome(rules: &Rules) -> Outcome {
    if rules.rating.shear_required { Outcome::Unknown } else { Outcome::NotChecked }
}
