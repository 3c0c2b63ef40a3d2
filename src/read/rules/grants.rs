//! Grants: that their funds are there, and that each has one share and one match.

use toml::Value;

use super::document::{Document, Item};
use crate::check::Code;
use crate::read::problem::Findings;
use crate::words::nearest;

/// Each grant of a match fund doubles what the search has to keep to.
const MOST_OF_ONE_MATCH: usize = 5;

fn text<'a>(item: &'a Item, key: &str) -> Option<&'a str> {
    item.values.get(key)?.as_str()
}

/// Checks the grants against the funds and each other.
pub(super) fn check(document: &Document<'_>, findings: &mut Findings) {
    let names: Vec<String> = document.names("fund");
    let grants = document.list("grant");
    for (place, grant) in grants.iter().enumerate() {
        let mut tell = |key: &str, code: Code, wrong: String, instead: String| {
            let span = grant.keys.get(key).unwrap_or(&grant.span);
            let path = format!("grant.{key}");
            findings.problems.push(document.at(span, code, &path, wrong, instead));
        };
        for key in ["fund", "match_fund"] {
            let Some(name) = text(grant, key) else { continue };
            if !names.iter().any(|known| known == name) {
                let wrong = format!("is {name}, and no [[fund]] has that name");
                let instead = match nearest(name, names.iter().map(String::as_str)) {
                    Some(near) => format!("write {near} if that is meant, or add the [[fund]]"),
                    None => "add the [[fund]], or correct the name".to_owned(),
                };
                tell(key, Code::RefersToNothing, wrong, instead);
            }
        }
        let (Some(fund), Some(rest)) = (text(grant, "fund"), text(grant, "match_fund")) else {
            continue;
        };
        let before = || grants[..place].iter();
        if before().any(|other| text(other, "fund") == Some(fund)) {
            let wrong = format!("is {fund}, which has a share already");
            tell("fund", Code::Duplicate, wrong, "state one share for each fund".to_owned());
        }
        if fund == rest || grants.iter().any(|other| text(other, "fund") == Some(rest)) {
            let wrong = format!("is {rest}, which pays a share only");
            let instead = "name a fund that pays the rest in full".to_owned();
            tell("match_fund", Code::Contradiction, wrong, instead);
        }
        let of_match = before().filter(|other| text(other, "match_fund") == Some(rest)).count();
        if of_match >= MOST_OF_ONE_MATCH {
            let wrong = format!("is {rest}, the match of {of_match} grants already");
            let instead = "join grants of one share, or name another fund".to_owned();
            tell("match_fund", Code::OutOfRange, wrong, instead);
        }
        let share = grant.values.get("share_pct");
        let share = share.and_then(|value| match value {
            Value::Integer(whole) => Some(*whole as f64),
            value => value.as_float(),
        });
        if let Some(share) = share
            && (share * 100.0 - (share * 100.0).round()).abs() > 1e-6
        {
            let wrong = format!("is {share}, with more than two decimals");
            let instead = "write whole hundredths of a per cent".to_owned();
            tell("share_pct", Code::OutOfRange, wrong, instead);
        }
    }
}
