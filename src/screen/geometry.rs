//! S07, S18 and S19: what the car brings to a joint with its neighbors.

use itertools::Itertools;

use super::{Alone, Pair};
use crate::check::{Check, Code, Limit, Outcome, TOLERANCE, Value};
use crate::quantity::Inches;

/// S07: the exterior girders carry at least one joint type of the rules.
pub fn joint_depth(pair: &Pair) -> Check {
    let depth = pair.car.exterior_depth.map(Value::Inches);
    if pair.crossing.most_abreast == 1 {
        return Check::new(
            Code::JointDepth,
            depth.unwrap_or(Value::Unknown),
            Limit::None,
            Outcome::Pass,
        )
        .note("one car abreast: no joint");
    }
    let joints = &pair.rules.joint;
    let Some(least) = joints.iter().map(|joint| joint.exterior_depth_min_in).reduce(Inches::min)
    else {
        let limit = Limit::words("deep enough for a joint type");
        return Check::unknown(Code::JointDepth, limit, "the rules have no joint type");
    };
    let least = Value::Inches(least);
    let Some(depth) = pair.car.exterior_depth else {
        let note = "exterior girder not measured";
        return Check::unknown(Code::JointDepth, Limit::AtLeast(least), note);
    };
    let check = Check::at_least(Code::JointDepth, Value::Inches(depth), least);
    if check.outcome != Outcome::Pass {
        return check;
    }
    let carried = || {
        joints
            .iter()
            .filter(|joint| depth.0 >= joint.exterior_depth_min_in.0 - TOLERANCE)
            .map(|joint| joint.name.as_str())
            .join(", ")
    };
    check.note_if(pair.remarks, || format!("deep enough for: {}", carried()))
}

/// S18.
pub fn section(alone: &Alone) -> Check {
    let limit = Limit::words("named");
    match &alone.car.section {
        Some(section) => Check::words(Code::SectionKnown, section, limit, true),
        None => Check::unknown(Code::SectionKnown, limit, "section not given"),
    }
}

/// S19.
pub fn camber(alone: &Alone) -> Check {
    let limit = Limit::words("measured");
    match alone.car.camber {
        Some(camber) => Check::new(Code::CamberKnown, Value::Inches(camber), limit, Outcome::Pass),
        None => Check::unknown(Code::CamberKnown, limit, "camber not measured"),
    }
}

/// S23: a girder that hangs below the line through its bolsters has yielded or is broken.
pub fn sag(alone: &Alone) -> Check {
    let least = Value::Inches(alone.rules.screen.camber_least_in);
    match alone.car.camber {
        Some(camber) => Check::at_least(Code::Sag, Value::Inches(camber), least),
        // S19 bars it.
        None => Check::new(Code::Sag, Value::Unknown, Limit::AtLeast(least), Outcome::NotChecked)
            .note("camber not measured, see S19"),
    }
}
