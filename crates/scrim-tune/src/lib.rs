//! A decision fitted to labels, and an honest word on whether it helps.
//!
//! In: [`Sample`]s, each what the decision on one ball screen's coverage looks at and the word that a labeller gave it.
//! Out: a [`Tuned`] model with its score on games that it was not fitted on, beside the score of the decision that was there
//! before. Knows `scrim-tables` for the words, `scrim-actions` for what is fitted and for candidates, `scrim-play` for what these
//! are found in, and `scrim-score` for labels; reads no file.
//!
//! - `labels`, `screen_rows`: candidates of a game and the label that each stands for; `detected`: how much of what a detector
//!   would write of them is right (the fitting command uses these, too);
//! - `sample`: what is fitted on;
//! - `softmax`: the model's arithmetic: multinomial logistic weights, drawn toward what was there before;
//! - `fit`: from samples to a [`scrim_actions::CoverageModel`], and how strongly it is drawn;
//! - `folds`: which samples are held out together;
//! - `measure`: how good answers are; `bootstrap`: how sure that is;
//! - `tune`: all of it in order, and the verdict; `told`: the same in words.
//!
//! Same samples and parameters, same result: sums run in a fixed order, the only random numbers have a fixed seed.

mod bootstrap;
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
mod tests;

pub use bootstrap::Interval;
pub use detected::detected;
pub use folds::Grouping;
pub use judged::Family;
pub use labels::{Label, Labels};
pub use measure::Measured;
pub use sample::Sample;
pub use screen_rows::{Finding, Row, Rows, add_game};
pub use screens::{ScreenDecision, ScreensMeasured, TunedScreens, tune_screens};
pub use tune::{TuneError, TuneParams, Tuned, Verdict, WordCount, tune};
