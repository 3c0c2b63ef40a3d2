//! Methods, sources, what was not checked, cautions.

use crate::check::registry::{REGISTRY, Stage};
use crate::report::facts::PlanReport;
use crate::report::facts::limits::{ALWAYS_MIND, NEVER_CHECKED};
use crate::report::facts::reasons::not_checked;
use crate::report::facts::rules_in_force::rules_in_force;
use crate::report::provenance::PageContext;

/// The chapter.
pub struct Methods {
    pub questions: Vec<Question>,
    pub rules: Vec<(String, String, String)>,
    pub fingerprint: String,
    /// Name, rows, hash.
    pub files: Vec<(String, String, String)>,
    pub not_checked: Vec<String>,
    pub cautions: &'static [&'static str],
}

/// A question with its source.
pub struct Question {
    pub code: &'static str,
    pub name: &'static str,
    pub basis: String,
}

pub fn methods(report: &PlanReport<'_>, context: &PageContext) -> Methods {
    let rules = rules_in_force(&report.inputs.rules);
    Methods {
        questions: REGISTRY
            .iter()
            .filter(|kind| matches!(kind.stage, Stage::Screen | Stage::Rate | Stage::Group))
            .map(|kind| Question { code: kind.id, name: kind.name, basis: kind.basis.to_string() })
            .collect(),
        rules: rules
            .changed
            .iter()
            .map(|rule| {
                (
                    rule.key.clone(),
                    rule.value.clone().unwrap_or_else(|| "left out".to_owned()),
                    rule.built_in.clone().unwrap_or_else(|| "none".to_owned()),
                )
            })
            .collect(),
        fingerprint: rules.fingerprint,
        files: context
            .files
            .iter()
            .map(|file| {
                let read = report.files.iter().find(|read| *read.name == *file.name);
                let rows = read.filter(|read| read.rows > 0).map(|read| read.rows.to_string());
                (file.name.clone(), rows.unwrap_or_default(), file.sha256.clone())
            })
            .collect(),
        not_checked: unchecked(report),
        cautions: ALWAYS_MIND,
    }
}

fn unchecked(report: &PlanReport<'_>) -> Vec<String> {
    let of_plan = not_checked(report.inputs, report.plan).into_iter().map(|said| {
        let check = &said.check;
        let note = if check.note.is_empty() { String::new() } else { format!(": {}", check.note) };
        format!("{} {}{note} ({}).", check.code.id(), check.title(), said.subjects.join(", "))
    });
    of_plan.chain(NEVER_CHECKED.iter().map(|text| (*text).to_owned())).collect()
}
