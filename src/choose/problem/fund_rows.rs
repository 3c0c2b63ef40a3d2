//! Funds as rows: sums of what crossings cost, each with its weight, that a limit holds.
//!
//! A grant pays of what its crossings cost, together T, at most the share s and at most L; what it leaves is
//! max((1 - s) T, T - L), and its match pays that beside its own crossings. That a sum of such maxima keeps to
//! the limit of the match means that every choice of one of the two from each of its grants does: so many rows.
//! A grant by itself sets no limit. Weights are whole: a row is taken as often as makes them so.

use crate::choose::market::{Grant, Market};

/// The rows of all funds.
#[derive(Clone, Debug, Default)]
pub struct FundRows {
    /// The most of each row, in cents times its parts.
    pub limits: Vec<i64>,
    /// As how many cents one cent of the fund counts in each row.
    pub parts: Vec<i64>,
    /// Per fund of the market the rows that its crossings are in, each with the weight of one cent.
    pub weights: Vec<Vec<(usize, i64)>>,
}

/// Hundredths of a per cent in the whole.
const WHOLE: i64 = 10_000;

fn divisor(a: i64, b: i64) -> i64 {
    if b == 0 { a.max(1) } else { divisor(b, a % b) }
}

impl FundRows {
    /// Of a market.
    pub fn of(market: &Market) -> Self {
        let mut rows = Self { weights: vec![Vec::new(); market.funds.len()], ..Self::default() };
        let is_grant = |fund: usize| market.grants.iter().any(|grant| grant.fund == fund);
        for (fund, limit) in market.funds.iter().enumerate().filter(|(fund, _)| !is_grant(*fund)) {
            let grants: Vec<&Grant> =
                market.grants.iter().filter(|grant| grant.rest == fund).collect();
            for choice in 0..1_usize << grants.len() {
                let by_share = |place: usize| choice >> place & 1 == 1;
                let left = |grant: &Grant| WHOLE - i64::from(grant.share.0).min(WHOLE);
                let shares = grants.iter().enumerate().filter(|(place, _)| by_share(*place));
                let common = shares.fold(WHOLE, |common, (_, grant)| divisor(common, left(grant)));
                let parts = WHOLE / common;
                let row = rows.limits.len();
                let mut most = limit.0;
                rows.weights[fund].push((row, parts));
                for (place, grant) in grants.iter().enumerate() {
                    let Some(weights) = rows.weights.get_mut(grant.fund) else { continue };
                    if by_share(place) {
                        // A share of all leaves nothing.
                        weights.extend(Some((row, left(grant) / common)).filter(|(_, w)| *w > 0));
                    } else {
                        weights.push((row, parts));
                        most += market.funds.get(grant.fund).map_or(0, |most| most.0);
                    }
                }
                rows.limits.push(most * parts);
                rows.parts.push(parts);
            }
        }
        rows
    }

    /// The rows that the crossings of a fund are in; of none, none.
    pub fn of_fund(&self, fund: Option<usize>) -> &[(usize, i64)] {
        fund.and_then(|fund| self.weights.get(fund)).map_or(&[], Vec::as_slice)
    }
}
