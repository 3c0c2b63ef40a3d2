//! Every JSON document of the program is as docs/json.schema.json says, no key more and none less, and
//! the plan is read back as it was written.

use std::path::Path;
use std::process::Command;

use serde_json::Value;
use spanyard::schema::{Document, PlanDocument, read_plan};

/// A validator of the words of JSON Schema that the file uses; any other word is a failing test.
struct Schema(Value);

impl Schema {
    fn read() -> Self {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/json.schema.json");
        Self(serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap())
    }

    /// What is wrong with the document; nothing if it is as the schema says.
    fn fault(&self, document: &Value) -> Option<String> {
        // Which of the documents it is follows from its `report`; what is wrong is told of that one.
        let kinds = self.0["oneOf"].as_array().unwrap().iter().map(|kind| self.target(kind));
        let of_kind =
            kinds.filter(|kind| kind["properties"]["report"]["const"] == document["report"]);
        let faults: Vec<_> = of_kind.map(|kind| self.of(document, kind, "")).collect();
        if faults.iter().filter(|fault| fault.is_none()).count() == 1 {
            return None;
        }
        Some(format!("{faults:?}"))
    }

    fn target<'a>(&'a self, schema: &'a Value) -> &'a Value {
        let Some(name) = schema["$ref"].as_str() else { return schema };
        let target = &self.0["$defs"][name.strip_prefix("#/$defs/").unwrap()];
        assert!(target.is_object(), "{name} is not defined");
        target
    }

    fn of(&self, value: &Value, schema: &Value, at: &str) -> Option<String> {
        for (word, wanted) in schema.as_object().unwrap() {
            let fault = match word.as_str() {
                "description" | "properties" => None,
                "$ref" => self.of(value, self.target(schema), at),
                "const" => (value != wanted).then(|| format!("is not {wanted}")),
                "enum" => {
                    (!wanted.as_array().unwrap().contains(value)).then(|| format!("{value} is new"))
                }
                "type" => {
                    let kinds = wanted.as_array().cloned().unwrap_or_else(|| vec![wanted.clone()]);
                    let is = kinds.iter().any(|kind| is_of(value, kind.as_str().unwrap()));
                    (!is).then(|| format!("{value} is not {wanted}"))
                }
                "required" => {
                    let names = wanted.as_array().unwrap().iter().map(|n| n.as_str().unwrap());
                    let object = value.as_object().unwrap();
                    names
                        .into_iter()
                        .find(|n| !object.contains_key(*n))
                        .map(|n| format!("lacks {n}"))
                }
                "additionalProperties" => self.properties(value, &schema["properties"], at),
                "items" => value
                    .as_array()
                    .unwrap()
                    .iter()
                    .enumerate()
                    .find_map(|(index, item)| self.of(item, wanted, &format!("{at}/{index}"))),
                "minItems" => (value.as_array()?.len() < wanted.as_u64()? as usize)
                    .then(|| "has too few items".to_owned()),
                "maxItems" => (value.as_array()?.len() > wanted.as_u64()? as usize)
                    .then(|| "has too many items".to_owned()),
                "minProperties" | "maxProperties" => (value.as_object().unwrap().len() as u64
                    != wanted.as_u64().unwrap())
                .then(|| format!("{value} has not one key")),
                "pattern" => {
                    assert_eq!(wanted, "^[0-9]{4}-[0-9]{2}-[0-9]{2}$");
                    let day = value.as_str().unwrap().parse::<jiff::civil::Date>();
                    day.is_err().then(|| format!("{value} is no day"))
                }
                "oneOf" | "anyOf" => {
                    let faults: Vec<_> = wanted
                        .as_array()
                        .unwrap()
                        .iter()
                        .map(|one| self.of(value, one, at))
                        .collect();
                    (!faults.contains(&None)).then(|| format!("{faults:?}"))
                }
                other => panic!("the test does not know the word {other}"),
            };
            if let Some(fault) = fault {
                return Some(if fault.starts_with('/') { fault } else { format!("{at}: {fault}") });
            }
        }
        None
    }

    fn properties(&self, value: &Value, known: &Value, at: &str) -> Option<String> {
        value.as_object().unwrap().iter().find_map(|(name, value)| match known.get(name) {
            Some(schema) => self.of(value, schema, &format!("{at}/{name}")),
            None => Some(format!("{name} is no key that the schema has")),
        })
    }
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "string" => value.is_string(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        other => panic!("the test does not know the type {other}"),
    }
}

