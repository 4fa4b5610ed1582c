//! Claims about whole games: their tracks, their labels, their files.

mod files;
mod labels;
mod lifts;
mod not_used;
mod off_ball;
mod orderly;
mod season;
mod tracks;

use std::collections::BTreeMap;

use crate::{PracticeGame, PracticeParams, Tracking};

pub(super) fn short(seed: u64) -> PracticeParams {
    PracticeParams {
        seed,
        periods: 2,
        period_s: 240.0,
        ..PracticeParams::default()
    }
}

/// Where a player stood at an instant: period, millisecond, id; the ball's id is empty.
pub(super) fn spots(game: &PracticeGame, tracking: &Tracking) -> BTreeMap<(u8, u64, String), [f32; 2]> {
    (0..tracking.len())
        .map(|i| {
            let id = tracking.player[i].map_or(String::new(), |p| {
                game.players[usize::from(p)].player_id.to_string()
            });
            let ms = (tracking.t_s[i] * 1000.0).round() as u64;
            ((tracking.period[i], ms, id), [tracking.x_m[i], tracking.y_m[i]])
        })
        .collect()
}
