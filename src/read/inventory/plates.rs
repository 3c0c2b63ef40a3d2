//! The main girder's strength data: a stated section modulus, measured plates, or neither.

use super::Inventory as C;
use crate::check::Code;
use crate::model::car::{Car, GirderPlates, MemberCondition, Plate};
use crate::quantity::{Inches, Percent};
use crate::read::columns::Columns;
use crate::read::row::Row;

/// Cells that mean something only together with the girder's plates.
const ADDED: [C; 8] = [
    C::WebDepthAtTrucks,
    C::TopCoverWidth,
    C::TopCoverThickness,
    C::BottomCoverWidth,
    C::BottomCoverThickness,
    C::WebLoss,
    C::TopLoss,
    C::BottomLoss,
];

/// Reads the plates, and checks what was read of the main girder before.
pub(super) fn main_girder(row: &mut Row<'_, C>, car: &mut Car) {
    if let (Some(unbraced), Some(length)) = (car.girder.unbraced_ft, car.length)
        && unbraced.0 > length.0
    {
        let wrong = format!("is more than the length over ends, {} ft", length.0);
        row.problem(C::Unbraced, Code::Contradiction, wrong, "measure both again");
    }
    car.girder.plates = plates(row, car.members.main_girder);
}

fn plates(row: &mut Row<'_, C>, condition: Option<MemberCondition>) -> Option<GirderPlates> {
    if C::PLATES.iter().all(|&column| row.cell(column).is_none()) {
        for column in ADDED {
            // The values are read for their own faults too.
            let value = row.number(column);
            if value.is_some() {
                let wrong = "counts only with the main girder's plates, which are blank";
                let instead =
                    "write the plates, webs to bottom_flange_thickness_in, or clear this cell";
                row.problem(column, Code::Contradiction, wrong, instead);
            }
        }
        return None;
    }
    for column in C::PLATES {
        if row.cell(column).is_none() {
            let wrong = "is blank, and other plates of the main girder are given";
            row.problem(column, Code::CellBlank, wrong, "measure all plates, or clear them all");
        }
    }
    let webs = row.whole(C::Webs);
    let web = plate(row, C::WebDepth, C::WebThickness);
    let at_trucks = row.number(C::WebDepthAtTrucks).map(Inches);
    if let (Some(at_trucks), Some(web)) = (at_trucks, web)
        && at_trucks.0 > web.width_in.0
    {
        let wrong = format!("is deeper than at mid-span, {} in", web.width_in.0);
        let instead = "measure both again; main girders grow shallower toward the wheel trucks";
        row.problem(C::WebDepthAtTrucks, Code::Contradiction, wrong, instead);
    }
    let top_flange = flange(row, C::TopFlangeWidth, C::TopFlangeThickness, webs, web);
    let bottom_flange = flange(row, C::BottomFlangeWidth, C::BottomFlangeThickness, webs, web);
    let top_cover = cover(row, C::TopCoverWidth, C::TopCoverThickness);
    let bottom_cover = cover(row, C::BottomCoverWidth, C::BottomCoverThickness);
    let losses = losses(row, condition);
    let [web_loss_pct, top_loss_pct, bottom_loss_pct] = losses?;
    Some(GirderPlates {
        webs: u8::try_from(webs?).ok()?,
        web: web?,
        web_depth_at_trucks_in: at_trucks,
        top_flange: top_flange?,
        bottom_flange: bottom_flange?,
        top_cover,
        bottom_cover,
        web_loss_pct,
        top_loss_pct,
        bottom_loss_pct,
    })
}

fn plate(row: &mut Row<'_, C>, width: C, thickness: C) -> Option<Plate> {
    let width = row.number(width).map(Inches);
    let thickness = row.number(thickness).map(Inches);
    Some(Plate { width_in: width?, thickness_in: thickness? })
}

/// A flange, which must be wide enough for the webs that stand on it.
fn flange(
    row: &mut Row<'_, C>,
    width: C,
    thickness: C,
    webs: Option<i64>,
    web: Option<Plate>,
) -> Option<Plate> {
    let flange = plate(row, width, thickness)?;
    if let (Some(webs), Some(web)) = (webs, web) {
        let needed = webs as f64 * web.thickness_in.0;
        if flange.width_in.0 < needed {
            let wrong = format!("is narrower than the webs together, {needed} in");
            row.problem(width, Code::Contradiction, wrong, "measure the flange and the webs again");
        }
    }
    Some(flange)
}

/// A cover plate, for which both cells are needed.
fn cover(row: &mut Row<'_, C>, width: C, thickness: C) -> Option<Plate> {
    for (given, blank) in [(width, thickness), (thickness, width)] {
        if row.cell(given).is_some() && row.cell(blank).is_none() {
            let wrong = format!("is blank, and {} is given", given.column().name);
            row.problem(blank, Code::CellBlank, wrong, "measure both, or clear both");
        }
    }
    plate(row, width, thickness)
}

/// The losses of webs, top and bottom: as measured, else as the main girder's condition says. Where
/// that says nothing of a loss, none is assumed and the plates are not used.
fn losses(row: &mut Row<'_, C>, condition: Option<MemberCondition>) -> Option<[Percent; 3]> {
    let greatest = match condition {
        Some(MemberCondition::Sound) => Some(Percent(0.0)),
        Some(MemberCondition::Corroded(loss)) => Some(loss),
        _ => None,
    };
    let columns = [C::WebLoss, C::TopLoss, C::BottomLoss];
    let given = columns.map(|column| row.percent(column));
    for (column, loss) in columns.into_iter().zip(given) {
        if let (Some(loss), Some(greatest)) = (loss, greatest)
            && loss.0 > greatest.0
        {
            let says = condition.map_or_else(String::new, MemberCondition::words);
            let wrong = format!("is more than main_girder says, which is {says}");
            row.problem(
                column,
                Code::Contradiction,
                wrong,
                "write the greatest loss in main_girder",
            );
        }
    }
    // A cell with a fault of its own was reported; it is not a blank one.
    let blank = |column| row.cell(column).is_none();
    let unknown = columns.into_iter().find(|&column| blank(column) && greatest.is_none());
    if let Some(column) = unknown {
        let wrong = "is blank and main_girder does not say it, so the plates are not used";
        let instead = "write the measured loss, 0 for none, or inspect the main girder";
        row.warning(column, Code::CellBlank, wrong, instead);
        return None;
    }
    let [web, top, bottom] = given.map(|loss| loss.or(greatest));
    Some([web?, top?, bottom?])
}
