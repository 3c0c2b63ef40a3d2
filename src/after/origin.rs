//! Where a finished plan comes from, read back from its JSON: whether it is as it was written, by which
//! version, under which rules, and from which files.
//!
//! The digest tells a slip of the hand, a cut copy or an edit from the plan as it was written. It is no
//! signature: whoever means to deceive can make a new one.

use serde_json::{Map, Value};

use crate::read::{FileRead, sha256};

/// The key of the digest, and of the object that it stands in.
const DIGEST: &str = "content_sha256";
const ORIGIN: &str = "origin";

/// Whether a plan is as it was written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Seal {
    /// Its digest is that of its content.
    Whole,
    /// It was changed after it was written.
    Broken,
    /// It carries no digest.
    #[default]
    Missing,
}

/// Where a plan comes from, as far as it says so.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Origin {
    /// Whether it is as it was written.
    pub seal: Seal,
    /// Its ID.
    pub plan_id: Option<String>,
    /// The version of the program that made it.
    pub version: Option<String>,
    /// The fingerprint of its rules.
    pub rules: Option<String>,
    /// Its files: name and SHA-256.
    pub files: Vec<(String, String)>,
}

/// What a document's digest is taken over: all of it but the digest, keys in order, so that it may be
/// laid out anew and still be the same.
fn digest(document: &Value) -> String {
    let mut bare = document.clone();
    if let Some(origin) = bare.get_mut(ORIGIN).and_then(Value::as_object_mut) {
        origin.shift_remove(DIGEST);
    }
    sha256(sorted(&bare).to_string().as_bytes())
}

fn sorted(value: &Value) -> Value {
    match value {
        Value::Object(entries) => {
            let mut keys: Vec<&String> = entries.keys().collect();
            keys.sort();
            let entries = keys.into_iter().map(|key| (key.clone(), sorted(&entries[key])));
            Value::Object(entries.collect::<Map<_, _>>())
        }
        Value::Array(items) => Value::Array(items.iter().map(sorted).collect()),
        other => other.clone(),
    }
}

/// A document's text with its digest in the place of the blank one that it has.
///
/// # Errors
/// Where it is no JSON.
pub fn sealed(text: &str) -> serde_json::Result<String> {
    // Of the text and not of the value it is made of: numbers are read back as they are read later.
    let document: Value = serde_json::from_str(text)?;
    let blank = format!("\"{DIGEST}\": \"\"");
    Ok(text.replacen(&blank, &format!("\"{DIGEST}\": \"{}\"", digest(&document)), 1))
}

