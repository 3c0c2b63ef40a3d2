//! Which rules a plan was made with: a fingerprint, and every key that differs from the built-in rules.

use toml::Value;

use crate::model::rules::{Agency, DEFAULT_RULES, Rules};

/// The rules in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RulesInForce {
    /// FNV-1a (64 bits) of the rules as TOML, in hexadecimal: equal rules, equal fingerprint. It
    /// tells versions apart; it is no protection against forgery.
    pub fingerprint: String,
    /// Keys with another value than the built-in rules.
    pub changed: Vec<ChangedRule>,
}

/// A key that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangedRule {
    /// The key with its tables: `group.camber_tolerance_in`.
    pub key: String,
    /// The value in force, as TOML; none where the key is left out.
    pub value: Option<String>,
    /// The built-in value, as TOML; none where there is none.
    pub built_in: Option<String>,
}

/// Compares rules with the built-in ones. Who buys is no rule: it decides nothing.
#[must_use]
pub fn rules_in_force(rules: &Rules) -> RulesInForce {
    // Serializing plain numbers, words and lists cannot fail; an empty table would only make every
    // key count as changed.
    let rules = Rules { agency: Agency::default(), ..rules.clone() };
    let mine = Value::try_from(&rules).unwrap_or(Value::Boolean(false));
    let built_in = toml::from_str::<Rules>(&DEFAULT_RULES)
        .ok()
        .and_then(|rules| Value::try_from(rules).ok())
        .unwrap_or(Value::Boolean(false));
    let mut changed = Vec::new();
    compare("", Some(&mine), Some(&built_in), &mut changed);
    RulesInForce { fingerprint: format!("{:016x}", fnv1a(mine.to_string().as_bytes())), changed }
}

fn compare(
    key: &str,
    mine: Option<&Value>,
    built_in: Option<&Value>,
    changed: &mut Vec<ChangedRule>,
) {
    if let (Some(Value::Table(mine)), Some(Value::Table(built_in))) = (mine, built_in) {
        let mut names: Vec<&String> = mine.keys().chain(built_in.keys()).collect();
        names.sort();
        names.dedup();
        for name in names {
            let path = if key.is_empty() { name.clone() } else { format!("{key}.{name}") };
            compare(&path, mine.get(name), built_in.get(name), changed);
        }
        return;
    }
    // Lists of things with names are compared name by name: one vehicle more is one line more.
    if let (Some(mine), Some(built_in)) = (mine.and_then(by_name), built_in.and_then(by_name)) {
        let mut names: Vec<&str> = mine.iter().chain(&built_in).map(|(name, _)| *name).collect();
        names.sort_unstable();
        names.dedup();
        for name in names {
            let of = |list: &[(&str, &'_ Value)]| {
                list.iter().find(|(other, _)| *other == name).map(|(_, value)| (*value).clone())
            };
            let (mine, built_in) = (of(&mine), of(&built_in));
            compare(&format!("{key} \"{name}\""), mine.as_ref(), built_in.as_ref(), changed);
        }
        return;
    }
    if mine != built_in && !key.is_empty() {
        changed.push(ChangedRule {
            key: key.to_owned(),
            value: mine.map(Value::to_string),
            built_in: built_in.map(Value::to_string),
        });
    }
}

/// The entries of a list of tables by their names; none where a value is something else.
fn by_name(value: &Value) -> Option<Vec<(&str, &Value)>> {
    let entries = value.as_array()?.iter();
    entries.map(|entry| Some((entry.get("name")?.as_str()?, entry))).collect()
}

/// The Fowler-Noll-Vo hash FNV-1a, 64 bits.
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::rules::OwnVehicle;
    use crate::quantity::{Feet, Inches, Kips, UsdPerSquareFoot};

    #[test]
    fn fnv1a_test_vectors() {
        // The authors' published test vectors, from memory.
        for (text, hash) in [
            ("", 0xcbf2_9ce4_8422_2325),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            assert_eq!(fnv1a(text.as_bytes()), hash, "{text:?}");
        }
    }

    #[test]
    fn names_the_keys_that_differ() {
        let built_in: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
        assert_eq!(rules_in_force(&built_in).changed, []);
        let mut mine = built_in.clone();
        mine.group.camber_tolerance_in = Inches(1.5);
        mine.purchase.order_date = Some(jiff::civil::date(2026, 6, 1));
        mine.deck[0].usd_per_sqft = UsdPerSquareFoot(15.0);
        mine.vehicle.push(OwnVehicle {
            name: "bus".to_owned(),
            axles_kip: vec![Kips(12.0), Kips(20.0)],
            spacings_ft: vec![Feet(22.0)],
            source: "scale".to_owned(),
        });
        let found = rules_in_force(&mine);
        let bus = "{ axles_kip = [12.0, 20.0], name = \"bus\", source = \"scale\", \
                   spacings_ft = [22.0] }";
        let said: Vec<(&str, Option<&str>, Option<&str>)> = found
            .changed
            .iter()
            .map(|c| (c.key.as_str(), c.value.as_deref(), c.built_in.as_deref()))
            .collect();
        assert_eq!(
            said,
            [
                ("deck \"timber\".usd_per_sqft", Some("15.0"), Some("14.0")),
                ("group.camber_tolerance_in", Some("1.5"), Some("1.0")),
                ("purchase.order_date", Some("\"2026-06-01\""), None),
                ("vehicle \"bus\"", Some(bus), None),
            ]
        );
        assert_ne!(found.fingerprint, rules_in_force(&built_in).fingerprint);
    }
}
