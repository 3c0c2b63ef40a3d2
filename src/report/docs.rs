//! Pages of the documentation that are made from the program itself.

use crate::check::registry::{REGISTRY, Stage};

/// `docs/checks.md`: every check by stage.
#[must_use]
pub fn checks_doc() -> String {
    let mut text = String::from(
        "# Checks\n\n\
         Every question the program asks, by stage of the work, made from the registry in\n\
         `src/check/registry/table.rs` with `cargo run -- explain --format markdown > docs/checks.md`.\n\n\
         A check that fails bars its subject. A check that is unknown for want of data bars it too:\n\
         unknown is never taken as good. \"From memory\" marks a source that was recalled and not\n\
         read: confirm it before relying on the value.\n",
    );
    let mut stage: Option<Stage> = None;
    for kind in REGISTRY {
        if stage != Some(kind.stage) {
            stage = Some(kind.stage);
            text.push_str(&format!("\n## {}\n", kind.stage.title()));
        }
        text.push_str(&format!(
            "\n### {} {}\n\n{}\n\n- What to do: {}\n- Source: {}\n",
            kind.id, kind.name, kind.about, kind.remedy, kind.basis
        ));
        for example in kind.examples {
            text.push_str(&format!("- Example: {}\n", example.words()));
        }
    }
    text
}