impl Origin {
    /// Reads a plan's JSON; what it does not say is left open.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let Ok(document) = serde_json::from_str::<Value>(text) else { return Self::default() };
        let at = |pointer: &str| document.pointer(pointer)?.as_str().map(str::to_owned);
        let files = document["files"].as_array().map(Vec::as_slice).unwrap_or_default();
        let named = |file: &Value| {
            Some((file["name"].as_str()?.to_owned(), file["sha256"].as_str()?.to_owned()))
        };
        Self {
            seal: match at(&format!("/{ORIGIN}/{DIGEST}")) {
                None => Seal::Missing,
                Some(stated) if stated == digest(&document) => Seal::Whole,
                Some(_) => Seal::Broken,
            },
            plan_id: at(&format!("/{ORIGIN}/plan_id")),
            version: at("/program_version"),
            rules: at("/rules/fingerprint_fnv1a_64"),
            files: files.iter().filter_map(named).collect(),
        }
    }

    /// The origin of a plan that is being made from these files by this program.
    #[must_use]
    pub fn of_this(rules: &str, read: &[FileRead]) -> Self {
        Self {
            seal: Seal::Whole,
            plan_id: None,
            version: Some(env!("CARGO_PKG_VERSION").to_owned()),
            rules: Some(rules.to_owned()),
            files: read.iter().map(|file| (file.name.to_string(), file.sha256.clone())).collect(),
        }
    }

    /// What must be known of this plan before it is trusted: in words that follow its name.
    #[must_use]
    pub fn doubts(&self) -> Option<&'static str> {
        match self.seal {
            Seal::Whole => None,
            Seal::Broken => Some(
                "was changed after it was written: its content does not match its digest; make the plan again",
            ),
            Seal::Missing => Some("carries no digest, so that a change to it could not be told"),
        }
    }

    /// What differs between this plan and another one, in words: version, rules, and each file.
    #[must_use]
    pub fn differences(&self, other: &Self) -> Vec<String> {
        let mut list = Vec::new();
        for (name, a, b) in [
            ("program version", &self.version, &other.version),
            ("rules in force", &self.rules, &other.rules),
        ] {
            if let (Some(a), Some(b)) = (a, b)
                && a != b
            {
                list.push(format!("{name}: {a}, and here {b}"));
            }
        }
        // Two paths may lead to one file, and one name to two.
        let has = |files: &[(String, String)], hash: &str| files.iter().any(|(_, h)| h == hash);
        let base = |name: &str| name.rsplit(['/', '\\']).next().unwrap_or_default().to_owned();
        let gone: Vec<_> = self.files.iter().filter(|(_, h)| !has(&other.files, h)).collect();
        let mut new: Vec<_> = other.files.iter().filter(|(_, h)| !has(&self.files, h)).collect();
        for (name, _) in gone {
            match new.iter().position(|(other, _)| base(other) == base(name)) {
                Some(at) => {
                    new.remove(at);
                    list.push(format!("{name} has changed"));
                }
                None => list.push(format!("{name} is not among the files any more")),
            }
        }
        list.extend(new.into_iter().map(|(name, _)| format!("{name} is new")));
        list
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAN: &str = r#"{
  "program_version": "0.1.0",
  "origin": {
    "plan_id": "AAAA-BBBB-CCCC",
    "content_sha256": ""
  },
  "files": [{"name": "a/cars.csv", "sha256": "11"}, {"name": "yards.csv", "sha256": "22"}],
  "rules": {"fingerprint_fnv1a_64": "77"},
  "summary": {"net_usd_cents": 5, "share": 0.30000000000000004}
}"#;

    #[test]
    fn a_change_anywhere_is_noticed_and_another_layout_is_none() {
        let text = sealed(PLAN).unwrap();
        assert_eq!(Origin::of(&text).seal, Seal::Whole);
        let compact = serde_json::from_str::<Value>(&text).unwrap().to_string();
        assert_eq!(Origin::of(&compact).seal, Seal::Whole);
        for (from, to) in
            [("5", "6"), ("cars", "cats"), ("AAAA", "AAAB"), ("77", "78"), ("0.3", "0.4")]
        {
            let other = text.replacen(from, to, 1);
            assert_ne!(Origin::of(&other).seal, Seal::Whole, "{from}");
        }
        assert_eq!(Origin::of(&PLAN.replace("content_sha256", "other")).seal, Seal::Missing);
        assert_eq!(Origin::of("no JSON").seal, Seal::Missing);
    }

    #[test]
    fn other_versions_rules_and_files_are_named() {
        let before = Origin::of(PLAN);
        assert!(before.differences(&before).is_empty());
        let file = |name: &str, hash: &str| (name.to_owned(), hash.to_owned());
        let now = Origin {
            version: Some("0.2.0".to_owned()),
            rules: Some("78".to_owned()),
            files: vec![file("b/cars.csv", "12"), file("copy.csv", "22"), file("week.toml", "33")],
            ..before.clone()
        };
        assert_eq!(
            before.differences(&now),
            [
                "program version: 0.1.0, and here 0.2.0",
                "rules in force: 77, and here 78",
                "a/cars.csv has changed",
                "week.toml is new",
            ]
        );
        assert_eq!(
            now.differences(&before).last().unwrap(),
            "week.toml is not among the files any more"
        );
    }
}
