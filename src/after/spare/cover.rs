//! The least costly basket that meets every need: of each need's things one is bought.

/// Things on offer, by index.
#[derive(Debug)]
pub(super) struct Goods {
    /// Price of one, cents.
    pub price: Vec<i64>,
    /// The yards where it is fetched.
    pub yards: Vec<Vec<usize>>,
    /// What the trip to each yard costs, cents; nothing where the plan goes there anyway.
    pub trips: Vec<i64>,
}

/// One of these things is bought, so many times at least.
pub(super) type Need = Vec<(usize, u32)>;

/// How many of each thing are bought.
pub(super) type Basket = Vec<u32>;

/// Nodes of a search after which it is given up.
const NODES: usize = 2_000_000;

impl Goods {
    /// What a basket costs.
    pub fn cost(&self, basket: &[u32]) -> i64 {
        let mut visited = vec![false; self.trips.len()];
        let mut cost = 0;
        for (thing, count) in basket.iter().enumerate().filter(|(_, count)| **count > 0) {
            cost += self.price[thing] * i64::from(*count);
            for &yard in &self.yards[thing] {
                cost += if visited[yard] { 0 } else { self.trips[yard] };
                visited[yard] = true;
            }
        }
        cost
    }

    /// The least costly basket that meets the needs and costs less than `below`, if there is one;
    /// `Err` when it takes too long to say.
    pub fn cheapest(&self, needs: &[Need], below: i64) -> Result<Option<Basket>, TooLong> {
        let most = vec![u32::MAX; self.price.len()];
        let mut search = Search { goods: self, needs, best: None, below, most, nodes: NODES };
        search.go(&mut vec![0; self.price.len()])?;
        Ok(search.best)
    }
}

/// The search was given up.
#[derive(Debug)]
pub(super) struct TooLong;

struct Search<'a> {
    goods: &'a Goods,
    needs: &'a [Need],
    best: Option<Basket>,
    below: i64,
    /// The most of each thing in this branch; the baskets with more are in another one.
    most: Vec<u32>,
    nodes: usize,
}

impl Search<'_> {
    fn go(&mut self, basket: &mut Basket) -> Result<(), TooLong> {
        self.nodes = self.nodes.checked_sub(1).ok_or(TooLong)?;
        let mut open = Vec::new();
        for need in self.needs {
            if need.iter().any(|(thing, count)| basket[*thing] >= *count) {
                continue;
            }
            let mut ways: Need =
                need.iter().copied().filter(|(thing, count)| *count <= self.most[*thing]).collect();
            if ways.is_empty() {
                return Ok(());
            }
            ways.sort_by_key(|way| (self.more(basket, *way), *way));
            open.push(ways);
        }
        let cost = self.goods.cost(basket);
        if cost + self.least(basket, &open) >= self.below {
            return Ok(());
        }
        let Some(ways) = open.into_iter().min_by_key(Vec::len) else {
            (self.below, self.best) = (cost, Some(basket.clone()));
            return Ok(());
        };
        let most = self.most.clone();
        for (thing, count) in ways {
            let before = std::mem::replace(&mut basket[thing], count);
            self.go(basket)?;
            basket[thing] = before;
            self.most[thing] = self.most[thing].min(count - 1);
        }
        self.most = most;
        Ok(())
    }

    /// What one way of meeting a need costs beside the basket, trips apart.
    fn more(&self, basket: &Basket, (thing, count): (usize, u32)) -> i64 {
        self.goods.price[thing] * i64::from(count - basket[thing])
    }

    /// Needs without a thing in common are paid for one by one.
    fn least(&self, basket: &Basket, open: &[Need]) -> i64 {
        let mut dearest: Vec<(i64, &Need)> = open
            .iter()
            .filter_map(|ways| Some((self.more(basket, *ways.first()?), ways)))
            .collect();
        dearest.sort_by_key(|(cost, ways)| (std::cmp::Reverse(*cost), ways.len()));
        let mut taken = vec![false; basket.len()];
        let mut sum = 0;
        for (cost, ways) in dearest {
            if ways.iter().all(|(thing, _)| !taken[*thing]) {
                ways.iter().for_each(|(thing, _)| taken[*thing] = true);
                sum += cost;
            }
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use itertools::Itertools;
    use proptest::prelude::*;

    fn goods() -> impl Strategy<Value = Goods> {
        let thing = (0..20_i64, 0..3_usize);
        (prop::collection::vec(thing, 4), prop::collection::vec(0..15_i64, 3)).prop_map(
            |(things, trips)| Goods {
                price: things.iter().map(|thing| thing.0).collect(),
                yards: things.iter().map(|thing| vec![thing.1]).collect(),
                trips,
            },
        )
    }

    proptest! {
        #[test]
        fn it_is_the_cheapest_of_all_baskets(
            goods in goods(),
            needs in prop::collection::vec(prop::collection::vec((0..4_usize, 1..4_u32), 1..4), 0..5),
            below in prop_oneof![Just(i64::MAX), 0..60_i64],
        ) {
            let meets = |basket: &Vec<u32>| {
                needs.iter().all(|need| need.iter().any(|(thing, n)| basket[*thing] >= *n))
            };
            let all = (0..4).map(|_| 0..4_u32).multi_cartesian_product();
            let best = all.filter(meets).map(|basket| goods.cost(&basket)).min().unwrap();
            let found = goods.cheapest(&needs, below).unwrap();
            prop_assert_eq!(found.as_ref().map(|b| goods.cost(b)), (best < below).then_some(best));
            prop_assert!(found.is_none_or(|basket| meets(&basket)));
        }
    }
}
