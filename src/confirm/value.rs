//! The value that a fact must have, the car's neighbors as they are.

use super::modulus::{heaviest, least_modulus, least_of_member};
use super::webs::{LeastWebs, greatest_unbraced, least_webs};
use crate::check::{Code, Limit, TOLERANCE, Value};
use crate::model::car::{Car, MemberGroup};
use crate::model::crossing::Crossing;
use crate::model::inputs::Inputs;
use crate::model::inventory::Inventory as C;
use crate::model::plan::{Deck, PlacedCar};
use crate::model::rules::{JointType, Rules};
use crate::price;
use crate::quantity::{Feet, Inches, Kips};
use crate::rate::local::Part;
use crate::rate::{SpanLoads, Unrateable};

/// A car in its place.
pub(super) struct Place<'a> {
    inputs: &'a Inputs,
    deck: &'a Deck,
    place: usize,
    loads: &'a Result<SpanLoads, Unrateable>,
}

/// Ends of what is allowed, either of which may be open.
#[derive(Clone, Copy, Default)]
struct Window {
    least: Option<f64>,
    most: Option<f64>,
}

impl Window {
    fn at_least(mut self, limit: f64) -> Self {
        self.least = Some(self.least.map_or(limit, |least| least.max(limit)));
        self
    }

    fn at_most(mut self, limit: f64) -> Self {
        self.most = Some(self.most.map_or(limit, |most| most.min(limit)));
        self
    }

    fn limit(self, value: impl Fn(f64) -> Value) -> Limit {
        match (self.least, self.most) {
            (Some(least), Some(most)) => Limit::Between(value(least), value(most)),
            (Some(least), None) => Limit::AtLeast(value(least)),
            (None, Some(most)) => Limit::AtMost(value(most)),
            (None, None) => Limit::None,
        }
    }
}

impl<'a> Place<'a> {
    pub fn new(
        inputs: &'a Inputs,
        deck: &'a Deck,
        place: usize,
        loads: &'a Result<SpanLoads, Unrateable>,
    ) -> Self {
        Self { inputs, deck, place, loads }
    }

    /// What this fact must be.
    pub fn value(&self, column: C) -> Limit {
        let Some(placed) = self.deck.cars.get(self.place) else { return Limit::None };
        let car = self.inputs.car(placed.car);
        match column {
            C::Kind => of_check(placed, Code::CarKind, ""),
            C::Section => self.section(car),
            C::Wrecked => of_check(placed, Code::WreckHistory, ""),
            C::MainGirder => member(placed, MemberGroup::MainGirder),
            C::ExteriorGirders => member(placed, MemberGroup::ExteriorGirders),
            C::Bolsters => member(placed, MemberGroup::Bolsters),
            C::CrossMembers => member(placed, MemberGroup::CrossMembers),
            C::Stringers => member(placed, MemberGroup::Stringers),
            C::Length => self.length(),
            C::TruckCenters => self.truck_centers(),
            C::Width => self.width(),
            C::Camber => self.camber(),
            C::Modulus => self.modulus(car),
            // Where plates are known they carry; else they are asked for shear and buckling.
            C::Webs if car.girder.plates.is_some() => self.modulus(car),
            C::Webs => self.webs(car),
            C::Unbraced => self.unbraced(car),
            C::StringerModulus => self.local(car, Part::Stringer),
            C::CrossMemberModulus => self.local(car, Part::CrossMember),
            C::ExteriorDepth => self.exterior_depth(),
            C::Weight => self.weight(car),
            C::Deck => Limit::words("it stays"),
            C::DeckCondition => Limit::words("sound: it stays"),
            C::Lead => Limit::words("lead-free"),
            C::Available => of_check(placed, Code::NeedDate, ""),
            _ => Limit::None,
        }
    }

