//! One game in memory: tracks on a uniform time grid; cleaning, smoothing, kinematics.
//!
//! In: a [`RawGame`], samples as the source gave them. Out: a [`Game`] on one grid, smoothed once, with velocity
//! from the same filter, and a quality row a period. Knows `scrim-floor` and `scrim-tables`, no file and no format.
//!
//! [`clean`] takes a period through these steps, a module each: `promises` (what the types cannot enforce), `noise`
//! (how noisy the source is), `spikes`, `swaps` (exchanges that jump), `grid` (the source's instants to uniform ones),
//! `crossings` (exchanges of close players), [`savitzky_golay`] (place and velocity in one pass), `lineups`, `clocks`,
//! `live`, `quality`; at the end `event_times` completes the events' clocks.

mod carried_ball;
mod clean;
mod clocks;
mod crossings;
mod error;
mod event;
mod event_times;
mod game;
mod gaps;
mod grid;
mod lineups;
mod links;
mod live;
mod noise;
mod params;
mod player;
mod promises;
mod quality;
mod raw;
mod spikes;
mod swaps;

pub mod savitzky_golay;

pub use clean::{Cleaned, clean};
pub use error::TrackError;
pub use event::{Event, EventKind};
pub use game::{BallTrack, Game, GameInfo, Lineup, Period, Track, TrackIx};
pub use params::TrackParams;
pub use player::{Player, PlayerIx, TeamSlot};
pub use raw::{ClockSample, RawGame, RawPeriod, RawTrack};
