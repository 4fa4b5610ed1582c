//! Who has the ball, whose possession it is, and who guards whom.
//!
//! In: a [`scrim_tracks::Game`]. Out: touches, shots, possessions and matchups, in frames and player places; and their
//! rows. Knows `scrim-floor`, `scrim-tables` and `scrim-tracks`.
//!
//! - `control`, `spell`: who has the ball at each frame.
//! - `rim`, `flight`, `catch`, `shooter`, `attempt`, `event_shots`, `find_attempts`, `result`: shots, by the ball and by the
//!   events.
//! - `direction`: which hoop a team attacks.
//! - `possession`, `ending`, `touch`: where possessions begin and end, how, and the touches in them.
//! - `places`: an attacker's place and a defender's; `mover`: their tracks; `scene`: one possession in the attack frame.
//! - `hidden_chain`, `matchup`: who guards whom.
//! - [`rows`]: rows of the data contract.

mod attempt;
mod catch;
mod control;
mod direction;
mod ending;
mod event_shots;
mod find;
mod find_attempts;
mod flight;
mod hidden_chain;
mod matchup;
mod mover;
mod params;
mod period_play;
mod places;
mod play;
mod possession;
mod result;
mod rim;
pub mod rows;
mod scene;
mod shooter;
mod spell;
#[cfg(test)]
mod staging;
#[cfg(test)]
mod tests;
mod touch;

pub use attempt::ShotResult;
pub use direction::PeriodDirection;
pub use find::find_play;
pub use hidden_chain::HiddenChain;
pub use matchup::{
    ATTACKER_WEIGHT, Assignment, BALL_WEIGHT, CostTable, HOOP_WEIGHT, MatchupModel, MatchupParams,
    canonical_position,
};
pub use mover::{Mover, Movers};
pub use params::PlayParams;
pub use places::{Attacker, Defender, Five, Guards, Place, SIDE_SIZE};
pub use play::{Matchup, Play, Possession, Shot, Touch};
pub use rim::RimVisit;
pub use scene::Scene;
pub use spell::Spell;
