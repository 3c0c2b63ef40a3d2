//! The weight sign of a bridge, as it is put up: whole tons, by kind of truck.

use super::reasons::{Sign, signs};
use crate::model::plan::Served;
use crate::quantity::Tons;

/// Trucks of one piece, by the names of the vehicles that are rated.
const SINGLE_UNITS: [&str; 5] = ["Type 3", "SU4", "SU5", "SU6", "SU7"];
/// Tractors with trailers.
const COMBINATIONS: [&str; 2] = ["Type 3S2", "Type 3-3"];
/// Gross weight, heaviest single axle and tandem of the emergency vehicles, in tons: 23 U.S.C. 127(r).
const EV2: (f64, f64) = (28.75, 16.75);
const EV3: (f64, f64) = (43.0, 31.0);

/// The lines of the sign; none where no sign is needed.
#[must_use]
pub fn put_up(served: &Served) -> Vec<String> {
    let signs = signs(served);
    let is = |sign: &Sign, names: &[&str]| {
        names.iter().any(|name| sign.vehicle.trim().eq_ignore_ascii_case(name))
    };
    let least = |names: &[&str]| {
        let of = signs.iter().filter(|sign| is(sign, names)).map(|sign| sign.weight);
        of.reduce(Tons::min)
    };
    let mut lines = Vec::new();
    for (kind, names) in
        [("single-unit trucks", &SINGLE_UNITS[..]), ("truck combinations", &COMBINATIONS[..])]
    {
        lines.extend(least(names).map(|tons| limit(kind, tons)));
    }
    lines.extend(emergency(least(&["EV2"]), least(&["EV3"])));
    let known = |sign: &&Sign| {
        is(sign, &SINGLE_UNITS) || is(sign, &COMBINATIONS) || is(sign, &["EV2", "EV3"])
    };
    lines.extend(
        signs.iter().filter(|sign| !known(sign)).map(|sign| limit(&sign.vehicle, sign.weight)),
    );
    lines
}

/// `single-unit trucks 21 tons`; at no weight at all they are not allowed.
fn limit(kind: &str, tons: Tons) -> String {
    if tons.0 <= 0.0 { format!("no {kind}") } else { format!("{kind} {:.0} tons", tons.0) }
}

/// Emergency vehicles are posted by single axle, tandem and gross weight. An axle's limit is its part of
/// the vehicle's.
fn emergency(ev2: Option<Tons>, ev3: Option<Tons>) -> Option<String> {
    let gross = ev2.into_iter().chain(ev3).reduce(Tons::min)?;
    if gross.0 <= 0.0 {
        return Some("no emergency vehicles".to_owned());
    }
    let axle = |tons: Tons, (all, part): (f64, f64)| (tons.0 / all * part).floor();
    let single = ev2.map(|tons| format!("single axle {:.0} tons, ", axle(tons, EV2)));
    let tandem = ev3.map(|tons| format!("tandem {:.0} tons, ", axle(tons, EV3)));
    Some(format!(
        "emergency vehicles {}{}gross {:.0} tons",
        single.unwrap_or_default(),
        tandem.unwrap_or_default(),
        gross.0
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Check, Code, Value};
    use crate::report::fixture;

    fn lines(posted: &[(&str, f64)]) -> Vec<String> {
        let plan = fixture::plan();
        let mut served = plan.crossings[0].served().unwrap().clone();
        for deck in &mut served.decks {
            for placed in &mut deck.cars {
                placed.checks.clear();
            }
        }
        let post = |&(vehicle, tons): &(&str, f64)| {
            let (tons, least) = (Value::Tons(Tons(tons)), Value::Tons(Tons(3.0)));
            Check::at_least(Code::LegalTrucks, tons, least).part(vehicle)
        };
        served.decks[0].cars[0].checks = posted.iter().map(post).collect();
        put_up(&served)
    }

    #[test]
    fn a_sign_names_kinds_of_trucks_and_whole_tons() {
        assert_eq!(lines(&[]), Vec::<String>::new());
        assert_eq!(
            lines(&[("SU5", 24.0), ("SU7", 21.0), ("Type 3-3", 38.0)]),
            ["single-unit trucks 21 tons", "truck combinations 38 tons"]
        );
        assert_eq!(lines(&[("Type 3S2", 0.0)]), ["no truck combinations"]);
        assert_eq!(lines(&[("gravel truck", 23.0)]), ["gravel truck 23 tons"]);
    }

    /// 20 of 28.75 tons are 11.65 of its 16.75-ton axle; 33 of 43 are 23.79 of its 31-ton tandem.
    #[test]
    fn emergency_vehicles_have_axles_on_their_sign() {
        assert_eq!(
            lines(&[("EV2", 20.0), ("EV3", 33.0)]),
            ["emergency vehicles single axle 11 tons, tandem 23 tons, gross 20 tons"]
        );
        assert_eq!(lines(&[("EV3", 33.0)]), ["emergency vehicles tandem 23 tons, gross 33 tons"]);
    }
}
