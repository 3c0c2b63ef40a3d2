//! Slender plates and lateral buckling: whether the girder reaches the yield strength that the
//! rating counts on.
//!
//! Limits from AASHTO LRFD Bridge Design Specifications (from memory): flange of an I, 6.10.8.2.2,
//! half width over thickness at most 0.38 sqrt(E / Fy); flange of a box, 6.11.8.2, width between the
//! webs over thickness at most 0.57 sqrt(4 E / Fy); web, 6.10.6.2.3 and 6.10.2.1.1, twice the depth
//! in compression over thickness at most 5.7 sqrt(E / Fy) and at most 150. The whole width of a box's
//! flange is taken between its webs, since nobody records where the webs stand: that is on the safe
//! side. A plate beyond its limit fails; nobody here reduces its strength.
//!
//! A single web may buckle sideways between its braces (6.10.8.2.3): the full strength counts up to
//! an unbraced length of r_t sqrt(E / Fy); beyond it the top flange's strength falls in a straight
//! line to 0.7 Fy at pi r_t sqrt(E / (0.7 Fy)), and farther out as pi2 E / (Lb / r_t)2. The same
//! reduction serves both forms of rating. A box is stiff enough in torsion to be left out.
//!
//! Over the bearings the end beyond them compresses the bottom flange. Where the car bears at its
//! bolsters, these hold it sideways; where it bears inside them, the flange counts as unbraced from the
//! end of the car to mid-span, since nobody records what braces it.

use serde::Serialize;

use super::section::{NetPlates, Section};
use super::steel::Steel;
use super::strength::Strength;
use crate::check::{Outcome, TOLERANCE};
use crate::model::car::Plate;
use crate::model::rules::RatingRules;
use crate::quantity::{Feet, Inches, Ksi};

/// Share of the yield strength at which buckling turns from inelastic to elastic: residual stresses
/// use up the rest.
const ELASTIC_SHARE: f64 = 0.7;

/// One slenderness, measured against the limit up to which the full yield strength counts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Slenderness {
    /// Which plate, or the unbraced length.
    pub part: &'static str,
    /// What is divided by what, in symbols.
    pub formula: &'static str,
    /// Measured; none where a measure is missing.
    pub ratio: Option<f64>,
    /// The limit.
    pub limit: f64,
    /// The limit in symbols.
    pub limit_formula: &'static str,
    /// Share of the yield strength that counts beyond the limit; none where nothing does.
    pub reduced_to: Option<f64>,
}

impl Slenderness {
    /// Whether the limit is kept; none where it cannot be said.
    #[must_use]
    pub fn keeps(&self) -> Option<bool> {
        self.ratio.map(|ratio| ratio <= self.limit + TOLERANCE)
    }

    /// Beyond the limit a plate fails, since the rating would count on a strength that it cannot
    /// reach; lateral buckling is a caution, since the rating counts on the reduced strength.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        match self.keeps() {
            Some(true) => Outcome::Pass,
            Some(false) if self.reduced_to.is_some() => Outcome::Caution,
            Some(false) => Outcome::Fail,
            None => Outcome::Unknown,
        }
    }
}

