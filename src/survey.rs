//! Every car against every span of every crossing: who passes, and what bars the others.
//!
//! The survey keeps one small set of codes for each pair; the checks themselves, with their numbers
//! and remarks, are made again by [`checks`] for the few pairs that a report shows.

use std::collections::BTreeMap;

use crate::check::registry::REGISTRY;
use crate::check::{Check, Code};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::Feet;
use crate::{rate, screen};

/// The span at a site.
#[must_use]
pub fn span_of(inputs: &Inputs, site: Site) -> Feet {
    inputs.crossing(site.crossing).layouts[site.layout].spans[site.span]
}

/// Every site of one crossing: all spans of all its layouts, in order.
pub fn sites_of(inputs: &Inputs, crossing: CrossingIx) -> impl Iterator<Item = Site> + '_ {
    let layouts = inputs.crossing(crossing).layouts.iter().enumerate();
    layouts.flat_map(move |(layout, l)| {
        (0..l.spans.len()).map(move |span| Site { crossing, layout, span })
    })
}

/// Every screening and rating check of one car on one span, in the order of the registry.
#[must_use]
pub fn checks(inputs: &Inputs, car: CarIx, site: Site) -> Vec<Check> {
    let mut checks = screen::screen(inputs, car, site);
    checks.extend(rate::rate_checks(
        inputs.car(car),
        inputs.crossing(site.crossing),
        span_of(inputs, site),
        &inputs.rules,
    ));
    checks
}

/// The set of codes that bar a car from a span; empty when it passes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Barred(u128);

impl Barred {
    /// The codes of the checks that bar.
    #[must_use]
    pub fn by(checks: &[Check]) -> Self {
        let bits = checks.iter().filter(|check| check.outcome.bars());
        Self(bits.fold(0, |set, check| set | 1 << check.code as u32))
    }

    /// Whether nothing bars.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many different codes bar.
    #[must_use]
    pub fn count(self) -> u32 {
        self.0.count_ones()
    }

    /// Whether this code bars.
    #[must_use]
    pub fn contains(self, code: Code) -> bool {
        self.0 >> (code as u32) & 1 == 1
    }

    /// The codes, in the order of the registry.
    pub fn codes(self) -> impl Iterator<Item = Code> {
        REGISTRY.iter().map(|kind| kind.code).filter(move |code| self.contains(*code))
    }

    /// What bars in both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}

// One bit per code of the registry.
const _: () = assert!(REGISTRY.len() <= 128);

/// The outcome of all pairs.
#[derive(Clone, Debug)]
pub struct Survey {
    /// Per site what bars each car, indexed by car.
    barred: BTreeMap<Site, Vec<Barred>>,
}

impl Survey {
    /// Asks every check of every car on every span.
    #[must_use]
    pub fn new(inputs: &Inputs) -> Self {
        let sites = inputs.crossing_indices().flat_map(|crossing| sites_of(inputs, crossing));
        let barred = sites
            .map(|site| {
                let cars = inputs.car_indices();
                (site, cars.map(|car| Barred::by(&checks(inputs, car, site))).collect())
            })
            .collect();
        Self { barred }
    }

    /// Every site, in order.
    pub fn sites(&self) -> impl Iterator<Item = Site> + '_ {
        self.barred.keys().copied()
    }

    /// What bars this car from this span. A site that does not exist has no cars, and bars nothing.
    #[must_use]
    pub fn barred(&self, car: CarIx, site: Site) -> Barred {
        self.barred.get(&site).and_then(|cars| cars.get(car.0)).copied().unwrap_or_default()
    }

    /// The cars that pass on this span, in order.
    pub fn suitable(&self, site: Site) -> impl Iterator<Item = CarIx> + '_ {
        let cars = self.barred.get(&site).map(Vec::as_slice).unwrap_or_default();
        cars.iter().enumerate().filter(|(_, barred)| barred.is_empty()).map(|(car, _)| CarIx(car))
    }

    /// Whether the car passes on at least one span of any crossing.
    #[must_use]
    pub fn passes_somewhere(&self, car: CarIx) -> bool {
        self.barred.values().any(|cars| cars.get(car.0).is_some_and(|barred| barred.is_empty()))
    }

    /// How many cars each code bars: on at least one span, and on every span of every crossing.
    #[must_use]
    pub fn refusals(&self, cars: usize) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        for kind in REGISTRY {
            let mut somewhere = 0;
            let mut everywhere = 0;
            for car in 0..cars {
                let hits = self.barred.values().filter(|site| site[car].contains(kind.code));
                let hits = hits.count();
                somewhere += usize::from(hits > 0);
                everywhere += usize::from(hits > 0 && hits == self.barred.len());
            }
            if somewhere > 0 {
                refusals.push(Refusal { code: kind.code, somewhere, everywhere });
            }
        }
        refusals
    }
}

/// How often one code bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The code.
    pub code: Code,
    /// Rows of the inventory that it bars from at least one span.
    pub somewhere: usize,
    /// Rows of the inventory that it bars from every span.
    pub everywhere: usize,
}
