//! Everything of a crossing's span that the rating of any car on it depends on.

use serde::Serialize;

use super::dead_load::DeckLoad;
use super::effects::{Effects, VehicleEffects};
use super::share;
use super::unrateable::Unrateable;
use crate::model::crossing::Crossing;
use crate::model::ends;
use crate::model::inputs::Site;
use crate::model::rules::{RatingRules, Rules};
use crate::quantity::{Feet, Tons};

/// Refuses factors with which a rating would come out as no number, or as good for no reason.
fn factors_are_possible(rules: &RatingRules) -> Result<(), Unrateable> {
    let stress = &rules.allowable_stress_factors;
    let factors = &rules.resistance_factors;
    let positive = [
        ("bending_inventory", stress.bending_inventory),
        ("bending_operating", stress.bending_operating),
        ("shear_inventory", stress.shear_inventory),
        ("shear_operating", stress.shear_operating),
        ("resistance", factors.resistance),
        ("condition", factors.condition),
        ("system", factors.system),
        ("condition_times_system_min", factors.condition_times_system_min),
        ("dead", factors.dead),
        ("wearing", factors.wearing),
        ("live_design_inventory", factors.live_design_inventory),
        ("live_design_operating", factors.live_design_operating),
        ("live_legal", factors.live_legal),
        ("truck_share", rules.truck_share),
        ("elastic_modulus_ksi", rules.elastic_modulus_ksi.0),
        ("deflection_span_fraction", rules.deflection_span_fraction),
    ];
    let presence = stress.presence.iter().chain(&factors.presence).map(|&p| ("presence", p));
    let wrong = positive
        .into_iter()
        .chain(presence)
        .find(|(_, value)| !(value.is_finite() && *value > 0.0))
        .or((!(factors.impact.is_finite() && factors.impact >= 0.0))
            .then_some(("impact", factors.impact)));
    match wrong {
        None => Ok(()),
        Some((name, value)) => {
            Err(format!("`{name}` of the rules is {value}, with which nothing can be rated").into())
        }
    }
}

/// The emergency vehicles of the FAST Act.
const EMERGENCY: [&str; 2] = ["EV2", "EV3"];

/// The vehicles that a sign at this crossing is by: the legal ones of the rules, and the emergency
/// vehicles where the rules or the crossing ask for them.
fn legal_vehicles(crossing: &Crossing, rules: &Rules) -> Vec<String> {
    let mut names = rules.posting.legal_vehicles.clone();
    let asked = |name: &str| crossing.vehicles.iter().any(|n| n.trim().eq_ignore_ascii_case(name));
    for name in EMERGENCY {
        let listed = names.iter().any(|known| known.trim().eq_ignore_ascii_case(name));
        if !listed && (rules.posting.emergency_vehicles || asked(name)) {
            names.push(name.to_owned());
        }
    }
    names
}

/// The loads of one span of a crossing, worked out once for all cars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpanLoads {
    /// The vehicles' effects; holds the span.
    pub effects: Effects,
    /// The effects of the legal vehicles of the rules, and of the emergency vehicles where they are
    /// asked for: the sign is by these.
    pub legal: Vec<VehicleEffects>,
    /// Lanes on the bridge.
    pub lanes: usize,
    /// Deck, joints and rails.
    pub deck: DeckLoad,
    /// Least posting that the crossing accepts; none where no posting is accepted.
    #[serde(rename = "least_posting_short_tons")]
    pub least_posting: Option<Tons>,
}

impl SpanLoads {
    /// The loads of a span of this crossing, with ends as long as the rules let them be.
    ///
    /// # Errors
    /// A vehicle or the deck system is not known, or the span is none.
    pub fn of(crossing: &Crossing, span: Feet, rules: &Rules) -> Result<Self, Unrateable> {
        Self::with_ends(crossing, span, rules.screen.max_overhang_ft, rules)
    }

    /// The loads of a span at its place: between two piers no end is long.
    ///
    /// # Errors
    /// As [`SpanLoads::of`].
    pub fn at(crossing: &Crossing, site: Site, rules: &Rules) -> Result<Self, Unrateable> {
        let layout = crossing.layouts.get(site.layout);
        let span = layout.and_then(|layout| layout.spans.get(site.span)).copied();
        let longest = ends::longest(&rules.screen, crossing, site);
        Self::with_ends(crossing, span.unwrap_or_default(), longest, rules)
    }

    fn with_ends(
        crossing: &Crossing,
        span: Feet,
        longest: Feet,
        rules: &Rules,
    ) -> Result<Self, Unrateable> {
        factors_are_possible(&rules.rating)?;
        let effects = Effects::for_span(span, longest, &crossing.vehicles, rules);
        let legal = match legal_vehicles(crossing, rules) {
            names if names.is_empty() => Ok(Vec::new()),
            names => {
                Effects::for_span(span, longest, &names, rules).map(|effects| effects.vehicles)
            }
        };
        let deck = DeckLoad::of(crossing, rules);
        match (effects, legal, deck) {
            (Ok(effects), Ok(legal), Ok(deck)) => Ok(Self {
                effects,
                legal,
                lanes: share::lanes(crossing.clear_width),
                deck,
                least_posting: crossing.least_posting,
            }),
            (effects, legal, deck) => {
                let reasons = effects.err().into_iter().chain(legal.err()).chain(deck.err());
                let mut reasons: Vec<_> = reasons.flat_map(|error| error.reasons).collect();
                reasons.dedup();
                Err(Unrateable { reasons })
            }
        }
    }

    /// The span.
    #[must_use]
    pub fn span(&self) -> Feet {
        self.effects.span
    }
}
