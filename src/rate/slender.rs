//! Slender plates: whether the girder can reach the yield strength that the rating counts on.
//!
//! Limits from AASHTO LRFD Bridge Design Specifications (from memory): flange of an I, 6.10.8.2.2,
//! half width over thickness at most 0.38 sqrt(E / Fy); flange of a box, 6.11.8.2, width between the
//! webs over thickness at most 0.57 sqrt(4 E / Fy); web, 6.10.6.2.3 and 6.10.2.1.1, twice the depth
//! in compression over thickness at most 5.7 sqrt(E / Fy) and at most 150; unbraced length of an I,
//! 6.10.8.2.3, at most r_t sqrt(E / Fy). The whole width of a box's flange is taken between its
//! webs, since nobody records where the webs stand: that is on the safe side.

use serde::Serialize;

use super::girder::Strength;
use super::section::{NetPlates, Section};
use super::steel::Steel;
use crate::check::Outcome;
use crate::model::rules::RatingRules;
use crate::quantity::{Feet, Inches};

/// One slenderness, measured against the limit up to which the full yield strength counts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Slenderness {
    /// Which plate.
    pub part: &'static str,
    /// What is divided by what, in symbols.
    pub formula: &'static str,
    /// Measured; none where a measure is missing.
    pub ratio: Option<f64>,
    /// The limit.
    pub limit: f64,
    /// The limit in symbols.
    pub limit_formula: &'static str,
}

impl Slenderness {
    /// Whether the limit is kept; none where it cannot be said.
    #[must_use]
    pub fn keeps(&self) -> Option<bool> {
        self.ratio.map(|ratio| ratio <= self.limit + crate::check::TOLERANCE)
    }

    /// A slender plate fails: the rating counts on a strength that it cannot reach.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        match self.keeps() {
            Some(true) => Outcome::Pass,
            Some(false) => Outcome::Fail,
            None => Outcome::Unknown,
        }
    }
}

/// The slenderness checks of a girder; none for a stated section modulus. The webs are taken at
/// mid-span or at the wheel trucks, where they are deeper.
#[must_use]
pub(super) fn slenderness(
    strength: &Strength,
    steel: &Steel,
    unbraced: Option<Feet>,
    rules: &RatingRules,
) -> Vec<Slenderness> {
    let Strength::Plates { net, middle, at_trucks, .. } = strength else {
        return Vec::new();
    };
    let deepest = if middle.depth >= at_trucks.depth { middle } else { at_trucks };
    let root = (rules.elastic_modulus_ksi / steel.strength).sqrt();
    let top = &net.top_flange;
    let flange_ratio = top.width_in / top.thickness_in;
    let flange = if net.webs == 1 {
        Slenderness {
            part: "top flange",
            formula: "b / (2 t)",
            ratio: Some(flange_ratio / 2.0),
            limit: 0.38 * root,
            limit_formula: "0.38 sqrt(E / Fy)",
        }
    } else {
        Slenderness {
            part: "top flange",
            formula: "b / t",
            ratio: Some(flange_ratio),
            limit: 0.57 * 2.0 * root,
            limit_formula: "0.57 sqrt(4 E / Fy)",
        }
    };
    let (web_depth, in_compression) = web_depths(net, deepest);
    let web = Slenderness {
        part: "web",
        formula: "max(D, 2 Dc) / tw",
        ratio: Some(web_depth.max(in_compression * 2.0) / net.web_thickness),
        limit: (5.7 * root).min(150.0),
        limit_formula: "min(5.7 sqrt(E / Fy), 150)",
    };
    let mut all = vec![flange, web];
    if net.webs == 1 {
        // r_t of the compression flange with a third of the web in compression.
        let web_part =
            in_compression.0 * net.web_thickness.0 / (3.0 * top.width_in.0 * top.thickness_in.0);
        let radius = top.width_in / (12.0 * (1.0 + web_part)).sqrt();
        all.push(Slenderness {
            part: "unbraced length",
            formula: "Lb / r_t",
            ratio: unbraced.map(|length| Inches::from(length) / radius),
            limit: root,
            limit_formula: "sqrt(E / Fy)",
        });
    }
    all
}

/// Clear depth of the web and the part of it above the centroid, in compression on a simple span.
fn web_depths(net: &NetPlates, section: &Section) -> (Inches, Inches) {
    let thickness =
        |plate: Option<&crate::model::car::Plate>| plate.map_or(Inches(0.0), |p| p.thickness_in);
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
    use crate::quantity::Ksi;
    use crate::quantity::Percent;
    use crate::rate::girder::Losses;
    use crate::rate::section::tests::plates;
    use crate::rate::steel::YieldBasis;

    fn of(
        webs: u8,
        web: (f64, f64),
        flange: (f64, f64),
        unbraced: Option<f64>,
    ) -> Vec<Slenderness> {
        let measured = plates(webs, web, flange);
        let net = NetPlates::of(&measured).unwrap();
        let middle = net.section(measured.web.width_in);
        let none = Percent(0.0);
        let losses =
            Losses { web_pct: none, top_pct: none, bottom_pct: none, raised_to_inspection: false };
        let strength = Strength::Plates { measured, losses, net, middle, at_trucks: middle };
        let steel = Steel { strength: Ksi(36.0), basis: YieldBasis::Lowest };
        let rules: Rules = toml::from_str(DEFAULT_RULES).unwrap();
        slenderness(&strength, &steel, unbraced.map(Feet), &rules.rating)
    }

    /// Limits at 36 ksi by hand: sqrt(29000 / 36) = 28.382; 10.785, 32.356, 150 (161.8 cut off).
    #[test]
    fn limits_at_36_ksi() {
        let i = of(1, (30.0, 0.5), (12.0, 0.75), Some(6.0));
        let limits: Vec<_> = i.iter().map(|s| (s.limit * 1000.0).round() / 1000.0).collect();
        assert_eq!(limits, [10.785, 150.0, 28.382]);
        // 12 / 1.5, 30 / 0.5; r_t = 12 / sqrt(12 (1 + 15 x 0.5 / (3 x 12 x 0.75))) = 3.0645.
        let ratios: Vec<_> = i.iter().map(|s| (s.ratio.unwrap() * 100.0).round() / 100.0).collect();
        assert_eq!(ratios, [8.0, 60.0, 23.49]);
        let boxed = of(2, (28.5, 0.5), (24.0, 0.75), None);
        assert_eq!(boxed.len(), 2);
        assert!((boxed[0].limit - 32.356).abs() < 5e-4);
        assert_eq!(boxed[0].ratio, Some(32.0));
        assert_eq!(boxed[0].keeps(), Some(true));
    }

    #[test]
    fn a_single_web_without_an_unbraced_length_cannot_be_said() {
        assert_eq!(of(1, (30.0, 0.5), (12.0, 0.75), None)[2].keeps(), None);
        assert_eq!(of(1, (30.0, 0.5), (12.0, 0.75), Some(20.0))[2].keeps(), Some(false));
        assert_eq!(of(1, (60.0, 0.25), (12.0, 0.75), Some(6.0))[1].keeps(), Some(false));
        assert_eq!(of(1, (30.0, 0.5), (20.0, 0.5), Some(6.0))[0].keeps(), Some(false));
    }
}