/// The slenderness checks of a girder, and what its flanges reach in compression. No checks for a
/// stated section modulus. The webs are taken at mid-span or at the wheel trucks, where they are
/// deeper, which is worse for all of them.
pub(super) fn slenderness(
    strength: &Strength,
    steel: &Steel,
    unbraced: Option<Feet>,
    rules: &RatingRules,
) -> (Vec<Slenderness>, Compression) {
    let Strength::Plates { net, middle, at_trucks, .. } = strength else {
        return (Vec::new(), Compression::FULL);
    };
    let deepest = if middle.depth >= at_trucks.depth { middle } else { at_trucks };
    let root = (rules.elastic_modulus_ksi / steel.strength).sqrt();
    let top = &net.top_flange;
    let flange_ratio = top.width_in / top.thickness_in;
    let plate = |part, formula, ratio, limit, limit_formula| Slenderness {
        part,
        formula,
        ratio: Some(ratio),
        limit,
        limit_formula,
        reduced_to: None,
    };
    let flange = if net.webs == 1 {
        plate("top flange", "b / (2 t)", flange_ratio / 2.0, 0.38 * root, "0.38 sqrt(E / Fy)")
    } else {
        plate("top flange", "b / t", flange_ratio, 0.57 * 2.0 * root, "0.57 sqrt(4 E / Fy)")
    };
    let (web_depth, in_compression) = web_depths(net, deepest);
    let web = plate(
        "web",
        "max(D, 2 Dc) / tw",
        web_depth.max(in_compression * 2.0) / net.web_thickness,
        (5.7 * root).min(150.0),
        "min(5.7 sqrt(E / Fy), 150)",
    );
    let bottom = &net.bottom_flange;
    let bottom_ratio = bottom.width_in / bottom.thickness_in;
    let mut bottom = if net.webs == 1 {
        plate("bottom flange", "b / (2 t)", bottom_ratio / 2.0, 0.38 * root, "0.38 sqrt(E / Fy)")
    } else {
        plate("bottom flange", "b / t", bottom_ratio, 0.57 * 2.0 * root, "0.57 sqrt(4 E / Fy)")
    };
    // The bottom flange is compressed over the bearings alone, under the ends beyond them. The stress
    // at which a plate buckles falls with the square of its slenderness; at the limit it is above the
    // yield strength, so that this is less than the plate reaches.
    let bottom_share = (bottom.limit * bottom.limit / (bottom_ratio * bottom_ratio)
        * if net.webs == 1 { 4.0 } else { 1.0 })
    .min(1.0);
    bottom.reduced_to = Some(bottom_share).filter(|&share| share < 1.0);
    let mut all = vec![flange, bottom, web];
    if net.webs > 1 {
        return (all, Compression { top: 1.0, bottom: bottom_share, bottom_radius: None });
    }
    let radius = flange_radius(&net.top_flange, net.web_thickness, in_compression);
    let bottom_radius =
        flange_radius(&net.bottom_flange, net.web_thickness, web_depth - in_compression);
    let ratio = unbraced.map(|length| Inches::from(length) / radius);
    let reached =
        ratio.map(|ratio| lateral_strength(ratio, steel.strength, rules.elastic_modulus_ksi));
    all.push(Slenderness {
        part: "unbraced length",
        formula: "Lb / r_t",
        ratio,
        limit: root,
        limit_formula: "sqrt(E / Fy)",
        reduced_to: reached.filter(|&share| share < 1.0),
    });
    // Without an unbraced length the check is unknown and bars; the number is not used then.
    let top = reached.unwrap_or(1.0);
    (all, Compression { top, bottom: bottom_share, bottom_radius: Some(bottom_radius) })
}

/// Depth of the web below the centroid, which hogging compresses, where the web is deepest; none
/// without plates.
pub(super) fn compressed_below(strength: &Strength) -> Option<Inches> {
    let Strength::Plates { net, middle, at_trucks, .. } = strength else { return None };
    let deepest = if middle.depth >= at_trucks.depth { middle } else { at_trucks };
    let (web, above) = web_depths(net, deepest);
    Some(web - above)
}

/// What the flanges of a girder reach in compression, as shares of the yield strength.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Compression {
    /// The top flange between its braces.
    pub top: f64,
    /// The bottom flange as a plate, where it is held sideways.
    pub bottom: f64,
    /// Radius of gyration of the bottom flange, sideways, which a single web does not hold.
    #[serde(rename = "bottom_r_t_in")]
    pub bottom_radius: Option<Inches>,
}

impl Compression {
    /// Both flanges yield before they buckle.
    pub const FULL: Self = Self { top: 1.0, bottom: 1.0, bottom_radius: None };

