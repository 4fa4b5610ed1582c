//! Cuts: where an attacker without the ball runs, and why.

use scrim_floor::{AttackFrame, Court, Point};
use scrim_play::{Play, Scene};
use scrim_tables::rows::CutRow;
use scrim_tables::tags::CutKind;
use scrim_tracks::{Game, PlayerIx};
use serde::{Deserialize, Serialize};

use crate::{ScreenRef, Screens};

/// One cut. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// The possession's id.
    pub possession: usize,
    /// Who cuts.
    pub player: PlayerIx,
    /// What kind.
    pub kind: CutKind,
    /// First frame.
    pub start: usize,
    /// Last frame.
    pub end: usize,
    /// Where it began.
    pub from: Point<AttackFrame>,
    /// Where it ended.
    pub to: Point<AttackFrame>,
    /// Whether it ended on the ball's side.
    pub strong_side: bool,
    /// The screen it came off.
    pub screen: Option<ScreenRef>,
    /// The largest speed in it, m/s.
    pub peak_speed_mps: f32,
    /// The way run, m.
    pub path_m: f32,
    /// How sure the tag is, 0 to 1.
    pub confidence: f32,
}

/// What counts as a cut, and as which.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CutParams {}

/// Finds the cuts of a game, in time order (by possession, then by start, then by player).
pub fn find_cuts(
    _scenes: &[Scene],
    _play: &Play,
    _court: &Court,
    _screens: &Screens,
    _params: &CutParams,
) -> Vec<Cut> {
    Vec::new()
}

/// Rows of `cuts`, in the order of `cuts`; the place in that list is the row's `cut_id`.
pub fn cut_rows(game: &Game, play: &Play, screens: &Screens, cuts: &[Cut]) -> Vec<CutRow> {
    let court = &game.info.court;
    cuts.iter()
        .enumerate()
        .map(|(id, cut)| {
            let period = &game.periods[play.possessions[cut.possession].period];
            CutRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: cut.possession as u32,
                cut_id: id as u32,
                player_id: game.player(cut.player).id.clone(),
                cut_kind: cut.kind,
                t_start_s: period.t_s(cut.start),
                t_end_s: period.t_s(cut.end),
                zone_from: court.zone_of(cut.from),
                zone_to: court.zone_of(cut.to),
                strong_side: cut.strong_side,
                screen_id: cut.screen.map(|screen| screens.id_of(screen)),
                peak_speed_mps: cut.peak_speed_mps,
                path_m: cut.path_m,
                confidence: cut.confidence,
            }
        })
        .collect()
}
