//! A game as the source gave it: samples in time order, on the source's own instants.

use crate::{Event, GameInfo, Player, PlayerIx};

/// A game's samples before cleaning. Reading a source makes one; cleaning turns it into a [`crate::Game`].
#[derive(Debug, Clone, PartialEq)]
pub struct RawGame {
    /// Who, when, where.
    pub info: GameInfo,
    /// Everyone who has a sample, and everyone the `players` side table names for the two teams; sorted by team,
    /// then id. [`PlayerIx`] counts along this list.
    pub players: Vec<Player>,
    /// The periods, ascending by number, each number once.
    pub periods: Vec<RawPeriod>,
    /// The events, in time order; `None` when the source has no such table.
    pub events: Option<Vec<Event>>,
}

/// One period's samples.
#[derive(Debug, Clone, PartialEq)]
pub struct RawPeriod {
    /// From 1; overtime after the regular ones.
    pub number: u8,
    /// The clocks, strictly ascending by time; empty when the source gives none.
    pub clocks: Vec<ClockSample>,
    /// A track a player who has a sample in the period, ascending by player.
    pub players: Vec<RawTrack<PlayerIx>>,
    /// The ball's track; empty when the source has no ball.
    pub ball: RawTrack<()>,
    /// Rows that gave an entity's place at an instant again (the first one counts).
    pub duplicate_rows: u32,
    /// Rows of this period that were refused.
    pub rows_quarantined: u32,
}

/// What the clocks showed at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockSample {
    /// Real clock, from the period's first frame.
    pub t_s: f64,
    /// Remaining; NaN when not given.
    pub game_clock_s: f32,
    /// Remaining; NaN when not given.
    pub shot_clock_s: f32,
}

/// One entity's samples: arrays of one length, strictly ascending by time, every place finite.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RawTrack<Who> {
    /// Whose.
    pub who: Who,
    /// Real clock, from the period's first frame.
    pub t_s: Vec<f64>,
    /// Court frame.
    pub x_m: Vec<f32>,
    /// Court frame.
    pub y_m: Vec<f32>,
    /// Height; NaN where not given, empty when never given.
    pub z_m: Vec<f32>,
}
