//! Where a report comes from: the plan's ID, the hashes of its files, version and command line. Plan
//! ID, date and agency stand on every printed page, so that a sheet found in a truck can be traced;
//! files and command line stand in the report alone, for papers are handed to people outside.

use jiff::civil::Date;
use sha2::{Digest, Sha256};

use crate::read::{FileRead, sha256};
use crate::report::facts::PlanReport;
use crate::report::facts::sweep::Point;
use crate::report::outline::Outline;

/// Paper of the printed reports.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// US Letter, 8.5 x 11 in.
    #[default]
    Letter,
    /// A4, 210 x 297 mm.
    A4,
}

impl Paper {
    /// The size's name in CSS.
    #[must_use]
    pub fn css(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "A4",
        }
    }
}

/// A file of the run with its hash.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HashedFile {
    /// The file as named on the command line.
    pub name: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

impl HashedFile {
    /// Hashes a file's bytes.
    #[must_use]
    pub fn new(name: &str, bytes: &[u8]) -> Self {
        Self { name: name.to_owned(), sha256: sha256(bytes) }
    }

    /// The files of a run with the hashes of what was read of them.
    #[must_use]
    pub fn all(read: &[FileRead]) -> Vec<Self> {
        let hashed =
            |file: &FileRead| Self { name: file.name.to_string(), sha256: file.sha256.clone() };
        read.iter().map(hashed).collect()
    }
}

/// What papers show beside the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beside {
    /// The plan at one budget after the other; empty: no range was asked about.
    pub budgets: Vec<Point>,
    /// What is drawn under the map.
    pub outline: Outline,
    /// The agency's mark, as the address that a page carries it in.
    pub logo: Option<String>,
}

/// What a report says of its own making.
#[derive(Clone, Debug, PartialEq)]
pub struct PageContext {
    /// The plan's ID: equal plans of equal files have equal IDs.
    pub plan_id: String,
    /// The files with their hashes.
    pub files: Vec<HashedFile>,
    /// One hash over all files.
    pub inputs_hash: String,
    /// The command line.
    pub command: String,
    /// The program's version.
    pub version: String,
    /// The paper to print on.
    pub paper: Paper,
    /// The agency that buys, as the rules name it; none: not named.
    pub agency: Option<String>,
    /// The day on which orders are placed.
    pub order_date: Date,
    /// What is shown beside the plan.
    pub beside: Beside,
}

impl PageContext {
    /// The context of a plan made from these files by this command line.
    #[must_use]
    pub fn new(
        report: &PlanReport<'_>,
        files: Vec<HashedFile>,
        command: &str,
        paper: Paper,
    ) -> Self {
        let (inputs_hash, plan_id) = identity(report, &files);
        Self {
            plan_id,
            files,
            inputs_hash,
            command: command.to_owned(),
            version: format!("spanyard {}", env!("CARGO_PKG_VERSION")),
            paper,
            agency: report.inputs.rules.agency.name.clone(),
            order_date: report.inputs.order_date,
            beside: Beside::default(),
        }
    }

    /// The same with what is shown beside the plan.
    #[must_use]
    pub fn with(self, beside: Beside) -> Self {
        Self { beside, ..self }
    }

    /// The first twelve digits of the hash over all files.
    #[must_use]
    pub fn short_hash(&self) -> &str {
        self.inputs_hash.get(..12).unwrap_or(&self.inputs_hash)
    }
}

/// The hash over all files, and the plan's ID, which follows the plan and its files and nothing else.
#[must_use]
pub fn identity(report: &PlanReport<'_>, files: &[HashedFile]) -> (String, String) {
    let mut all = Sha256::new();
    for file in files {
        all.update(file.sha256.as_bytes());
    }
    let inputs_hash = hex(&all.finalize());
    let mut whole = Sha256::new();
    whole.update(inputs_hash.as_bytes());
    // A plan is numbers and words; writing it to memory cannot fail.
    whole.update(serde_json::to_vec(report.plan).unwrap_or_default());
    let digest = hex(&whole.finalize()).to_uppercase();
    let plan_id = format!("{}-{}-{}", &digest[..4], &digest[4..8], &digest[8..12]);
    (inputs_hash, plan_id)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::plan::Plan;
    use crate::report::facts::matching::Matching;
    use crate::report::fixture;
    use crate::survey::Survey;

    #[test]
    fn sha256_test_vectors() {
        // FIPS 180-4's examples, as published by NIST; from memory.
        for (text, hash) in [
            ("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        ] {
            assert_eq!(HashedFile::new("x", text.as_bytes()).sha256, hash);
        }
    }

    #[test]
    fn the_id_follows_plan_and_files_and_nothing_else() {
        let (plan, file) = (fixture::plan(), || vec![HashedFile::new("a.csv", b"1")]);
        let inputs = fixture::inputs();
        let survey = Survey::with(&inputs, |_, _| Vec::new());
        let matching = Matching::new(&inputs, &survey);
        let id = |plan: &Plan, files, command| {
            let report = PlanReport { inputs: &inputs, plan, matching: &matching, files: &[] };
            PageContext::new(&report, files, command, Paper::Letter).plan_id
        };
        let first = id(&plan, file(), "spanyard plan");
        assert_eq!(first, id(&plan, file(), "spanyard plan --report x.html"));
        assert_ne!(first, id(&plan, vec![HashedFile::new("a.csv", b"2")], "spanyard plan"));
        let mut other = fixture::plan();
        other.totals.net.0 += 1;
        assert_ne!(first, id(&other, file(), "spanyard plan"));
        assert_eq!(first.len(), 14);
    }
}
