//! One game in memory: tracks on a uniform time grid; cleaning, smoothing, kinematics.
//!
//! In: a [`RawGame`], samples as the source told them. Out: a [`Game`] on one grid, smoothed once, with velocity
//! from the same filter, and a quality row a period. Knows `scrim-floor` and `scrim-tables`, no file and no format.

mod event;
mod game;
mod raw;

pub use event::{Event, EventKind};
pub use game::{BallTrack, Game, GameInfo, Lineup, Period, Player, PlayerIx, TeamSlot, Track};
pub use raw::{ClockSample, RawGame, RawPeriod, RawTrack};
