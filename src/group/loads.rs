//! Trailers: which cars of one deck go on one load, and what their haul costs.
//!
//! Only cars of one deck that leave from one place share a trailer: they go the same way on the same
//! day. Of all ways to make up the loads the cheapest is taken, so that being allowed to put more
//! cars on a trailer never costs more.

use crate::price::LoadCost;
use crate::quantity::Cents;

/// The haul of a car that may share a trailer with others of its deck.
///
/// No part of the cost falls from a load to one of more cars.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedHaul {
    /// Where it leaves from: only cars of equal numbers share a trailer.
    pub from: u32,
    /// What a load of this car alone costs.
    pub alone: LoadCost,
    /// What a load of two, three and more cars costs on its account. It goes on no load of more.
    pub shared: Vec<LoadCost>,
}

impl SharedHaul {
    /// What a load of so many cars costs on its account; none: it goes on no such load.
    fn load(&self, cars: usize) -> Option<&LoadCost> {
        match cars {
            0 | 1 => Some(&self.alone),
            _ => self.shared.get(cars - 2),
        }
    }

    /// The same at so many times the cost.
    #[must_use]
    pub fn times(&self, count: i64) -> Self {
        Self {
            from: self.from,
            alone: self.alone.times(count),
            shared: self.shared.iter().map(|cost| cost.times(count)).collect(),
        }
    }

    /// The least that the car can add to the cost of all loads: its even share of a load of cars like
    /// it, rounded down. No way to make up loads costs less than the shares of all its cars, for a
    /// load costs no less than any of its cars alone in such company.
    #[must_use]
    pub fn least_share(&self) -> Cents {
        let of_shared = (2_i64..).zip(&self.shared).map(|(cars, cost)| cost.total().0 / cars);
        Cents(of_shared.fold(self.alone.total().0, i64::min))
    }
}

/// The cost of the load of a car and those at the places set in `with`; none: it is no load.
fn load<'a>(
    of: impl Fn(usize) -> &'a SharedHaul + Copy,
    first: usize,
    with: u32,
) -> Option<LoadCost> {
    let cars = with.count_ones() as usize + 1;
    let own = of(first).load(cars)?;
    places(with).try_fold(*own, |cost, place| Some(cost.greater(of(place).load(cars)?)))
}

/// The places set in a mask, rising.
fn places(mask: u32) -> impl Iterator<Item = usize> {
    (0..u32::BITS as usize).filter(move |place| mask & (1 << place) != 0)
}

/// A deck of more cars shares no trailer. None is so wide.
const MOST: usize = 16;

/// The least cost of all loads of so many cars, each with its haul.
pub(crate) fn least_cost<'a>(of: impl Fn(usize) -> &'a SharedHaul + Copy, cars: usize) -> Cents {
    if cars > MOST {
        return (0..cars).map(|place| of(place).alone.total()).sum();
    }
    cheapest(of, (1 << cars) - 1)
}

/// The least cost of the loads of the cars at the places set: tries every load of the first of them.
fn cheapest<'a>(of: impl Fn(usize) -> &'a SharedHaul + Copy, left: u32) -> Cents {
    if left == 0 {
        return Cents::ZERO;
    }
    let first = left.trailing_zeros() as usize;
    let rest = left & (left - 1);
    let mut least = of(first).alone.total() + cheapest(of, rest);
    let alike = alike(of, first, rest);
    let mut with = alike;
    while with != 0 {
        if let Some(cost) = load(of, first, with) {
            least = least.min(cost.total() + cheapest(of, rest & !with));
        }
        with = (with - 1) & alike;
    }
    least
}

/// Of the places set those whose cars leave from where the first one does.
fn alike<'a>(of: impl Fn(usize) -> &'a SharedHaul + Copy, first: usize, rest: u32) -> u32 {
    let from = of(first).from;
    places(rest).filter(|place| of(*place).from == from).fold(0, |mask, place| mask | 1 << place)
}

/// The places of a deck's cars that may share trailers, with their hauls.
fn sharing<'a>(cars: impl Iterator<Item = Option<&'a SharedHaul>>) -> Vec<(usize, &'a SharedHaul)> {
    cars.enumerate().filter_map(|(at, haul)| Some((at, haul?))).collect()
}

/// What the hauls of a deck's cars cost that may share trailers; none: the car goes alone.
pub(super) fn haul_cost<'a>(cars: impl Iterator<Item = Option<&'a SharedHaul>>) -> Cents {
    let sharing = sharing(cars);
    least_cost(|place| sharing[place].1, sharing.len())
}

/// The loads of several cars, each by the places of its cars, rising; the others go alone. Of the
/// cheapest ways to make up the loads it is one with the fewest.
pub(super) fn shared_loads<'a>(
    cars: impl Iterator<Item = Option<&'a SharedHaul>>,
) -> Vec<Vec<usize>> {
    let sharing = sharing(cars);
    if sharing.len() > MOST {
        return Vec::new();
    }
    let (_, masks) = best(|place| sharing[place].1, (1 << sharing.len()) - 1);
    let several = masks.into_iter().filter(|mask| mask.count_ones() > 1);
    several.map(|mask| places(mask).map(|place| sharing[place].0).collect()).collect()
}

