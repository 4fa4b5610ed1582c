//! The statistics that tables, scores and fits stand on, each with its source. Pure functions on counts and measured values; no
//! basketball.
//!
//! - [`Interval`]: an estimate and the bounds around it.
//! - [`wilson`], [`wilson_share`], [`rate_difference`]: rates and differences of rates.
//! - [`rate_through_tags`]: a rate seen through tags that are sometimes wrong.
//! - [`Misread`], [`ReadPairs`]: what follows what, seen through words that are sometimes read as another.
//! - [`entropy_bits`]: how hard the next thing is to predict, with a bias correction and an interval.
//! - [`cohens_kappa`]: how far two people agree beyond chance.
//! - [`kt_probability`]: the estimator at the ground of the sequence model.
//! - [`mean_interval`], [`mean_difference`]: means with a spread that is known from the whole season.
//! - [`bootstrap_ratios`], [`percentile_interval`]: a ratio of sums over independent clusters; [`bootstrap_interval`]: any statistic.
//! - [`paired_ratio_difference`]: the same clusters measured twice.
//! - [`pair_nearest_first`], [`TwoSpans`]: which item of one list stands for which of another.
//! - [`share_by_chance`], [`mean_by_chance`], [`share_effect`], [`clustering`], [`false_discovery_shares`]: one part of a league
//!   against the rest.
//! - [`quantile`], [`median`]: of sorted values.
//! - [`shrink_differences`], [`RateSpread`]: many small teams toward one large league.

mod against;
mod bootstrap;
mod entropy;
mod imperfect;
mod interval;
mod kappa;
mod kt;
mod matching;
mod mean;
mod misread;
mod paired;
mod quantile;
mod rate;
mod shrink_mean;
mod shrink_rate;
mod spread_grid;

pub use against::{clustering, false_discovery_shares, mean_by_chance, share_by_chance, share_effect};
pub use bootstrap::{RatioPart, bootstrap_interval, bootstrap_ratios, percentile_interval, ratio_of_sums};
pub use entropy::{Entropy, entropy_bits};
pub use imperfect::{TagErrors, rate_through_tags};
pub use interval::{Interval, Z_95};
pub use kappa::{Agreement, cohens_kappa};
pub use kt::kt_probability;
pub use matching::{Candidate, ROUNDING_S, TwoSpans, group_rows, pair_nearest_first};
pub use mean::{Sample, mean_difference, mean_interval};
pub use misread::{Misread, ReadPairs};
pub use paired::{PairedPart, paired_ratio_difference};
pub use quantile::{median, quantile};
pub use rate::{rate_difference, wilson, wilson_share};
pub use shrink_mean::{Estimate, shrink_differences};
pub use shrink_rate::RateSpread;
