//! Decisions fitted to labels, and an honest word on whether each helps.
//!
//! In: candidates of screens with the labels that they stand for ([`Row`]s), and [`Sample`]s, each what the decision on one ball
//! screen's coverage looks at and the word that a labeller gave it. Out: [`TunedScreens`] and [`Tuned`]: corrections of the
//! fitted models with their scores on games that they were not fitted on, beside the scores of what was there before. Knows
//! `scrim-tables` for the words, `scrim-actions` for what is fitted and for candidates, `scrim-play` for what these are found in,
//! and `scrim-score` for labels; reads no file.
//!
//! - `labels`, `screen_rows`: candidates of a game and the label that each stands for; `detected`: what a detector would write
//!   of them (the fitting command uses these, too); `judged`: how much of that is right;
//! - `screens`: the correction of a screen model and its limits, held out, measured, and the verdict; `screens_in_words`: the
//!   same in words;
//! - `sample`: what coverages are fitted on; `fit`: from samples to a [`scrim_actions::CoverageModel`]; `measure`: how good
//!   answers are; `tune`: all of it in order, and the verdict; `in_words`: the same in words;
//! - `softmax`: the arithmetic of both: multinomial logistic weights, drawn toward what was there before; `choose`: how strongly;
//! - `folds`: which samples are held out together.
//!
//! Same samples and parameters, same result: sums run in a fixed order, the only random numbers have a fixed seed.

mod choose;
mod detected;
mod fit;
mod folds;
mod in_words;
mod judged;
mod labels;
mod measure;
mod sample;
mod screen_rows;
mod screens;
mod screens_in_words;
mod softmax;
mod tune;

#[cfg(test)]
mod screen_tests;
#[cfg(test)]
mod tests;

pub use detected::detected;
pub use folds::Grouping;
pub use judged::Family;
pub use labels::{Label, Labels};
pub use measure::Measured;
pub use sample::Sample;
pub use screen_rows::{Finding, PRACTICE, Row, Rows, add_game};
pub use screens::{ScreenDecision, ScreensMeasured, TunedScreens, tune_screens};
pub use tune::{TuneError, TuneParams, Tuned, Verdict, WordCount, tune};
