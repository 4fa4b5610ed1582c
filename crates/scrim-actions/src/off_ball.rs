//! What happens away from the ball.
//!
//! - `cut`: where attackers run, and why;
//! - `motion`: what each attacker without the ball did while a ball screen was on;
//! - `space`: how the five are spread, and which part of the floor each of them controls;
//! - `dilemma`: which helper was pulled, and who was left open;
//! - `pull`: where defenders are while an attacker moves and while they stand;
//! - `instants`: the geometry of every instant of a ball screen;
//! - `roll_room`: the room that the screener gets, and who had to come over;
//! - `window`: the frames around a ball screen that all of these look at.

mod cut;
mod dilemma;
mod instants;
mod motion;
mod pull;
mod roll_room;
mod space;
mod window;

pub use cut::{Cut, CutParams, cut_rows, find_cuts};
pub use dilemma::{Dilemma, Pull, dilemma_rows, find_dilemmas};
pub use instants::{InstantParams, InstantsOf, instant_rows};
pub use motion::{
    Kinematics, MotionParams, OffBallMotion, PACE_NOISE_M, SpeedZones, find_off_ball_motion,
    off_ball_motion_rows,
};
pub use pull::{BallScreenTime, Contrast, PullParams, PullSample, find_pull_samples, pull_sample_rows};
pub use roll_room::{RollRoom, find_roll_rooms};
pub use space::{
    FloorControl, SpaceParams, Spacing, SprintModel, find_spacing, floor_control_rows, spacing_rows,
};
