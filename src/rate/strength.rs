//! What the main girder's strength rests on: a section modulus that somebody states, or measured
//! plates, less the corrosion losses.

use serde::Serialize;

use super::section::{NetPlates, Section};
use crate::check::Grade;
use crate::model::car::{Car, GirderPlates, MemberCondition};
use crate::model::inventory::Inventory;
use crate::model::rules::EvidenceRules;
use crate::quantity::{CubicInches, Feet, Inches, Kips, Percent, SquareInches};

/// Where the section modulus comes from.
// One value per car, so the unused room of the smaller variant does not matter.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "basis")]
pub enum Strength {
    /// Stated by somebody, less the corrosion loss of the whole girder.
    Stated {
        /// As stated.
        #[serde(rename = "stated_in3")]
        stated: CubicInches,
        /// Who states it.
        source: Option<String>,
        /// Loss of the main girder as inspected.
        loss_pct: Percent,
        /// What is left.
        #[serde(rename = "net_in3")]
        net: CubicInches,
    },
    /// From measured plates.
    Plates {
        /// As measured.
        measured: GirderPlates,
        /// The plates' losses as used, which may be more than those recorded with the plates.
        losses: Losses,
        /// After the losses.
        net: NetPlates,
        /// The section at mid-span.
        middle: Section,
        /// The section at the wheel trucks; as at mid-span where the girder does not taper.
        at_trucks: Section,
    },
}

/// Losses of thickness that were taken off the plates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Losses {
    /// Webs.
    pub web_pct: Percent,
    /// Top flange and its cover.
    pub top_pct: Percent,
    /// Bottom flange and its cover.
    pub bottom_pct: Percent,
    /// Whether the inspection's loss of the whole girder was taken because no plate reached it.
    pub raised_to_inspection: bool,
}

/// The section modulus, or why there is none, in words.
pub(super) fn strength(car: &Car) -> Result<Strength, String> {
    if car.girder.plates.is_none() && car.girder.stated_modulus.is_none() {
        return Err("no section modulus and no plates".to_owned());
    }
    let loss = match car.members.main_girder {
        Some(MemberCondition::Sound) => Percent(0.0),
        Some(MemberCondition::Corroded(loss)) => loss,
        Some(damaged) => {
            return Err(format!(
                "the main girder is {}, and no formula here stands for that",
                damaged.words()
            ));
        }
        None => {
            return Err("the main girder was not inspected, so its losses are unknown".to_owned());
        }
    };
    if !(loss.0.is_finite() && (0.0..100.0).contains(&loss.0)) {
        return Err(format!("a corrosion loss of {} % leaves no girder", loss.0));
    }
    match car.girder.plates {
        Some(plates) => plates_strength(plates, loss, car),
        None => stated_strength(car, loss),
    }
}

fn stated_strength(car: &Car, loss: Percent) -> Result<Strength, String> {
    let stated = car.girder.stated_modulus.ok_or("no section modulus and no plates")?;
    if !(stated.0.is_finite() && stated.0 > 0.0) {
        return Err(format!("a section modulus of {} in3 is none", stated.0));
    }
    let net = stated * (1.0 - loss.fraction());
    Ok(Strength::Stated { stated, source: car.girder.modulus_source.clone(), loss_pct: loss, net })
}

fn plates_strength(plates: GirderPlates, loss: Percent, car: &Car) -> Result<Strength, String> {
    let recorded = [plates.web_loss_pct, plates.top_loss_pct, plates.bottom_loss_pct];
    // The inspection gives the greatest loss of the girder. If no plate's own loss reaches it, we
    // do not know which plate it was, and take it for all.
    let reached = recorded.iter().any(|own| *own >= loss);
    let [web_pct, top_pct, bottom_pct] =
        recorded.map(|own| if reached { own } else { own.max(loss) });
    let losses = Losses { web_pct, top_pct, bottom_pct, raised_to_inspection: !reached };
    let thinned = GirderPlates {
        web_loss_pct: web_pct,
        top_loss_pct: top_pct,
        bottom_loss_pct: bottom_pct,
        ..plates
    };
    let net = NetPlates::of(&thinned).map_err(|error| error.to_string())?;
    let car_width = car.width.map(Inches::from);
    for (name, plate) in
        [("top flange", plates.top_flange), ("bottom flange", plates.bottom_flange)]
    {
        if car_width.is_some_and(|width| plate.width_in > width) {
            return Err(format!("the {name} is wider than the car"));
        }
    }
    let middle = net.section(plates.web.width_in);
    let at_trucks = plates.web_depth_at_trucks_in.map_or(middle, |depth| net.section(depth));
    Ok(Strength::Plates { measured: plates, losses, net, middle, at_trucks })
}

/// Weight of this area of steel over the whole length. Steel weighs 490 lb per cubic foot (AISC
/// Manual, from memory).
pub(super) fn plates_weight(area: SquareInches, length: Feet) -> Kips {
    Kips::from_pounds(490.0 * area.0 / 144.0 * length.0)
}

/// Why the main girder's strength cannot be relied on, if it cannot.
///
/// # Errors
/// In words: a bare modulus without somebody to answer for it, or one far from that of the plates.
pub(super) fn vouched(car: &Car, rules: &EvidenceRules) -> Result<(), String> {
    if let Some(plates) = &car.girder.plates {
        return contradicted(plates, car, rules);
    }
    let Some(stated) = car.girder.stated_modulus else { return Ok(()) };
    if !rules.modulus_source_required {
        return Ok(());
    }
    // Measured plates are asked for shear and buckling; a bare number is not, so that somebody must
    // answer for it.
    match &car.girder.modulus_source {
        None => {
            return Err(format!(
                "a section modulus of {stated} is stated without a source: name the drawing or the \
                 engineer, or measure the plates"
            ));
        }
        Some(source) if !rules.is_named(source) => {
            return Err(format!(
                "a section modulus of {stated} is stated by \"{source}\", which names nobody to \
                 answer for it: name the drawing or the engineer, or measure the plates"
            ));
        }
        Some(_) => {}
    }
    Ok(())
}

/// A modulus stated beside plates must be about theirs, as new.
fn contradicted(plates: &GirderPlates, car: &Car, rules: &EvidenceRules) -> Result<(), String> {
    let Some(stated) = car.girder.stated_modulus else { return Ok(()) };
    // Plates that somebody measured outrank a number that was only told.
    let grade = |column: Inventory| car.evidence(column).grade;
    if Inventory::PLATES.into_iter().all(|plate| grade(plate) >= Grade::Inspected)
        && grade(Inventory::Modulus) < Grade::Inspected
    {
        return Ok(());
    }
    let none = Percent(0.0);
    let as_new =
        GirderPlates { web_loss_pct: none, top_loss_pct: none, bottom_loss_pct: none, ..*plates };
    let section = NetPlates::of(&as_new).map_err(|error| error.to_string())?;
    let section = section.section(plates.web.width_in);
    let computed = section.top.min(section.bottom);
    let ratio = stated / computed;
    if (rules.modulus_ratio_min..=rules.modulus_ratio_max).contains(&ratio) {
        return Ok(());
    }
    Err(format!(
        "the section modulus stated, {stated}, is {ratio:.2} times that of the plates, {computed}: \
         find out which is wrong"
    ))
}