/// Runs the program in a folder, the answer as JSON.
fn answer(folder: &Path, arguments: &str) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    let output = command.current_dir(folder).args(arguments.split(' ')).args(["--format", "json"]);
    let output = output.output().unwrap();
    assert!(!output.stdout.is_empty(), "{arguments}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// The demonstration's folder names its files.
const COUNTY: &str = "-C .";
const FOUR: &str =
    "--inventory cars.csv --yards yards.csv --crossings crossings.csv --rules rules.toml";

/// Three lists that never tell the depth of the exterior girder, nor when a car can leave.
const FIRST_PLAN: &str = "--inventory fenwick.csv kestrel.xlsx pell.tsv --mapping fenwick.mapping.toml \
    kestrel.mapping.toml pell.mapping.toml --yards yards.csv --crossings crossings.csv --rules rules.toml";

#[test]
fn every_document_is_as_the_schema_says() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (demo, cases) = (root.join("data-demo"), root.join("tests/cli"));
    let made = Path::new(env!("CARGO_TARGET_TMPDIR")).join("json-schema");
    std::fs::create_dir_all(&made).unwrap();
    let mut plans = Vec::new();
    for (name, extra) in [("all", ""), ("some", " --budget 300000")] {
        let path = made.join(format!("{name}.json"));
        std::fs::write(&path, answer(&demo, &format!("plan {COUNTY}{extra}"))).unwrap();
        plans.push(path.display().to_string());
    }
    let week = made.join("week.toml");
    let decided = "[[bought]]\ndealer = \"Drumfell Reclaim\"\ncar = \"UD-08\"\nprice_usd = 10400\n\
                   on = 2026-06-01\n";
    std::fs::write(&week, decided).unwrap();
    let changed = format!("--decisions {} --previous {}", week.display(), plans[0]);
    let schema = Schema::read();
    for (folder, arguments) in [
        (&demo, format!("plan {COUNTY}")),
        (&demo, format!("plan {COUNTY} {changed}")),
        (&demo, format!("plan {COUNTY} --budget 300000")),
        (&demo, format!("plan {COUNTY} --budget 200000..400000 --step 100000")),
        (&demo, format!("match {COUNTY} --car UD-08")),
        (&demo, format!("prices {COUNTY} --within 600")),
        (&demo, format!("want {COUNTY}")),
        (&demo, format!("ask {COUNTY}")),
        (&cases.join("first_plan.in"), format!("ask {FIRST_PLAN}")),
        (&demo, format!("spare {COUNTY}")),
        (&demo, format!("compare {}", plans.join(" "))),
        (&demo, format!("check {COUNTY}")),
        (&demo, "check drumfell.csv".to_owned()),
        (
            &cases.join("broken.in"),
            "check --inventory cars.csv --yards yards.csv --crossings crossings.csv".to_owned(),
        ),
        (&demo, format!("rate {COUNTY} --car UD-08 --crossing B-07")),
        (&demo, format!("rate {COUNTY} --car SS-130 --crossing B-16")),
        (&demo, "vehicles".to_owned()),
        (&demo, "explain".to_owned()),
        (&cases.join("funds.in"), format!("plan {FOUR}")),
        (&cases.join("trailers.in"), format!("plan {FOUR}")),
    ] {
        let document = serde_json::from_str(&answer(folder, &arguments)).unwrap();
        let fault = schema.fault(&document);
        assert!(fault.is_none(), "{arguments}: {}", fault.unwrap());
    }
}

#[test]
fn the_schema_refuses_what_is_not_a_document() {
    let schema = Schema::read();
    let good = r#"{"schema_version":1,"program":"spanyard","program_version":"0","report":"explain","checks":[]}"#;
    assert_eq!(schema.fault(&serde_json::from_str(good).unwrap()), None);
    for (from, to) in [
        ("\"checks\":[]", "\"checks\":[],\"more\":1"),
        (",\"checks\":[]", ""),
        ("\"checks\":[]", "\"checks\":3"),
        ("\"schema_version\":1", "\"schema_version\":2"),
        ("\"explain\"", "\"plane\""),
    ] {
        let bad = serde_json::from_str(&good.replace(from, to)).unwrap();
        assert!(schema.fault(&bad).is_some(), "{bad}");
    }
}

#[test]
fn a_plan_is_read_back_as_it_was_written() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("data-demo");
    let text = answer(&demo, &format!("plan {COUNTY}"));
    let body: PlanDocument = read_plan(&text).unwrap();
    let head: Document<serde_json::Map<String, Value>> = serde_json::from_str(&text).unwrap();
    let again = Document {
        schema_version: head.schema_version,
        program: head.program,
        program_version: head.program_version,
        report: head.report,
        body,
    };
    let mut written = serde_json::to_string_pretty(&again).unwrap();
    written.push('\n');
    assert!(written == text, "not the same bytes");
}

#[test]
fn what_is_no_plan_says_why() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("data-demo");
    let plan = answer(&demo, &format!("plan {COUNTY}"));
    let vehicles = answer(&demo, "vehicles");
    let net = |amount: &str| {
        let (before, after) = plan.split_once("\"net_usd_cents\": ").unwrap();
        let after = after.trim_start_matches(|c: char| c == '-' || c.is_ascii_digit());
        format!("{before}\"net_usd_cents\": {amount}{after}")
    };
    for (text, why) in [
        ("{", "EOF while parsing"),
        ("{}", "its `report` is not `plan`"),
        (vehicles.as_str(), "its `report` is not `plan`"),
        (
            &plan.replacen("\"schema_version\": 1", "\"schema_version\": 7", 1),
            "`schema_version` is not 1",
        ),
        (
            &plan.replacen("\"net_usd_cents\"", "\"nett_usd_cents\"", 1),
            "missing field `net_usd_cents`",
        ),
        (&net("-9223372036854775808"), "no amount of money that a purchase may have"),
        (&net("9223372036854775807"), "no amount of money that a purchase may have"),
        (&net("1e300"), "invalid type"),
        (&net("\"5\""), "invalid type"),
    ] {
        let error = read_plan(text).unwrap_err().to_string();
        assert!(error.contains(why), "{error}");
    }
}
