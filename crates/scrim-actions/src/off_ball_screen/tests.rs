//! Off-ball screens on staged scenes: ten players moved by hand, touches and matchups given, so that nothing but this
//! stage is under test.
//!
//! - `staged`: the scenes, a screen of each kind among them.
//! - `kinds`: what must be found, with all that its row says; `met`: how the user's defender met it.
//! - `parted`: screens that nobody used.
//! - `negatives`: what must not fire.
//! - `invariances`: what must not change.

mod invariances;
mod kinds;
mod met;
mod negatives;
mod parted;
mod staged;