    /// Share of the yield strength that the bottom flange reaches over a bearing, unbraced over this
    /// length; none where a bolster holds it there.
    #[must_use]
    pub fn over_bearing(&self, unbraced: Option<Feet>, steel: Ksi, elastic: Ksi) -> f64 {
        match (self.bottom_radius, unbraced) {
            (Some(radius), Some(unbraced)) => {
                let ratio = Inches::from(unbraced) / radius;
                self.bottom.min(lateral_strength(ratio, steel, elastic))
            }
            _ => self.bottom,
        }
    }
}

/// Radius of gyration of a flange with a third of the web in compression beside it:
/// `r_t = b / sqrt(12 (1 + Dc tw / (3 b t)))`.
pub(super) fn flange_radius(flange: &Plate, web: Inches, in_compression: Inches) -> Inches {
    let web_part = in_compression.0 * web.0 / (3.0 * flange.width_in.0 * flange.thickness_in.0);
    flange.width_in / (12.0 * (1.0 + web_part)).sqrt()
}

/// Share of the yield strength that a flange reaches before it buckles sideways, for its unbraced
/// length over its radius of gyration.
pub(super) fn lateral_strength(ratio: f64, steel: Ksi, elastic: Ksi) -> f64 {
    let full = (elastic / steel).sqrt();
    let inelastic = std::f64::consts::PI * (elastic / (steel * ELASTIC_SHARE)).sqrt();
    if ratio <= full + TOLERANCE {
        1.0
    } else if ratio <= inelastic {
        1.0 - (1.0 - ELASTIC_SHARE) * (ratio - full) / (inelastic - full)
    } else {
        std::f64::consts::PI.powi(2) * (elastic / steel) / (ratio * ratio)
    }
}

