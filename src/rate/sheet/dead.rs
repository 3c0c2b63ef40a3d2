//! The dead load, line by line, and what it does.

use super::line::{Line, Part, n};
use super::{Amount, Case};
use crate::quantity::{Feet, KipsPerFoot};
use crate::rate::uniform;

const RULES_DECK: &str = "rules deck, joint and rail";

/// The loads per foot.
pub(super) fn loads(case: &Case) -> Part {
    let mut part = Part::new("Dead load on one car, per foot");
    let (dead, deck, girder) = (&case.rating.dead, &case.rating.loads.deck, &case.rating.girder);
    part.push(
        Line::new("Car as offered, nothing taken off for what is stripped", "w1", dead.car)
            .by("W / Lc", format!("{} / {}", n(girder.weight), n(girder.length))),
    );
    part.push(
        Line::new(
            "Width of deck that the car carries: its own and one widest gap",
            "bd",
            dead.deck_width,
        )
        .by("b + g", format!("{} + {}", n(girder.width), n(deck.widest_gap)))
        .at(RULES_DECK),
    );
    part.push(
        Line::new(format!("Deck: {}", deck.deck), "w2", dead.deck)
            .by("q bd / 1000", format!("{} x {} / 1000", n(deck.dead), n(dead.deck_width)))
            .at(RULES_DECK),
    );
    let heaviest = case.rules.joint.iter().filter(|joint| joint.weight_kip_per_ft == deck.joint);
    let joint = match heaviest.map(|joint| joint.name.as_str()).next() {
        Some(name) => format!("One joint, the heaviest of the rules: {name}"),
        None => "No joint in the rules".to_owned(),
    };
    part.push(Line::new(joint, "w3", dead.joint).at(RULES_DECK));
    let rails = n(Amount::count(dead.rails.into()));
    part.push(
        Line::new("Rails", "w4", dead.rail)
            .by("nr wr", format!("{rails} x {}", n(deck.rail)))
            .at(RULES_DECK),
    );
    part.push(Line::new("Components together", "wDC", dead.components()).by(
        "w1 + w2 + w3 + w4",
        format!("{} + {} + {} + {}", n(dead.car), n(dead.deck), n(dead.joint), n(dead.rail)),
    ));
    part.push(
        Line::new("Wearing surface", "w5", dead.wearing)
            .by("qw bd / 1000", format!("{} x {} / 1000", n(deck.wearing), n(dead.deck_width)))
            .at(RULES_DECK),
    );
    part.push(
        Line::new("Overlay that may be laid later", "w6", dead.overlay)
            .by("qo bd / 1000", format!("{} x {} / 1000", n(deck.overlay), n(dead.deck_width)))
            .at("rules rating.future_overlay_psf"),
    );
    part.push(
        Line::new("Wearing surface with overlay", "wDW", dead.surfacing())
            .by("w5 + w6", format!("{} + {}", n(dead.wearing), n(dead.overlay))),
    );
    part
}

/// Moments, shears and reaction.
pub(super) fn effects(case: &Case) -> Part {
    let mut part = Part::new("Effects of the dead load");
    let rating = case.rating;
    let (span, overhang) = (rating.span(), rating.overhang);
    part.push(
        Line::new("End of the car beyond each bearing, longer ends trimmed", "a", overhang)
            .by(
                "max(min((Lc - L) / 2, a0), 0)",
                format!(
                    "max(min(({} - {}) / 2, {}), 0)",
                    n(rating.girder.length),
                    n(span),
                    n(rating.loads.effects.overhang)
                ),
            )
            .at("rules screen.max_overhang_ft"),
    );
    if rating.trimmed > Feet(0.0) {
        part.push(Line::new("Cut off each end", "", rating.trimmed).by(
            "(Lc - L) / 2 - a",
            format!("({} - {}) / 2 - {}", n(rating.girder.length), n(span), n(overhang)),
        ));
    }
    let middle = span / 2.0;
    let parts = [("DC", rating.dead.components()), ("DW", rating.dead.surfacing())];
    for (name, load) in parts {
        moment(&mut part, name, load, span, middle);
    }
    for (name, load) in parts {
        part.push(
            Line::new(
                format!("{name}, shear beside the bearing"),
                format!("V{name}"),
                uniform::end_shear(load, span),
            )
            .by(format!("w{name} L / 2"), format!("{} x {} / 2", n(load), n(span))),
        );
    }
    for (name, load) in parts {
        part.push(
            Line::new(
                format!("{name}, moment over the bearing"),
                format!("H{name}"),
                uniform::hogging(load, overhang),
            )
            .by(format!("w{name} a^2 / 2"), format!("{} x {}^2 / 2", n(load), n(overhang))),
        );
    }
    part.push(Line::new("Dead-load reaction at each bearing", "RD", rating.dead_reaction).by(
        "(wDC + wDW) (L / 2 + a)",
        format!("({} + {}) x ({} / 2 + {})", n(parts[0].1), n(parts[1].1), n(span), n(overhang)),
    ));
    part
}

fn moment(part: &mut Part, name: &str, load: KipsPerFoot, span: Feet, middle: Feet) {
    part.push(
        Line::new(
            format!("{name}, moment at mid-span"),
            format!("M{name}"),
            uniform::moment_at(load, span, middle),
        )
        .by(format!("w{name} L^2 / 8"), format!("{} x {}^2 / 8", n(load), n(span)))
        .source("without the relief by the ends beyond the bearings"),
    );
}
