//! Stringers and cross-members, as far as they are measured.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use super::live::Standing;
use crate::model::car::MemberCondition;
use crate::quantity::{Feet, Kips, Percent};
use crate::rate::capacity;
use crate::rate::factors::stress_level;
use crate::rate::local::{
    Carried, IMPACT_ALLOWABLE, LocalMember, Part as Member, Wheels, lines_beside,
};
use crate::rate::rating::{LocalRating, VehicleRating};
use crate::rate::train::Train;

/// Each member under the vehicle that is worst for it.
pub(super) fn parts(case: &Case) -> Vec<Part> {
    let worst = |member| {
        let vehicles = case.rating.vehicles.iter();
        vehicles
            .filter_map(|v| Some((v, v.local.iter().find(|l| l.member.part == member)?)))
            .min_by(|a, b| a.1.least.total_cmp(&b.1.least))
    };
    [Member::Stringer, Member::CrossMember]
        .into_iter()
        .filter_map(worst)
        .map(|(vehicle, rating)| member_part(case, vehicle, rating))
        .collect()
}

fn member_part(case: &Case, vehicle: &VehicleRating, rating: &LocalRating) -> Part {
    let title = match rating.member.part {
        Member::Stringer => "Stringer",
        Member::CrossMember => "Cross-member",
    };
    let name = &vehicle.on_span.vehicle.name;
    let mut part = Part::new(format!("{title}, worst under {name}"));
    measures(&mut part, case, &rating.member);
    dead(&mut part, case, rating);
    let trains = &vehicle.on_span.vehicle.trains;
    if let Some(wheels) = rating.member.wheels(trains, case.rating.loads.lanes) {
        live(&mut part, &rating.member, &trains[wheels.train], &wheels);
    }
    capacities(&mut part, case, rating);
    part.push(by_allowable_stress(rating));
    part.push(by_load_and_resistance(case, rating));
    apart(&mut part, rating.member.part);
    part
}

/// Gives the symbols that a part defines a letter of their own, s of stringers and x of cross-members, so that
/// none of them is a symbol of the girder's too.
fn apart(part: &mut Part, member: Member) {
    let letter = match member {
        Member::Stringer => "s",
        Member::CrossMember => "x",
    };
    let own: Vec<String> = part.lines.iter().map(|line| line.symbol.clone()).collect();
    let is_own = |word: &str| !word.is_empty() && own.iter().any(|symbol| symbol == word);
    for line in &mut part.lines {
        let mut formula = String::new();
        let mut word = String::new();
        for c in line.formula.chars().chain([' ']) {
            if c.is_ascii_alphanumeric() {
                word.push(c);
                continue;
            }
            formula.push_str(&word);
            if is_own(&word) {
                formula.push_str(letter);
            }
            word.clear();
            formula.push(c);
        }
        line.formula = formula.trim_end().to_owned();
        if !line.symbol.is_empty() {
            line.symbol.push_str(letter);
        }
    }
}

fn measures(part: &mut Part, case: &Case, member: &LocalMember) {
    let column = |name: &str| super::given::place(case.car, name);
    let (modulus, spacing, condition) = match member.part {
        Member::Stringer => {
            ("stringer_modulus_in3", "stringer_spacing_ft", case.car.members.stringers)
        }
        Member::CrossMember => {
            ("cross_member_modulus_in3", "cross_member_spacing_ft", case.car.members.cross_members)
        }
    };
    let loss = match condition {
        Some(MemberCondition::Corroded(loss)) => loss,
        _ => Percent(0.0),
    };
    part.push(Line::new("Section modulus of one", "S0", member.measured).at(column(modulus)));
    part.push(
        Line::new("Section modulus less its loss", "S", member.net)
            .by("S0 (1 - p / 100)", format!("{} x (1 - {} / 100)", n(member.measured), n(loss)))
            .source("loss as in the list"),
    );
    part.push(match member.part {
        Member::Stringer => Line::new("Span, between cross-members", "l", member.span)
            .at(column("cross_member_spacing_ft")),
        Member::CrossMember => {
            Line::new("Span, half the width, from main to exterior girder", "l", member.span)
                .by("b / 2", format!("{} / 2", n(case.rating.girder.width)))
        }
    });
    part.push(Line::new("Spacing of its likes", "e", member.spacing).at(column(spacing)));
}

fn dead(part: &mut Part, case: &Case, rating: &LocalRating) {
    let (girder, deck) = (&case.rating.girder, &case.rating.loads.deck);
    let (spacing, span) = (n(rating.member.spacing), n(rating.member.span));
    let on_it = format!("x {spacing} x {span}^2 / 8 / 1000");
    part.push(
        Line::new("Moment of deck and car", "MDC", rating.allowable.dead)
            .by(
                "(1000 w1 / b + q) e l^2 / 8 / 1000",
                format!(
                    "(1000 x {} / {} + {}) {on_it}",
                    n(case.rating.dead.car),
                    n(girder.width),
                    n(deck.dead)
                ),
            )
            .source("the car's weight spread over its width"),
    );
    part.push(Line::new("Moment of the wearing surface", "MDW", rating.allowable.wearing).by(
        "(qw + qo) e l^2 / 8 / 1000",
        format!("({} + {}) {on_it}", n(deck.wearing), n(deck.overlay)),
    ));
}

