//! The webs of a girder where they carry least.

use super::capacity;
use super::girder::Girder;
use super::strength::Strength;
use crate::model::rules::RatingRules;
use crate::quantity::{Feet, SquareInches};

/// The webs where they are weakest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Webs {
    pub area: SquareInches,
    pub depth_over_thickness: f64,
    pub buckling: f64,
}

/// The webs where they are weakest: at the bearing, or at mid-span, where those of a girder that tapers
/// are deeper and may buckle at less. A web's depth times its buckling ratio rises, stays and falls
/// with its depth, so at no depth between is it less than at the weaker of the two. Either is held
/// against the shear beside the bearing, which is the greatest.
pub(super) fn webs(girder: &Girder, span: Feet, rules: &RatingRules) -> Option<Webs> {
    let bearing = webs_at(girder, span / 2.0, rules)?;
    if !girder.tapers() {
        return Some(bearing);
    }
    let middle = webs_at(girder, Feet(0.0), rules)?;
    let carries = |webs: &Webs| webs.area * webs.buckling;
    Some(if carries(&middle) < carries(&bearing) { middle } else { bearing })
}

fn webs_at(girder: &Girder, from_middle: Feet, rules: &RatingRules) -> Option<Webs> {
    let Strength::Plates { net, .. } = &girder.strength else { return None };
    let area = girder.section_at(from_middle)?.shear_area;
    let thickness = net.web_thickness.0;
    let depth = area.0 / (f64::from(net.webs) * thickness);
    let depth_over_thickness = depth / thickness;
    let buckling = capacity::web_buckling(
        depth_over_thickness,
        girder.steel.strength,
        rules.elastic_modulus_ksi,
    );
    Some(Webs { area, depth_over_thickness, buckling })
}
