//! How thin the plates of a main girder may measure for the car to stay where it lies: what an inspector
//! compares his calipers with.

use super::modulus::rated;
use crate::check::{Check, Code, TOLERANCE, Value};
use crate::model::car::{Car, GirderPlates, Plate};
use crate::model::inputs::Inputs;
use crate::model::plan::Deck;
use crate::quantity::{Inches, Percent};
use crate::rate::{SpanLoads, Stiffness, Unrateable};

/// A plate of the main girder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlateOf {
    /// One web.
    Web,
    /// The top flange.
    TopFlange,
    /// The bottom flange.
    BottomFlange,
    /// The cover plate on the top flange.
    TopCover,
    /// The cover plate under the bottom flange.
    BottomCover,
}

impl PlateOf {
    /// All of them, from the web outwards.
    pub const ALL: [Self; 5] =
        [Self::Web, Self::TopFlange, Self::BottomFlange, Self::TopCover, Self::BottomCover];

    /// Its name.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Web => "web",
            Self::TopFlange => "top flange",
            Self::BottomFlange => "bottom flange",
            Self::TopCover => "top cover plate",
            Self::BottomCover => "bottom cover plate",
        }
    }

    fn in_plates(self, plates: &mut GirderPlates) -> Option<&mut Plate> {
        match self {
            Self::Web => Some(&mut plates.web),
            Self::TopFlange => Some(&mut plates.top_flange),
            Self::BottomFlange => Some(&mut plates.bottom_flange),
            Self::TopCover => plates.top_cover.as_mut(),
            Self::BottomCover => plates.bottom_cover.as_mut(),
        }
    }

    fn loss(self, plates: &GirderPlates) -> Percent {
        match self {
            Self::Web => plates.web_loss_pct,
            Self::TopFlange | Self::TopCover => plates.top_loss_pct,
            Self::BottomFlange | Self::BottomCover => plates.bottom_loss_pct,
        }
    }
}

/// A plate with its least thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastThickness {
    /// Which.
    pub plate: PlateOf,
    /// What the list makes of it, losses off.
    pub listed: Inches,
    /// The least that it may measure, steel that is left: in hundredths of an inch rounded up, or as
    /// listed.
    pub least: Inches,
}

/// The least thickness of each plate of a placed car, every other plate as listed: thinner, and a
/// check of the rating bars, the weight sign must be lower, or the girders of the deck are no longer
/// of one stiffness. None of a car without plates.
#[must_use]
pub fn least_thicknesses(inputs: &Inputs, deck: &Deck, place: usize) -> Vec<LeastThickness> {
    let Some(placed) = deck.cars.get(place) else { return Vec::new() };
    let car = inputs.car(placed.car);
    let Some(plates) = &car.girder.plates else { return Vec::new() };
    let loads = super::modulus::loads(inputs, deck.site);
    let others = deck.cars.iter().enumerate().filter(|(at, _)| *at != place);
    let trial = Trial {
        inputs,
        car,
        loads: &loads,
        signs: signs(
            rated(car, &loads, &inputs.rules)
                .iter()
                .chain(deck.cars.iter().flat_map(|placed| &placed.checks)),
        ),
        others: others.filter_map(|(_, other)| Stiffness::of(inputs.car(other.car))).collect(),
    };
    PlateOf::ALL
        .into_iter()
        .filter_map(|plate| {
            let listed = plate.in_plates(&mut plates.clone())?.thickness_in;
            let left = 1.0 - plate.loss(plates).fraction();
            let net = listed * left;
            let holds = |net: Inches| trial.holds(plate, Inches(net.0 / left));
            let most = (net.0 * 100.0 + TOLERANCE).floor() as u32;
            // Where not even the hundredth below the listed thickness holds, it is that itself.
            let least = match least(most, |hundredths| holds(hundredth(hundredths))) {
                Some(least) => hundredth(least),
                None if holds(net) => net,
                None => return None,
            };
            Some(LeastThickness { plate, listed: net, least })
        })
        .collect()
}

fn hundredth(number: u32) -> Inches {
    Inches(f64::from(number) / 100.0)
}

/// A car on its span, with what must stay as it is.
struct Trial<'a> {
    inputs: &'a Inputs,
    car: &'a Car,
    loads: &'a Result<SpanLoads, Unrateable>,
    /// What the deck's sign says of each vehicle.
    signs: Vec<(String, f64)>,
    others: Vec<Stiffness>,
}

impl Trial<'_> {
    /// Whether the car may lie here with this plate so thick, before its loss.
    fn holds(&self, plate: PlateOf, thickness: Inches) -> bool {
        let mut car = self.car.clone();
        let plates = car.girder.plates.as_mut();
        let Some(of) = plates.and_then(|plates| plate.in_plates(plates)) else { return false };
        of.thickness_in = thickness;
        let checks = rated(&car, self.loads, &self.inputs.rules);
        !checks.iter().any(|check| check.outcome.bars())
            && self.sign_stays(&signs(checks.iter()))
            && self.stiffness_stays(&car)
    }

    /// No vehicle has less on its sign, and none has a sign that had none.
    fn sign_stays(&self, now: &[(String, f64)]) -> bool {
        let before = |name: &str| self.signs.iter().find(|(other, _)| other == name);
        now.iter().all(|(name, tons)| before(name).is_some_and(|(_, before)| tons >= before))
    }

    /// Whether the stiffest girder of the deck is still no more over the least stiff than G13 and
    /// G14 allow.
    fn stiffness_stays(&self, car: &Car) -> bool {
        let Some(own) = Stiffness::of(car) else { return false };
        let most = 1.0 + self.inputs.rules.group.stiffness_tolerance_pct.fraction();
        let alike = |a: f64, b: f64| a.max(b) <= a.min(b) * most + TOLERANCE;
        self.others.iter().all(|other| match (own.inertia, other.inertia) {
            (Some(own), Some(other)) => alike(own.0, other.0),
            _ => alike(own.modulus.0, other.modulus.0),
        })
    }
}

/// The least tons of each vehicle that has a sign.
fn signs<'a>(checks: impl Iterator<Item = &'a Check>) -> Vec<(String, f64)> {
    let mut signs: Vec<(String, f64)> = Vec::new();
    for check in checks.filter(|c| matches!(c.code, Code::Posting | Code::LegalTrucks)) {
        let Value::Tons(tons) = check.measured else { continue };
        match signs.iter_mut().find(|(vehicle, _)| *vehicle == check.part) {
            Some((_, least)) => *least = least.min(tons.0),
            None => signs.push((check.part.clone(), tons.0)),
        }
    }
    signs
}

/// The least number of hundredths up to the most with which it holds; none where not even that does.
fn least(most: u32, holds: impl Fn(u32) -> bool) -> Option<u32> {
    if most == 0 || !holds(most) {
        return None;
    }
    let (mut low, mut high) = (0, most);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if holds(middle) { high = middle } else { low = middle }
    }
    Some(high)
}