/// The moment of the wheels, step by step.
fn live(part: &mut Part, member: &LocalMember, train: &Train, wheels: &Wheels) {
    let standing = Standing {
        train,
        axle: wheels.axle,
        reversed: wheels.reversed,
        section: wheels.section,
        span: wheels.length,
    };
    let beam = match member.part {
        Member::Stringer => "on the stringer",
        Member::CrossMember => "on a beam of two spacings e, at its middle",
    };
    let label = format!("Whole axles of the {} {beam}", train.name());
    let mut axles = standing.line(label, "MT", wheels.axles);
    axles.formula =
        "(sum of P x (z - s) before s + sum of P s (z - x) from s on) / z, z its length".to_owned();
    part.push(axles);
    let (axles, span, apart) = (n(wheels.axles), n(member.span), n(wheels.apart));
    let moment = Line::new("Moment of the wheels, without impact", "M", wheels.moment);
    let spread =
        "a single wheel is spread over 10 by 20 in, cp (AASHTO LRFD 3.6.1.2.5, from memory)";
    match wheels.carried {
        Carried::Along { alone, patch, lines, trucks } => {
            part.push(Line::new("Wheel lines on one stringer", "k", Amount::ratio(lines)).by(
                "1 + the sum of max(0, 1 - g / e) over the lines g beside it",
                lines_in_numbers(trucks, member.spacing),
            ));
            let lines = r(lines);
            part.push(match alone {
                Some(wheel) => moment
                    .by(
                        "k (MT / 2 - P cp / 8)",
                        format!("{lines} x ({axles} / 2 - {} x {} / 8)", n(wheel), n(patch)),
                    )
                    .source(spread),
                None => moment.by("k MT / 2", format!("{lines} x {axles} / 2")),
            });
        }
        Carried::OneAcross { line, patch } => {
            part.push(handed_on(member, &axles, line));
            part.push(
                moment
                    .by(
                        "R (l / 4 - cp / 8)",
                        format!("{} x ({span} / 4 - {} / 8)", n(line), n(patch)),
                    )
                    .source(spread),
            );
        }
        Carried::TwoAcross { line } => {
            part.push(handed_on(member, &axles, line));
            part.push(moment.by(
                "2 R (l / 2 - g / 4)^2 / l, g between lines",
                format!("2 x {} x ({span} / 2 - {apart} / 4)^2 / {span}", n(line)),
            ));
        }
    }
}

/// The wheel lines on a stringer, the one in whose place they are most and those that reach it.
fn lines_in_numbers(trucks: usize, spacing: Feet) -> String {
    let part = |beside: &[Feet]| beside.iter().map(|g| (1.0 - *g / spacing).max(0.0)).sum::<f64>();
    let all = lines_beside(trucks);
    let most = all.iter().max_by(|a, b| part(a).total_cmp(&part(b)));
    let reaching = most.into_iter().flatten().filter(|g| **g < spacing);
    let terms = reaching.map(|g| format!(" + max(0, 1 - {} / {})", n(*g), n(spacing)));
    format!("1{}", terms.collect::<String>())
}

/// One wheel line's weight on a cross-member.
fn handed_on(member: &LocalMember, axles: &str, line: Kips) -> Line {
    Line::new("Wheels of one line that the stringers hand on", "R", line)
        .by("MT / (e / 2) / 2", format!("{axles} / ({} / 2) / 2", n(member.spacing)))
}

fn capacities(part: &mut Part, case: &Case, rating: &LocalRating) {
    let factors = &case.rules.rating.resistance_factors;
    let (steel, modulus) = (n(case.rating.girder.steel.strength), n(rating.member.net));
    let level = stress_level(rating.allowable.level);
    let share = r(capacity::bending_stress_share(level, &case.rules.rating));
    part.push(
        Line::new("Bending, allowable stress", "C", rating.allowable.capacity)
            .by("f Fy S / 12", format!("{share} x {steel} x {modulus} / 12"))
            .source(format!(
                "{} level; AASHTO MBE part 6B (from memory)",
                rating.allowable.level.word()
            )),
    );
    let combined = r(capacity::condition_and_system(factors));
    part.push(
        Line::new("Bending, load and resistance", "C", rating.factored.capacity)
            .by(
                "phi fcs Fy S / 12",
                format!("{} x {combined} x {steel} x {modulus} / 12", r(factors.resistance)),
            )
            .source("AASHTO MBE 6A.4.2 (from memory)"),
    );
}

fn by_allowable_stress(rating: &LocalRating) -> Line {
    let allowable = &rating.allowable;
    Line::new("Rating factor, allowable stress", "RF", Amount::factor(allowable.factor))
        .by(
            "(C - MDC - MDW) / (m M (1 + 0.30))",
            format!(
                "({} - {} - {}) / ({} x {} x (1 + {}))",
                n(allowable.capacity),
                n(allowable.dead),
                n(allowable.wearing),
                r(allowable.share.total.0),
                n(rating.live),
                r(IMPACT_ALLOWABLE)
            ),
        )
        .source(format!("{} level", allowable.level.word()))
}

fn by_load_and_resistance(case: &Case, rating: &LocalRating) -> Line {
    let factored = &rating.factored;
    Line::new("Rating factor, load and resistance", "RF", Amount::factor(factored.factor))
        .by(
            "(C - gDC MDC - gDW MDW) / (gLL m M (1 + IM))",
            format!(
                "({} - {} x {} - {} x {}) / ({} x {} x {} x (1 + {}))",
                n(factored.capacity),
                r(factored.dead_factor.0),
                n(factored.dead),
                r(factored.wearing_factor.0),
                n(factored.wearing),
                r(factored.live_factor.0),
                r(factored.share.total.0),
                n(rating.live),
                r(case.rules.rating.resistance_factors.impact)
            ),
        )
        .source(format!("{} level", factored.level.word()))
}
