//! Ball screens on staged scenes: ten players moved by hand, touches and matchups given, so that nothing but this stage
//! is under test.
//!
//! - `stage`: the builder.
//! - `screens`: what must be found; `negatives`: what must not fire.
//! - `invariances`: what must not change when the scene is turned, mirrored, moved in time or renamed.

mod invariances;
mod negatives;
mod screens;
pub(crate) mod stage;