/// Clear depth of the web and the part of it above the centroid, in compression on a simple span.
fn web_depths(net: &NetPlates, section: &Section) -> (Inches, Inches) {
    let thickness = |plate: Option<&Plate>| plate.map_or(Inches(0.0), |p| p.thickness_in);
    let above = net.top_flange.thickness_in + thickness(net.top_cover.as_ref());
    let below = net.bottom_flange.thickness_in + thickness(net.bottom_cover.as_ref());
    let web = section.depth - above - below;
    let compressed = section.depth - section.centroid - above;
    (web, compressed.max(Inches(0.0)).min(web))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::rules::{DEFAULT_RULES, Rules};
    use crate::quantity::Percent;
    use crate::rate::section::tests::plates;
    use crate::rate::steel::YieldBasis;
    use crate::rate::strength::Losses;

    type Pair = (f64, f64);

    fn of(
        webs: u8,
        web: Pair,
        flange: Pair,
        unbraced: Option<f64>,
    ) -> (Vec<Slenderness>, Compression) {
        let measured = plates(webs, web, flange);
        let net = NetPlates::of(&measured).unwrap();
        let middle = net.section(measured.web.width_in);
        let none = Percent(0.0);
        let losses =
            Losses { web_pct: none, top_pct: none, bottom_pct: none, raised_to_inspection: false };
        let strength = Strength::Plates { measured, losses, net, middle, at_trucks: middle };
        let steel = Steel { strength: Ksi(36.0), basis: YieldBasis::Lowest };
        let rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
        slenderness(&strength, &steel, unbraced.map(Feet), &rules.rating)
    }

    /// Limits at 36 ksi by hand: sqrt(29000 / 36) = 28.382; 10.785, 32.356, 150 (161.8 cut off).
    #[test]
    fn limits_at_36_ksi() {
        let (i, _) = of(1, (30.0, 0.5), (12.0, 0.75), Some(6.0));
        let limits: Vec<_> = i.iter().map(|s| (s.limit * 1000.0).round() / 1000.0).collect();
        assert_eq!(limits, [10.785, 10.785, 150.0, 28.382]);
        // 12 / 1.5, 30 / 0.5; r_t = 12 / sqrt(12 (1 + 15 x 0.5 / (3 x 12 x 0.75))) = 3.0645.
        let ratios: Vec<_> = i.iter().map(|s| (s.ratio.unwrap() * 100.0).round() / 100.0).collect();
        assert_eq!(ratios, [8.0, 8.0, 60.0, 23.49]);
        let (boxed, reached) = of(2, (28.5, 0.5), (24.0, 0.75), None);
        assert_eq!((boxed.len(), reached), (3, Compression::FULL));
        assert!((boxed[0].limit - 32.356).abs() < 5e-4);
        assert_eq!(boxed[0].ratio, Some(32.0));
        assert_eq!(boxed[0].keeps(), Some(true));
    }

    #[test]
    fn a_slender_plate_fails_and_an_unknown_unbraced_length_bars() {
        let outcome = |webs, web, flange, unbraced, which: usize| {
            of(webs, web, flange, unbraced).0[which].outcome()
        };
        assert_eq!(outcome(1, (30.0, 0.5), (12.0, 0.75), None, 3), Outcome::Unknown);
        assert_eq!(outcome(1, (60.0, 0.25), (12.0, 0.75), Some(6.0), 2), Outcome::Fail);
        assert_eq!(outcome(1, (30.0, 0.5), (20.0, 0.5), Some(6.0), 0), Outcome::Fail);
        assert_eq!(outcome(2, (28.5, 0.5), (24.0, 0.7), None, 0), Outcome::Fail);
    }

    /// At 36 ksi: full strength to Lb / r_t = 28.382; 0.7 at pi sqrt(29000 / 25.2) = 106.572; half
    /// way between, 67.477, 0.85; at 120, pi2 x 805.56 / 14400 = 0.5521. The straight line and the
    /// curve meet at 0.7.
    #[test]
    fn an_unbraced_single_web_loses_strength() {
        let share = |ratio| lateral_strength(ratio, Ksi(36.0), Ksi(29_000.0));
        for (ratio, expected) in [
            (10.0, 1.0),
            (28.38, 1.0),
            (67.477, 0.85),
            (106.57, 0.7),
            (106.58, 0.7),
            (120.0, 0.5521),
        ] {
            assert!((share(ratio) - expected).abs() < 1e-4, "{ratio}: {}", share(ratio));
        }
        // 20 ft over 3.0645 in is 78.32: 1 - 0.3 (78.32 - 28.38) / 78.19 = 0.8084.
        let (all, reached) = of(1, (30.0, 0.5), (12.0, 0.75), Some(20.0));
        assert!((reached.top - 0.8084).abs() < 1e-4);
        assert_eq!(all[3].outcome(), Outcome::Caution);
        assert_eq!(all[3].reduced_to, Some(reached.top));
    }

    /// Flange 20 x 0.5 in: 20 / (2 x 0.5) = 20 over the limit of 10.785; the top flange fails, the
    /// bottom flange counts with (10.785 / 20)2 = 0.2908 over the bearing. A box, 24 x 0.7 in: 34.286
    /// over 32.356, (32.356 / 34.286)2 = 0.8906.
    #[test]
    fn a_slender_bottom_flange_counts_with_less_over_the_bearing() {
        let (all, reached) = of(1, (30.0, 0.5), (20.0, 0.5), Some(6.0));
        assert_eq!((all[1].part, all[1].outcome()), ("bottom flange", Outcome::Caution));
        assert!((reached.bottom - 0.2908).abs() < 1e-4, "{}", reached.bottom);
        let (_, boxed) = of(2, (28.5, 0.5), (24.0, 0.7), None);
        assert!((boxed.bottom - 0.8906).abs() < 1e-4, "{}", boxed.bottom);
        let share = |reached: &Compression, unbraced: Option<f64>| {
            reached.over_bearing(unbraced.map(Feet), Ksi(36.0), Ksi(29_000.0))
        };
        assert_eq!(share(&boxed, Some(40.0)), boxed.bottom);
        // r_t = 3.0645 in: 20 ft are 78.32, 0.8084 as for the top flange; 6 ft are 23.49, full.
        let (_, stout) = of(1, (30.0, 0.5), (12.0, 0.75), Some(6.0));
        assert_eq!((share(&stout, None), share(&stout, Some(6.0))), (1.0, 1.0));
        assert!((share(&stout, Some(20.0)) - 0.8084).abs() < 1e-4);
    }
}