/// As [`cheapest`], with the loads.
fn best<'a>(of: impl Fn(usize) -> &'a SharedHaul + Copy, left: u32) -> (Cents, Vec<u32>) {
    if left == 0 {
        return (Cents::ZERO, Vec::new());
    }
    let first = left.trailing_zeros() as usize;
    let rest = left & (left - 1);
    let alike = alike(of, first, rest);
    let mut found: Option<(Cents, Vec<u32>)> = None;
    // With its neighbor first, alone last.
    let mut with = alike.wrapping_neg() & alike;
    loop {
        if let Some(cost) = load(of, first, with) {
            let (others, mut loads) = best(of, rest & !with);
            loads.insert(0, with | 1 << first);
            let way = (cost.total() + others, loads);
            let key = |way: &(Cents, Vec<u32>)| (way.0, way.1.len());
            if found.as_ref().is_none_or(|found| key(&way) < key(found)) {
                found = Some(way);
            }
        }
        if with == 0 {
            // The first car alone is always a load.
            return found.unwrap_or_default();
        }
        with = with.wrapping_sub(alike) & alike;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cost(haul: i64, permit: i64, escort: i64) -> LoadCost {
        LoadCost { haul: Cents(haul), permit: Cents(permit), escort: Cents(escort) }
    }

    /// A car from a place, of which so many go on a trailer at 100, without permit or escort.
    fn plain(from: u32, most: usize) -> Option<SharedHaul> {
        let each = cost(100, 0, 0);
        Some(SharedHaul { from, alone: each, shared: vec![each; most - 1] })
    }

    fn loads(cars: &[Option<SharedHaul>]) -> (i64, Vec<Vec<usize>>) {
        let hauls = || cars.iter().map(Option::as_ref);
        (haul_cost(hauls()).0, shared_loads(hauls()))
    }

    #[test]
    fn cars_of_one_place_share_trailers_and_no_others() {
        for (cars, expected) in [
            (vec![plain(0, 2), plain(0, 2)], (100, vec![vec![0, 1]])),
            (vec![plain(0, 2), plain(1, 2)], (200, vec![])),
            (vec![plain(0, 2), plain(1, 2), plain(0, 2)], (200, vec![vec![0, 2]])),
            (vec![plain(0, 2), plain(0, 1)], (200, vec![])),
            (vec![plain(0, 2), None], (100, vec![])),
            // Three go on one trailer, two of them only by twos.
            (vec![plain(0, 3), plain(0, 2), plain(0, 2)], (200, vec![vec![0, 1]])),
            (vec![plain(0, 3), plain(0, 3), plain(0, 3)], (100, vec![vec![0, 1, 2]])),
            (vec![plain(0, 2); 4], (200, vec![vec![0, 1], vec![2, 3]])),
            (vec![plain(0, 3); 4], (200, vec![vec![0, 1], vec![2, 3]])),
            (vec![], (0, vec![])),
        ] {
            assert_eq!(loads(&cars), expected, "{cars:?}");
        }
    }

    #[test]
    fn two_light_loads_are_taken_where_one_heavy_one_costs_more() {
        let shared = |permit| SharedHaul {
            from: 0,
            alone: cost(100, 0, 0),
            shared: vec![cost(100, permit, 0)],
        };
        for (permit, expected) in [
            (99, (199, vec![vec![0, 1]])),
            // At the same cost the fewer loads.
            (100, (200, vec![vec![0, 1]])),
            (101, (200, vec![])),
        ] {
            let cars = [Some(shared(permit)), Some(shared(0))];
            assert_eq!(loads(&cars), expected, "{permit}");
        }
    }

    #[test]
    fn a_load_pays_what_each_of_its_cars_makes_it_pay() {
        // One of them is heavy, the other long: the load needs both papers.
        let heavy = cost(100, 50, 0);
        let long = cost(100, 0, 30);
        let cars =
            [heavy, long].map(|each| Some(SharedHaul { from: 0, alone: each, shared: vec![each] }));
        assert_eq!(loads(&cars), (180, vec![vec![0, 1]]));
    }

    #[test]
    fn no_way_to_make_up_loads_is_below_the_least_shares() {
        let haul = |alone: i64, shared: &[i64]| SharedHaul {
            from: 0,
            alone: cost(alone, 0, 0),
            shared: shared.iter().map(|total| cost(*total, 0, 0)).collect(),
        };
        for (haul, share) in [
            (haul(101, &[]), 101),
            (haul(101, &[101]), 50),
            (haul(101, &[101, 101]), 33),
            // A third car makes the load dearer than its share.
            (haul(100, &[110, 300]), 55),
        ] {
            assert_eq!(haul.least_share(), Cents(share));
        }
    }
}
