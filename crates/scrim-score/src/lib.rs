//! Tags against labels: what was found and missed, which words are right, how far off the times are, and whether the
//! stated confidence can be believed.
//!
//! In: a folder of tables and a folder of labels, both by the data contract. Out: a [`Report`], as plain text and as
//! JSON. Knows `scrim-tables` and `scrim-floor` for the words of the tags, and no detector: tables are read by column
//! name, so tables of any program that keeps the contract can be scored, with more columns or fewer.
//!
//! ```no_run
//! use std::path::Path;
//! use scrim_score::{ScoreParams, score};
//!
//! let report = score(Path::new("out"), Path::new("sample-data"), &ScoreParams::default())?;
//! let text = report.to_table();
//! let f1 = report.on_ball_screens.scored().and_then(|screens| screens.detection.f1);
//! # Ok::<(), scrim_score::ScoreError>(())
//! ```
//!
//! - `contract`: the columns of each table that labels may have, and how each is judged.
//! - `table`, `cell`, `read_csv`, `read_parquet`, `labels`, `tables`: from files to columns; `windows`: which stretches were looked at.
//! - `coverage_labels`, `screen_labels`: the labelled words of found screens, and all labelled screens, for whoever fits a
//!   decision or a detector.
//! - `ball_screen_possessions`: whether a possession's ball screens were seen at all.
//! - `screen_match`, `spans`: which found row stands for which labelled row.
//! - `screens`, `linked`, `cuts`, `possessions`, `matchups`: a section of the report each.
//! - `rate`, `class_score`, `measure`, `reliability`, `judge`: the arithmetic.
//! - `report`, `text`, `text_found`, `text_grid`: what is handed out.

mod ball_screen_possessions;
mod cell;
mod class_score;
mod contract;
mod coverage_labels;
mod cuts;
mod error;
mod judge;
mod labels;
mod linked;
mod matchups;
mod measure;
mod params;
mod possessions;
mod rate;
mod read_csv;
mod read_parquet;
mod reliability;
mod report;
mod run;
mod screen_labels;
mod screen_match;
mod screens;
mod spans;
mod table;
mod tables;
mod text;
mod text_found;
mod text_grid;
mod windows;

#[cfg(test)]
mod tests;

pub use ball_screen_possessions::BallScreenPossessions;
pub use class_score::{ClassScore, Confusion, TagScore};
pub use coverage_labels::{CoverageLabels, LabelledCoverage, coverage_labels};
pub use cuts::CutScore;
pub use error::{Place, ScoreError, Warning};
pub use judge::{ColumnScores, ValueScore};
pub use linked::LinkedScore;
pub use matchups::MatchupScore;
pub use measure::MeasureScore;
pub use params::{GamesWithoutTables, ScoreParams};
pub use possessions::PossessionScore;
pub use rate::{Detection, Judged, Rate};
pub use reliability::{Reliability, ReliabilityBin};
pub use report::{Report, Section};
pub use run::score;
pub use screen_labels::{LabelledScreen, ScreenLabels, screen_labels};
pub use screens::{EarlyDenialScore, GroupRecall, LinkScore, ScreenScore};
pub use windows::Windows;
