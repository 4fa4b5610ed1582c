//! Who has the ball at each frame: the cheapest path through {loose, each player on the floor}.
//!
//! A ball within reach is consistent with every player near it, so nearness alone would flicker. Taking and giving up
//! control cost something; a defender who passes closer to the ball than its dribbler for a moment does not pay.
//!
//! - `path`: the cheapest path.
//! - `evidence`: what the ball says for and against each player.
//! - `context`: the rule, and what is known besides the tracks.

mod context;
mod evidence;
mod path;

pub(crate) use context::{ControlContext, ControlRule, event_control};

use scrim_floor::Definitions;
use scrim_tracks::Period;

use crate::spell::Spell;
use path::cheapest_path;

/// Spells of control in a period, in time order; they do not overlap. Works without ball height, with less to go by
/// around the rim.
pub(crate) fn find_control(period: &Period, context: ControlContext<'_>, rule: &ControlRule) -> Vec<Spell> {
    let path = cheapest_path(period, context, rule);
    let min_frames = period.frames_in(Definitions::CONTROL_S);
    let mut spells = Vec::new();
    let mut start = 0;
    for frame in 1..=path.len() {
        if frame < path.len() && path[frame] == path[start] {
            continue;
        }
        if let Some(track) = path[start]
            && frame - start >= min_frames
        {
            let of = period.track(track);
            spells.push(Spell {
                player: of.player,
                track,
                team: of.team,
                frames: start..frame,
            });
        }
        start = frame;
    }
    spells
}
