//! Off-ball screens on staged scenes: ten players moved by hand, touches and matchups given, so that nothing but this
//! stage is under test.
//!
//! - `staged`: the scenes, a screen of each kind among them.
//! - `kinds`: what must be found, with all that its row says; `meeting`: how the user's defender met it.
//! - `not_used`: screens that nobody used.
//! - `negatives`: what must not fire.
//! - `invariances`: what must not change.

mod invariances;
mod kinds;
mod meeting;
mod negatives;
mod not_used;
mod staged;
