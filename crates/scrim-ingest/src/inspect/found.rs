//! What an inspection found, as data.

use std::collections::BTreeMap;

use serde::Serialize;

/// What was understood of everything at a path, and what is wrong with it. [`std::fmt::Display`] shows it as text.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Inspection {
    /// A part for each source.
    pub sources: Vec<InspectedSource>,
}

/// What was understood of one source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedSource {
    /// Its folder's or file's name.
    pub name: String,
    /// The mapping file, when there is one.
    pub mapping: Option<String>,
    /// Its tracking files.
    pub files: Vec<InspectedFile>,
    /// The side tables found, and those not found (`None`).
    pub side_tables: SideTablesFound,
    /// Rows read.
    pub rows: u64,
    /// The games that can be used.
    pub games: Vec<InspectedGame>,
    /// The games that would be refused, each with why.
    pub refused_games: BTreeMap<String, String>,
    /// How many rows would be refused, by reason.
    pub refused_rows: BTreeMap<String, u64>,
    /// The first refusals of each reason, at most three.
    pub refusal_examples: Vec<RefusalExample>,
    /// How often each event word stands.
    pub event_words: BTreeMap<String, u64>,
    /// Event words that the contract does not know, and how often each stands.
    pub unknown_event_words: BTreeMap<String, u64>,
    /// Columns that are not read.
    pub ignored_columns: Vec<String>,
    /// Whether a run could use anything of it.
    pub is_usable: bool,
    /// What is wrong or doubtful, each with a suggestion; the gravest first.
    pub findings: Vec<Finding>,
}

/// A tracking file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedFile {
    /// Where.
    pub path: String,
    /// What it is.
    pub format: String,
    /// Rows seen.
    pub rows: u64,
    /// The first coordinate as the file has it, in its own unit.
    pub x: Option<Spread>,
    /// The second coordinate as the file has it, in its own unit.
    pub y: Option<Spread>,
}

/// How far numbers spread: the smallest, the largest, and the bounds of the middle 98 %.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// The smallest.
    pub least: f64,
    /// One in a hundred is below.
    pub percent_1: f64,
    /// One in a hundred is above.
    pub percent_99: f64,
    /// The largest.
    pub most: f64,
}

/// Which side tables there are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SideTablesFound {
    /// `games`
    pub games: Option<String>,
    /// `players`
    pub players: Option<String>,
    /// `events`
    pub events: Option<String>,
}

/// One refused row, as an example.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RefusalExample {
    /// Why.
    pub reason: String,
    /// The file.
    pub source: String,
    /// The row.
    pub row: u64,
    /// What was found, what was expected, how to fix it.
    pub detail: String,
}

/// A game that can be used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedGame {
    /// Its id.
    pub game_id: String,
    /// Its two teams; home first when that is known.
    pub teams: [String; 2],
    /// Whether it is.
    pub home_is_known: bool,
    /// Players of each team who have a sample.
    pub players: [usize; 2],
    /// The court.
    pub court: String,
    /// Rows of it that would be refused.
    pub refused_rows: u64,
    /// Its events; `None` when the source has no such table.
    pub events: Option<usize>,
    /// Its periods.
    pub periods: Vec<InspectedPeriod>,
}

/// A period.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InspectedPeriod {
    /// From 1.
    pub number: u8,
    /// Samples of players and the ball.
    pub samples: u64,
    /// Repeated samples.
    pub duplicate_rows: u32,
    /// Its first and last instant, s from its first frame.
    pub from_s: f64,
    /// Its last instant, s from its first frame.
    pub to_s: f64,
    /// Instants a second: one over the commonest step, `None` with fewer than two instants.
    pub hz: Option<f64>,
    /// Share of steps within a tenth of the commonest one.
    pub regular_share: f64,
    /// Steps of more than a second.
    pub long_steps: u64,
    /// Players with a sample.
    pub players: usize,
    /// The middle number of players at an instant.
    pub players_at_once: usize,
    /// Share of instants at which the ball has a sample.
    pub ball_share: f64,
    /// Whether the ball's height is known at all.
    pub ball_height: bool,
    /// Smallest and largest x of the players, m, court frame.
    pub x_m: Option<[f32; 2]>,
    /// Smallest and largest y of the players, m, court frame.
    pub y_m: Option<[f32; 2]>,
    /// The game clock.
    pub game_clock: InspectedClock,
    /// The shot clock.
    pub shot_clock: InspectedClock,
}

/// What a clock does in a period, after the mapping.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct InspectedClock {
    /// Its first and last value, s; `None` when it is not known.
    pub first_s: Option<f32>,
    /// Its last value, s.
    pub last_s: Option<f32>,
    /// Steps on which it counts down.
    pub steps_down: u64,
    /// Steps on which it counts up.
    pub steps_up: u64,
}

/// Something wrong or doubtful.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// What was found.
    pub what: String,
    /// What to do about it, in the mapping's words where they can help.
    pub suggestion: String,
}

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// A run would leave out a file or a game.
    Wrong,
    /// A run would go on, and its tags may be bad.
    Doubtful,
    /// Good to know.
    Note,
}