    fn rules(&self) -> &'a Rules {
        &self.inputs.rules
    }

    fn crossing(&self) -> &'a Crossing {
        self.inputs.crossing(self.deck.site.crossing)
    }

    /// The other cars of the deck.
    fn others(&self) -> impl Iterator<Item = &'a Car> + '_ {
        let others = self.deck.cars.iter().enumerate().filter(|(at, _)| *at != self.place);
        others.map(|(_, placed)| self.inputs.car(placed.car))
    }

    /// Within a tolerance of every other car.
    fn beside(&self, of: fn(&Car) -> Option<f64>, tolerance: f64) -> Window {
        self.others().filter_map(of).fold(Window::default(), |window, other| {
            window.at_least(other - tolerance).at_most(other + tolerance)
        })
    }

    fn joint(&self) -> Option<&'a JointType> {
        self.rules().joint_type(&self.deck.joint.as_ref()?.name)
    }

    /// What each car of its load may measure, where it comes with others.
    fn of_load(&self) -> Option<price::EachAtMost> {
        let load = self.deck.shared_load(self.place)?;
        price::each_at_most(self.inputs, self.deck.site, load.len())
    }

    fn section(&self, car: &Car) -> Limit {
        match (&car.section, self.others().next()) {
            (Some(section), Some(_)) => Limit::words(format!("{section}, as its neighbors")),
            _ => Limit::None,
        }
    }

    fn length(&self) -> Limit {
        let tolerance = self.rules().group.length_tolerance_ft.0;
        let most = self.of_load().map(|each| each.length).or(self.crossing().haul_length_limit);
        let window = self.beside(|car| car.length.map(|length| length.0), tolerance);
        most.iter().fold(window, |window, most| window.at_most(most.0)).limit(feet)
    }

    fn truck_centers(&self) -> Limit {
        let tolerance = self.rules().group.truck_centers_tolerance_ft.0;
        let window = self.beside(|car| car.truck_centers.map(|centers| centers.0), tolerance);
        window.at_least(self.deck.span.0).limit(feet)
    }

    /// With the others as wide as they are and any gap that the joint allows.
    fn width(&self) -> Limit {
        let others: f64 = self.others().filter_map(|car| car.width).map(|width| width.0).sum();
        let gaps = self.deck.cars.len().saturating_sub(1) as f64 / 12.0;
        let gap = |of: fn(&JointType) -> Inches| self.joint().map_or(0.0, |joint| of(joint).0);
        let required = self.deck.required_width.0;
        let allowed = required + self.rules().group.width_allowance_ft.0;
        let mut window = Window::default()
            .at_least(required - others - gaps * gap(|joint| joint.gap_max_in))
            .at_most(allowed - others - gaps * gap(|joint| joint.gap_min_in));
        if let Some(limit) = self.crossing().haul_width_limit {
            window = window.at_most(limit.0);
        }
        window.limit(feet)
    }

    fn camber(&self) -> Limit {
        let others = self.others().filter_map(|car| car.camber).map(|camber| camber.0);
        let (least, most) = camber_window(others.collect(), self.rules());
        Window { least: Some(least), most }.limit(inches)
    }

    fn webs(&self, car: &Car) -> Limit {
        let least = least_webs(car, self.loads, self.rules());
        Limit::words(
            least.map_or_else(|| "shear at least as bending, R04".to_owned(), LeastWebs::words),
        )
    }

    fn unbraced(&self, car: &Car) -> Limit {
        let most = greatest_unbraced(car, self.loads, self.rules());
        most.map_or_else(
            || Limit::words("as short as R09 asks"),
            |most| Limit::AtMost(Value::Feet(most)),
        )
    }

    fn exterior_depth(&self) -> Limit {
        let tolerance = self.rules().group.exterior_depth_tolerance_in.0;
        let window = self.beside(|car| car.exterior_depth.map(|depth| depth.0), tolerance);
        let least = self.joint().map(|joint| joint.exterior_depth_min_in.0);
        least.iter().fold(window, |window, least| window.at_least(*least)).limit(inches)
    }

    /// For the route, its load and the hook; and not so much that the girder does not carry it.
    fn weight(&self, car: &Car) -> Limit {
        let crossing = self.crossing();
        let on_road = self.of_load().map(|each| each.weight).or(crossing.haul_weight_limit);
        let factor = self.rules().screen.pick_weight_factor;
        let on_hook = crossing.crane_limit.map(|limit| Kips(limit.0 / factor));
        let Some(most) = on_road.into_iter().chain(on_hook).reduce(Kips::min) else {
            return Limit::None;
        };
        let carried = heaviest(car, most, self.loads, self.rules());
        Limit::AtMost(Value::Kips(carried.unwrap_or(most)))
    }

    fn modulus(&self, car: &Car) -> Limit {
        let least = least_modulus(car, self.loads, self.rules());
        least.map_or(Limit::None, |least| Limit::AtLeast(Value::CubicInches(least)))
    }

    fn local(&self, car: &Car, part: Part) -> Limit {
        let least = least_of_member(car, part, self.loads, self.rules());
        least.map_or_else(
            || Limit::words("rating factor at least 1, R10"),
            |least| Limit::AtLeast(Value::CubicInches(least)),
        )
    }
}

/// Ends of the camber that a car may have beside these: within the spread of all, and with no step
/// between neighbors that is too great. Cars lie in the order of their cambers, so that a step can be too
/// great beyond the least and the greatest of the others, and where the car has to lie between two.
#[must_use]
pub fn camber_window(mut others: Vec<f64>, rules: &Rules) -> (f64, Option<f64>) {
    let (spread, step) = (rules.group.camber_tolerance_in.0, rules.group.camber_step_in.0);
    let sag = rules.screen.camber_least_in.0;
    others.sort_by(f64::total_cmp);
    let (Some(low), Some(high)) = (others.first(), others.last()) else { return (sag, None) };
    let (mut least, mut most) = ((high - spread).max(low - step), (low + spread).min(high + step));
    for pair in others.windows(2).filter(|pair| pair[1] - pair[0] > step + TOLERANCE) {
        (least, most) = (least.max(pair[1] - step), most.min(pair[0] + step));
    }
    (least.max(sag), Some(most))
}

fn feet(number: f64) -> Value {
    Value::Feet(Feet(number))
}

fn inches(number: f64) -> Value {
    Value::Inches(Inches(number))
}

fn member(placed: &PlacedCar, group: MemberGroup) -> Limit {
    let code = if group.is_primary() { Code::PrimaryMembers } else { Code::SecondaryMembers };
    let of_group = placed.checks.iter().find(|c| c.code == code && c.part == group.word());
    match of_group.map(|check| &check.limit) {
        // Loss is asked for by a number; the others in words.
        Some(Limit::AtMost(most)) => Limit::words(format!("sound, or corroded at most {most}")),
        Some(limit) => limit.clone(),
        None => Limit::None,
    }
}

/// What a check of the car requires.
fn of_check(placed: &PlacedCar, code: Code, part: &str) -> Limit {
    let check = placed.checks.iter().find(|check| check.code == code && check.part == part);
    check.map_or(Limit::None, |check| check.limit.clone())
}
