//! From the inputs to the numbers that the choice searches with.

use std::collections::{BTreeMap, BTreeSet};

use super::candidate::{Candidate, Fit};
use super::loads::SharedHaul;
use super::matching::Figures;
use super::rule::{DeckRule, JointOption};
use crate::model::ends::laid;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::width::admitted;
use crate::price;
use crate::quantity::{Cents, Feet, Inches};

/// A number for each section name of the inventory; equal numbers, equal sections. Names are told
/// apart to the letter: two spellings of one section do not match until somebody makes them one.
///
/// And a number for each name of cars kept apart, in which capitals do not count: two spellings of
/// one name still keep cars apart.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sections {
    numbers: BTreeMap<String, u32>,
    apart: BTreeMap<String, u32>,
}

impl Sections {
    /// The sections of all cars, numbered in the order of their names.
    #[must_use]
    pub fn of(inputs: &Inputs) -> Self {
        let apart = inputs.cars.iter().filter_map(|car| car.apart.as_deref());
        Self {
            numbers: numbered(inputs.cars.iter().filter_map(|car| car.section.clone())),
            apart: numbered(apart.map(str::to_lowercase)),
        }
    }

    /// The number of a name of cars kept apart; none if no car of the inventory has it.
    #[must_use]
    pub fn apart(&self, name: &str) -> Option<u32> {
        self.apart.get(&name.to_lowercase()).copied()
    }

    /// The number of a section; none if no car of the inventory is of it.
    #[must_use]
    pub fn number(&self, name: &str) -> Option<u32> {
        self.numbers.get(name).copied()
    }

    /// The name of a section's number.
    #[must_use]
    pub fn name(&self, number: u32) -> Option<&str> {
        self.numbers.iter().find(|&(_, &n)| n == number).map(|(name, _)| name.as_str())
    }
}

/// Names with their numbers, in their order.
fn numbered(names: impl Iterator<Item = String>) -> BTreeMap<String, u32> {
    let names: BTreeSet<String> = names.collect();
    names.into_iter().zip(0..).collect()
}

/// The rule by which cars match on one span.
#[must_use]
pub fn deck_rule(inputs: &Inputs, site: Site) -> DeckRule {
    let crossing = inputs.crossing(site.crossing);
    let rules = &inputs.rules;
    let widths = admitted(rules, crossing);
    let lengths = inputs.cars.iter().filter_map(|car| laid(&rules.screen, crossing, site, car));
    // Lengths are not negative, so their bits rise with them.
    let lengths: BTreeSet<u64> = lengths.map(|length| length.0.to_bits()).collect();
    let lengths: Vec<Feet> = lengths.into_iter().map(|bits| Feet(f64::from_bits(bits))).collect();
    // Contingency and engineering are taken of each joint and of the rails of a span.
    let costs = |of: &dyn Fn(Feet) -> Cents| -> Vec<Cents> {
        let costs = lengths.iter().map(|length| of(*length));
        costs.map(|cost| price::with_overhead(&rules.overhead, cost)).collect()
    };
    DeckRule {
        most_abreast: usize::from(crossing.most_abreast),
        width_least: widths.least,
        width_most: widths.most,
        tolerances: Figures::of_rules(&rules.group),
        step_most: rules.group.camber_step_in,
        joints: rules
            .joint
            .iter()
            .map(|joint| JointOption {
                gap_min: joint.gap_min_in,
                gap_max: joint.gap_max_in,
                depth_min: joint.exterior_depth_min_in,
                costs: costs(&|length| price::joint_cost(joint, length)),
            })
            .collect(),
        rails: costs(&|length| price::rail_cost(&rules.rail, length)),
        lengths,
    }
}

/// A car reduced to what matching and cost on one span depend on; `None` where one of these is
/// unknown. It does not ask whether the car passes: only cars that pass every check belong in a
/// search.
#[must_use]
pub fn candidate(
    inputs: &Inputs,
    car: CarIx,
    site: Site,
    sections: &Sections,
) -> Option<Candidate> {
    let row = inputs.car(car);
    let alone = inputs.crossing(site.crossing).most_abreast == 1;
    let most = if alone { 1 } else { price::most_on_trailer(inputs, car, site) };
    let load = |cars| price::load_cost(inputs, car, site, cars);
    let (cost, haul) = if most > 1 {
        let shared: Option<Vec<_>> = (2..=most).map(load).collect();
        let haul = SharedHaul { from: row.yard.0 as u32, alone: load(1)?, shared: shared? };
        (price::car_cost_apart_from_haul(inputs, car, site)?, Some(haul))
    } else {
        (price::car_cost(inputs, car, site)?, None)
    };
    Some(Candidate {
        offer: car.0,
        cost,
        fit: Fit {
            section: sections.number(row.section.as_deref()?)?,
            apart: match row.apart.as_deref() {
                Some(name) => Some(sections.apart(name)?),
                None => None,
            },
            measures: Figures::of_car(row, &inputs.rules.group)?,
            width: row.width?,
            laid: laid(&inputs.rules.screen, inputs.crossing(site.crossing), site, row)?,
            exterior_depth: match row.exterior_depth {
                Some(depth) => depth,
                // A car that lies alone gets no joint; a depth of nothing carries none either.
                None if alone => Inches(0.0),
                None => return None,
            },
        },
        haul,
    })
}
