//! Season rates, before and after.

use std::collections::BTreeSet;

use scrim_season::{RateOf, SeasonRates};
use scrim_statistics::{PairedPart, paired_ratio_difference};
use serde::Serialize;

/// How often games are drawn again (at least 1000 for bounds: Efron & Tibshirani 1993, section 13.3; from memory).
const RESAMPLES: u32 = 2000;
/// Where the draws begin; the same for every rate, so that none depends on another.
const SEED: u64 = 1;

/// A season rate, or mean, in both outputs, over the games of both.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RateChange {
    /// The season.
    pub season: String,
    /// The season table.
    pub table: &'static str,
    /// Its column.
    pub column: &'static str,
    /// The team; `None` is the league.
    pub team_id: Option<String>,
    /// `offense` or `defense`; `None` where the table does not part the two.
    pub side: Option<String>,
    /// What the row is counted by.
    pub group: String,
    /// Which one.
    pub key: String,
    /// Games that have a part in it, in either output.
    pub games: usize,
    /// How often it could have been: what is below the line, in the first output.
    pub n_before: f64,
    /// The same in the second.
    pub n_after: f64,
    /// The rate in the first output; `None` when it could never have been.
    pub before: Option<f64>,
    /// The rate in the second.
    pub after: Option<f64>,
    /// The second less the first; `None` when either is.
    pub difference: Option<f64>,
    /// Its lower 95 % bound; `None` when too few games have a part in it.
    pub difference_low: Option<f64>,
    /// Its upper 95 % bound.
    pub difference_high: Option<f64>,
}

/// Each rate that has a row in either output's season tables, in order.
pub fn rates_of_both<'a>(a: &'a SeasonRates, b: &'a SeasonRates) -> Vec<&'a RateOf> {
    let all: BTreeSet<&RateOf> = a.rates().chain(b.rates()).collect();
    all.into_iter().collect()
}

/// One rate in both outputs, whose games are the same ones.
///
/// The rate is a ratio of sums over games; both outputs' parts of a game are drawn together, so that what is common to them, how often
/// a team sets ball screens at all, say, is in both sums and is no part of the difference. See [`paired_ratio_difference`].
pub fn rate_change(rate: &RateOf, season: &str, a: &SeasonRates, b: &SeasonRates) -> RateChange {
    let sides = [a, b].map(|rates| rates.parts(rate));
    let games: BTreeSet<usize> = sides.iter().flat_map(|parts| parts.keys().copied()).collect();
    let parts: Vec<PairedPart> = games
        .iter()
        .map(|game| {
            let [before, after] = [0, 1].map(|side| sides[side].get(game).copied().unwrap_or_default());
            PairedPart {
                above: [before.0, after.0],
                below: [before.1, after.1],
            }
        })
        .collect();
    let sum = |get: fn(&PairedPart) -> f64| parts.iter().map(get).sum::<f64>();
    let n = [sum(|part| part.below[0]), sum(|part| part.below[1])];
    let hits = [sum(|part| part.above[0]), sum(|part| part.above[1])];
    let ratio = |side: usize| (n[side] > 0.0).then(|| hits[side] / n[side]);
    let difference = paired_ratio_difference(&parts, RESAMPLES, SEED);
    let bounds = difference.and_then(|(_, bounds)| bounds);
    RateChange {
        season: season.into(),
        table: rate.table,
        column: rate.column,
        team_id: rate.team_id.as_deref().map(Into::into),
        side: rate.side.map(|side| side.to_string()),
        group: rate.group.clone(),
        key: rate.key.clone(),
        games: games.len(),
        n_before: n[0],
        n_after: n[1],
        before: ratio(0),
        after: ratio(1),
        difference: difference.map(|(value, _)| value),
        difference_low: bounds.map(|bounds| bounds.low),
        difference_high: bounds.map(|bounds| bounds.high),
    }
}

impl RateChange {
    /// Whether the rate is the same in both.
    pub fn is_same(&self) -> bool {
        self.before == self.after
    }

    /// Whether the bounds leave no change out: other games like these might have shown none.
    pub fn may_be_none(&self) -> bool {
        let bounds = self.difference_low.zip(self.difference_high);
        bounds.is_none_or(|(low, high)| low <= 0.0 && high >= 0.0)
    }
}
