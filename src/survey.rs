//! Every car against every span of every crossing: who passes, and what bars the others.
//!
//! The survey keeps one small set of codes for each pair; the checks themselves, with their numbers
//! and remarks, are made again by [`checks`] for the few pairs that a report shows.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use crate::check::registry::{REGISTRY, Stage};
use crate::check::{Check, Code, Outcome};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::Feet;
use crate::{parallel, rate, screen};

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
    let (car, crossing) = (inputs.car(car), inputs.crossing(site.crossing));
    checks.extend(rate::rate_checks_at(car, crossing, site, &inputs.rules));
    checks
}

/// The checks that bar cars, asked of many cars on one span.
pub struct Barring<'a> {
    inputs: &'a Inputs,
    screening: &'a screen::Screening<'a>,
    site: Site,
    loads: Result<rate::SpanLoads, rate::Unrateable>,
}

impl<'a> Barring<'a> {
    /// What bars on this span.
    #[must_use]
    pub fn new(inputs: &'a Inputs, screening: &'a screen::Screening<'a>, site: Site) -> Self {
        let crossing = inputs.crossing(site.crossing);
        let loads = rate::SpanLoads::at(crossing, site, &inputs.rules);
        Self { inputs, screening, site, loads }
    }

    /// The checks that bar a car, in the order of the registry; `barred` is what the survey found, and
    /// a stage in which nothing bars is not asked again.
    #[must_use]
    pub fn checks(&self, car: CarIx, barred: Barred) -> Vec<Check> {
        let stage = |stage| barred.codes().any(|code| code.kind().stage == stage);
        let mut checks = Vec::new();
        if stage(Stage::Screen) {
            checks.extend(self.screening.all(car, self.site));
        }
        if stage(Stage::Rate) {
            let rules = &self.inputs.rules;
            let girder = rate::Girder::of(self.inputs.car(car), rules);
            checks.extend(rate::rate_checks_with(girder.as_ref(), self.loads.as_ref(), rules));
        }
        checks.retain(|check| check.outcome.bars());
        checks
    }
}

/// The set of codes that bar a car from a span; empty when it passes. Of each code it keeps whether a
/// known value fails, or data is missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Barred {
    /// The codes that bar.
    codes: u128,
    /// Of these, the codes that fail by a known value in at least one of their parts.
    failed: u128,
}

impl Barred {
    /// The codes of the checks that bar.
    #[must_use]
    pub fn by(checks: &[Check]) -> Self {
        let set = |bars: fn(&Check) -> bool| {
            checks.iter().filter(|check| bars(check)).fold(0, |set, check| set | bit(check.code))
        };
        Self {
            codes: set(|check| check.outcome.bars()),
            failed: set(|check| check.outcome == Outcome::Fail),
        }
    }

    /// The codes of the rating.
    fn by_rating(rating: rate::Barred) -> Self {
        let mut barred = Self::default();
        for (code, fails) in rating.codes() {
            barred.codes |= bit(code);
            if fails {
                barred.failed |= bit(code);
            }
        }
        barred
    }

    /// Whether nothing bars.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.codes == 0
    }

    /// How many different codes bar.
    #[must_use]
    pub fn count(self) -> u32 {
        self.codes.count_ones()
    }

    /// Whether this code bars.
    #[must_use]
    pub fn contains(self, code: Code) -> bool {
        self.codes & bit(code) != 0
    }

    /// Whether this code bars for want of data alone.
    #[must_use]
    pub fn unknown(self, code: Code) -> bool {
        self.contains(code) && self.failed & bit(code) == 0
    }

    /// The codes, in the order of the registry.
    pub fn codes(self) -> impl Iterator<Item = Code> {
        REGISTRY.iter().map(|kind| kind.code).filter(move |code| self.contains(*code))
    }

    /// What bars in both; for want of data alone where it does so in both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        let codes = self.codes & other.codes;
        Self { codes, failed: (self.failed | other.failed) & codes }
    }

    /// What bars in one or the other; for want of data alone where it fails in neither.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self { codes: self.codes | other.codes, failed: self.failed | other.failed }
    }
}

/// The bit of a code.
fn bit(code: Code) -> u128 {
    1 << code as u32
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
        let table = rate::RatingTable::new(inputs);
        let screening = screen::Screening::new(inputs);
        let of_cars = inputs.car_indices().map(|car| Barred::by(&screening.of_car(car)));
        let of_cars: Vec<_> = of_cars.collect();
        Self::of_pairs(inputs, |car, site| {
            let screened = of_cars[car.0].or(Barred::by(&screening.at_site(car, site)));
            screened.or(Barred::by_rating(table.barred(car, site)))
        })
    }

    /// The survey by another source of checks.
    #[must_use]
    pub fn with(inputs: &Inputs, checks: impl Fn(CarIx, Site) -> Vec<Check> + Sync) -> Self {
        Self::of_pairs(inputs, |car, site| Barred::by(&checks(car, site)))
    }

    /// Asks what bars each car from each site, several sites at a time.
    fn of_pairs(inputs: &Inputs, barred_at: impl Fn(CarIx, Site) -> Barred + Sync) -> Self {
        let sites = inputs.crossing_indices().flat_map(|crossing| sites_of(inputs, crossing));
        let sites: Vec<_> = sites.collect();
        let mut barred = BTreeMap::new();
        parallel::in_order(
            parallel::processors(),
            &sites,
            |&site| inputs.car_indices().map(|car| barred_at(car, site)).collect::<Vec<_>>(),
            |&site, cars| {
                barred.insert(site, cars);
                ControlFlow::Continue(())
            },
        );
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
}
