//! The decisions that a plan obeys, as JSON.

use std::borrow::Cow;

use super::shared::CarName;
use crate::report::facts::PlanReport;
use crate::report::facts::decisions::obeyed;
use crate::schema;

/// None where nothing was decided.
pub(super) fn decisions(report: &PlanReport) -> Option<schema::Decisions> {
    let obeyed = obeyed(report.inputs, report.plan)?;
    let kinds = report.inputs.decided.list.iter().map(|decision| decision.what.word());
    let told = kinds.zip(obeyed.decisions);
    Some(schema::Decisions {
        obeyed: told
            .map(|(kind, (sentence, place))| schema::Decision {
                kind: Cow::Borrowed(kind),
                sentence,
                place,
            })
            .collect(),
        already_paid_usd_cents: obeyed.paid,
        in_stock: obeyed
            .in_stock
            .iter()
            .map(|left| schema::InStock {
                car: CarName::of(report.inputs, left.car),
                count: left.count,
            })
            .collect(),
    })
}
