//! What shear and lateral buckling ask of a main girder of which less is known: the least area of its
//! webs, and the greatest length of its top flange without support.

use super::modulus::BENDING;
use crate::check::Code;
use crate::model::car::{Car, GirderPlates, Plate};
use crate::model::rules::Rules;
use crate::quantity::{Feet, Inches, Percent, Ratio};
use crate::rate::capacity::web_buckling;
use crate::rate::section::NetPlates;
use crate::rate::slender::Compression;
use crate::rate::{Girder, Losses, Rating, SpanLoads, Strength, Unrateable, rate_checks_with};

/// Greatest area of webs looked at, square inches.
const MOST: u32 = 200;
/// Unbraced lengths are told to the tenth of a foot.
const TENTH: f64 = 0.1;

/// Webs that carry the shear of a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastWebs {
    /// Least area of all webs together, whole square inches.
    pub area: u32,
    /// Greatest depth over thickness at which a web of that area yields before it buckles.
    pub slenderness: f64,
}

impl LeastWebs {
    /// The same in words.
    #[must_use]
    pub fn words(self) -> String {
        let Self { area, slenderness } = self;
        format!(
            "webs of at least {area} in2 in all, each at most {slenderness} times as deep as thick"
        )
    }
}

/// The least webs with which shear is no worse than bending for any vehicle, up to a rating factor of 1:
/// with them neither a check nor a sign changes. None: the car cannot be rated, or no webs are enough.
#[must_use]
pub fn least_webs(
    car: &Car,
    loads: &Result<SpanLoads, Unrateable>,
    rules: &Rules,
) -> Option<LeastWebs> {
    let (girder, loads) = (Girder::of(car, rules).ok()?, loads.as_ref().ok()?);
    let stated = Rating::with(&girder, loads, rules);
    let (steel, elastic) = (girder.steel.strength, rules.rating.elastic_modulus_ksi);
    let slenderness =
        (1..=200).map(f64::from).take_while(|of| web_buckling(*of, steel, elastic) >= 1.0);
    let slenderness = slenderness.last()?;
    let enough = |area: u32| {
        let depth = (f64::from(area) * slenderness / 2.0).sqrt();
        let Some(girder) = with_webs(&girder, depth, depth / slenderness) else { return false };
        no_worse(&stated, &Rating::with(&girder, loads, rules), rules)
    };
    (1..=MOST)
        .collect::<Vec<_>>()
        .partition_point(|area| !enough(*area))
        .try_into()
        .ok()
        .and_then(|below: u32| (below < MOST).then_some(LeastWebs { area: below + 1, slenderness }))
}

/// The girder with two webs of this depth and thickness between flanges that never decide.
fn with_webs(girder: &Girder, depth: f64, thickness: f64) -> Option<Girder> {
    let none = Percent(0.0);
    let flange = Plate { width_in: Inches(100.0), thickness_in: Inches(10.0) };
    let measured = GirderPlates {
        webs: 2,
        web: Plate { width_in: Inches(depth), thickness_in: Inches(thickness) },
        web_depth_at_trucks_in: None,
        top_flange: flange,
        bottom_flange: flange,
        top_cover: None,
        bottom_cover: None,
        web_loss_pct: none,
        top_loss_pct: none,
        bottom_loss_pct: none,
    };
    let net = NetPlates::of(&measured).ok()?;
    let middle = net.section(Inches(depth));
    let losses =
        Losses { web_pct: none, top_pct: none, bottom_pct: none, raised_to_inspection: false };
    let strength = Strength::Plates { measured, losses, net, middle, at_trucks: middle };
    let compression = Compression::FULL;
    Some(Girder { strength, compression, slenderness: Vec::new(), ..girder.clone() })
}

/// Whether no vehicle rates lower by shear than by bending, or both reach 1.
fn no_worse(stated: &Rating, webs: &Rating, rules: &Rules) -> bool {
    let up_to_one = |factor: Ratio| factor.min(Ratio(1.0));
    let reaches =
        |found: Ratio, needed: Ratio| found.0 >= up_to_one(needed).0 - crate::check::TOLERANCE;
    let both = (rules.rating.allowable_stress, rules.rating.load_and_resistance);
    let any = !both.0 && !both.1;
    let vehicles = stated.vehicles.iter().zip(&webs.vehicles).all(|(stated, webs)| {
        webs.shear.as_ref().is_some_and(|shear| {
            let (bending, stress) = (&stated.bending, shear.by_allowable().factor);
            let by_stress = reaches(stress, bending.by_allowable().factor);
            let by_factors = reaches(shear.by_factored().factor, bending.by_factored().factor);
            (by_stress || !(both.0 || any)) && (by_factors || !(both.1 || any))
        })
    });
    let legal = stated.legal.iter().zip(&webs.legal);
    vehicles && legal.into_iter().all(|(stated, webs)| reaches(webs.least, stated.least))
}

/// The greatest length of the top flange without support with which nothing of bending or a posting
/// bars, to the tenth of a foot down; up to the car's length. None: no length is short enough.
#[must_use]
pub fn greatest_unbraced(
    car: &Car,
    loads: &Result<SpanLoads, Unrateable>,
    rules: &Rules,
) -> Option<Feet> {
    let passes = |tenths: u32| {
        let mut trial = car.clone();
        trial.girder.unbraced_ft = Some(Feet(f64::from(tenths) * TENTH));
        let girder = Girder::of(&trial, rules);
        let checks = rate_checks_with(girder.as_ref(), loads.as_ref(), rules);
        checks.iter().any(|check| check.code == Code::Slenderness)
            && !checks.iter().any(|check| BENDING.contains(&check.code) && check.outcome.bars())
    };
    let most = (car.length?.0 / TENTH).floor() as u32;
    let tenths: Vec<u32> = (1..=most).collect();
    let passing = tenths.partition_point(|tenths| passes(*tenths));
    let greatest = tenths.get(passing.checked_sub(1)?)?;
    Some(Feet(f64::from(*greatest) * TENTH))
}
