//! Off-ball motion: what each attacker without the ball did while a ball screen was on.

use scrim_play::{Play, Scene};
use scrim_tables::rows::OffBallMotionRow;
use scrim_tables::tags::Activity;
use scrim_tracks::{Game, PlayerIx};
use serde::{Deserialize, Serialize};

use crate::{Cut, Screens};

/// One off-ball attacker during one ball screen. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallMotion {
    /// The ball screen, by its place in [`Screens::on_ball`].
    pub screen: usize,
    /// The attacker.
    pub player: PlayerIx,
    /// Whether he was on the ball's side at the use.
    pub strong_side: bool,
    /// What he did.
    pub activity: Activity,
    /// The way run in the window, m.
    pub path_m: f32,
    /// From where he was first to where he was last, m.
    pub net_m: f32,
    /// Mean speed, m/s.
    pub mean_speed_mps: f32,
    /// Largest speed, m/s.
    pub peak_speed_mps: f32,
    /// Share of the window above the moving speed.
    pub moving_share: f32,
    /// Who guards him.
    pub defender: Option<PlayerIx>,
    /// How far his defender was from canonical position, most, m.
    pub defender_pull_m: Option<f32>,
    /// The largest distance to the nearest defender, m.
    pub max_space_m: Option<f32>,
    /// When that was.
    pub max_space_at: Option<usize>,
}

/// How off-ball motion is measured and named.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct MotionParams {}

/// Measures every off-ball attacker during every ball screen and handoff, in the order of the screens, then of the players.
pub fn find_off_ball_motion(
    _scenes: &[Scene],
    _play: &Play,
    _screens: &Screens,
    _cuts: &[Cut],
    _params: &MotionParams,
) -> Vec<OffBallMotion> {
    Vec::new()
}

/// Rows of `off_ball_motion`, in the order of `motions`.
pub fn off_ball_motion_rows(
    game: &Game,
    play: &Play,
    screens: &Screens,
    motions: &[OffBallMotion],
) -> Vec<OffBallMotionRow> {
    let id_of = |player| game.player(player).id.clone();
    motions
        .iter()
        .map(|motion| {
            let screen = &screens.on_ball()[motion.screen];
            let period = &game.periods[play.possessions[screen.possession].period];
            OffBallMotionRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: screen.possession as u32,
                screen_id: screens.id_of(crate::ScreenRef::OnBall(motion.screen)),
                player_id: id_of(motion.player),
                strong_side: motion.strong_side,
                activity: motion.activity,
                path_m: motion.path_m,
                net_m: motion.net_m,
                mean_speed_mps: motion.mean_speed_mps,
                peak_speed_mps: motion.peak_speed_mps,
                moving_share: motion.moving_share,
                defender_id: motion.defender.map(id_of),
                defender_pull_m: motion.defender_pull_m,
                max_space_m: motion.max_space_m,
                t_max_space_s: motion.max_space_at.map(|frame| period.t_s(frame)),
            }
        })
        .collect()
}
