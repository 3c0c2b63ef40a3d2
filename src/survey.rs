//! Every car against every span of every crossing: who passes, and what bars the others.
//!
//! The survey keeps one small set of codes for each pair, sets that are alike once; the checks themselves, with their numbers
//! and remarks, are made again by [`checks`] for the few pairs that a report shows.

use std::collections::{BTreeMap, HashMap};
use std::ops::ControlFlow;

use crate::check::registry::Stage;
use crate::check::{Barred, Check};
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::{evidence, parallel, rate, screen};

/// Every screening and rating check of one car on one span, in the order of the registry.
#[must_use]
pub fn checks(inputs: &Inputs, car: CarIx, site: Site) -> Vec<Check> {
    let mut checks = screen::screen(inputs, car, site);
    let (car, crossing) = (inputs.car(car), inputs.crossing(site.crossing));
    checks.extend(rate::rate_checks_at(car, crossing, site, &inputs.rules));
    let told = |check| evidence::told(check, car, &inputs.rules);
    checks.into_iter().map(told).collect()
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
        self.with_remarks(car, barred, true)
    }

    /// The same, with or without the remarks of the screening, which take most of the time.
    #[must_use]
    pub fn with_remarks(&self, car: CarIx, barred: Barred, remarks: bool) -> Vec<Check> {
        let stage = |stage| barred.codes().any(|code| code.kind().stage == stage);
        let mut checks = Vec::new();
        if stage(Stage::Screen) {
            checks.extend(self.screening.with_remarks(car, self.site, remarks));
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

/// The outcome of all pairs.
#[derive(Clone, Debug)]
pub struct Survey {
    /// Per site what bars each car, indexed by car: its place among the answers.
    barred: BTreeMap<Site, Vec<u32>>,
    answers: Answers,
}

/// The different answers, each once; the first is that nothing bars.
#[derive(Clone, Debug)]
struct Answers {
    all: Vec<Barred>,
    places: HashMap<Barred, u32>,
}

impl Answers {
    fn new() -> Self {
        let nothing = Barred::default();
        Self { all: vec![nothing], places: HashMap::from([(nothing, 0)]) }
    }

    /// The place of an answer.
    fn place(&mut self, barred: Barred) -> u32 {
        *self.places.entry(barred).or_insert_with(|| {
            self.all.push(barred);
            self.all.len() as u32 - 1
        })
    }
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
            let screened = of_cars[car.0].or(screening.barred_at_site(car, site));
            screened.or(table.barred(car, site))
        })
    }

    /// The survey by another source of checks.
    #[must_use]
    pub fn with(inputs: &Inputs, checks: impl Fn(CarIx, Site) -> Vec<Check> + Sync) -> Self {
        Self::of_pairs(inputs, |car, site| Barred::by(&checks(car, site)))
    }

    /// Asks what bars each car from each site, several sites at a time.
    fn of_pairs(inputs: &Inputs, barred_at: impl Fn(CarIx, Site) -> Barred + Sync) -> Self {
        let sites = inputs.crossing_indices().flat_map(|crossing| inputs.sites(crossing));
        let sites: Vec<_> = sites.collect();
        let (mut barred, mut answers) = (BTreeMap::new(), Answers::new());
        parallel::in_order(
            parallel::processors(),
            &sites,
            |&site| {
                let mut here = Answers::new();
                let cars = inputs.car_indices().map(|car| here.place(barred_at(car, site)));
                (cars.collect::<Vec<u32>>(), here.all)
            },
            |&site, (mut cars, here): (Vec<u32>, Vec<Barred>)| {
                let places: Vec<u32> = here.into_iter().map(|a| answers.place(a)).collect();
                cars.iter_mut().for_each(|car| *car = places[*car as usize]);
                barred.insert(site, cars);
                ControlFlow::Continue(())
            },
        );
        Self { barred, answers }
    }

    /// Every site, in order.
    pub fn sites(&self) -> impl Iterator<Item = Site> + '_ {
        self.barred.keys().copied()
    }

    /// What bars this car from this span. A site that does not exist has no cars, and bars nothing.
    #[must_use]
    pub fn barred(&self, car: CarIx, site: Site) -> Barred {
        let place = self.barred.get(&site).and_then(|cars| cars.get(car.0));
        place.map_or_else(Barred::default, |place| self.answers.all[*place as usize])
    }

    /// The cars that pass on this span, in order.
    pub fn suitable(&self, site: Site) -> impl Iterator<Item = CarIx> + '_ {
        let cars = self.barred.get(&site).map(Vec::as_slice).unwrap_or_default();
        cars.iter().enumerate().filter(|(_, place)| **place == 0).map(|(car, _)| CarIx(car))
    }

    /// Whether the car passes on at least one span of any crossing.
    #[must_use]
    pub fn passes_somewhere(&self, car: CarIx) -> bool {
        self.barred.values().any(|cars| cars.get(car.0) == Some(&0))
    }
}
