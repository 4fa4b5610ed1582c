//! Off-ball motion: what each attacker without the ball did while a ball screen was on.
//!
//! - `kinematics`: how far and how fast; `activity`: what that is called;
//! - `defense`: how far their defender was pulled, and how much space they had.

mod activity;
pub(crate) mod defense;
mod kinematics;
mod params;

pub use kinematics::{Kinematics, PACE_NOISE_M};
pub(crate) use kinematics::{pace_mps, stretch_frames};
pub use params::{MotionParams, SpeedZones};

use scrim_floor::{Definitions, Half};
use scrim_play::{Play, Scene};
use scrim_tables::rows::OffBallMotionRow;
use scrim_tables::tags::{Activity, Begun};
use scrim_tracks::{Game, PlayerIx};

use super::cut::Cut;
use super::window::{at_use, window};
use crate::screen::of_possession;
use crate::{ScreenRef, Screens};

/// One off-ball attacker during one ball screen. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct OffBallMotion {
    /// The ball screen, by its place in [`Screens::on_ball`].
    pub screen: usize,
    /// The attacker.
    pub player: PlayerIx,
    /// Whether they were on the ball's side at the use.
    pub strong_side: bool,
    /// What they did.
    pub activity: Activity,
    /// The first and last frame of the period of what it is called for, and the use's; `None` when it has no beginning.
    pub spell: Option<[usize; 3]>,
    /// How far and how fast they went in the window.
    pub kinematics: Kinematics,
    /// Who guards them.
    pub defender: Option<PlayerIx>,
    /// How far their defender was from canonical position, most, m.
    pub defender_pull_m: Option<f32>,
    /// The largest distance to the nearest defender, m.
    pub max_space_m: Option<f32>,
    /// When that was.
    pub max_space_at: Option<usize>,
}

/// Measures every off-ball attacker during every ball screen and handoff, in the order of the screens, then of the
/// players. `scenes`: one a possession of `play`, in their order ([`Scene::all`]).
///
/// `noise_m` is the players' white noise, an entry a period ([`scrim_tracks::Cleaned`]); where there is none, that of
/// [`PACE_NOISE_M`] is taken.
///
/// Off-ball are all attackers but the screener and the user. One who is not seen in the whole window has no row.
pub fn find_off_ball_motion(
    scenes: &[Scene],
    screens: &Screens,
    cuts: &[Cut],
    noise_m: &[Option<f32>],
    params: &MotionParams,
    definitions: &Definitions,
) -> Vec<OffBallMotion> {
    let mut found = Vec::new();
    for (id, screen) in screens.on_ball().iter().enumerate() {
        let scene = &scenes[screen.possession];
        let Some(used) = at_use(scene, screen) else {
            continue;
        };
        let window = window(scene, screen, definitions);
        let noise_m = noise_m.get(scene.period).copied().flatten();
        let stretch = stretch_frames(scene, noise_m);
        let off_ball = of_possession(screens.off_ball(), screen.possession, |screen| screen.possession);
        let cuts = of_possession(cuts, screen.possession, |cut| cut.possession);
        for (place, mover) in scene.attackers.placed() {
            if mover.player == screen.screener || mover.player == screen.user {
                continue;
            }
            let Some(kinematics) = kinematics::measure(scene, mover, window.clone(), stretch, params) else {
                continue;
            };
            let space = defense::largest(window.clone(), |k| scene.space_m(place, k));
            let pull = defense::largest(window.clone(), |k| defense::pull_m(scene, place, k));
            let (activity, spell) =
                activity::classify_activity(scene, mover, &window, off_ball, cuts, definitions);
            found.push(OffBallMotion {
                screen: id,
                player: mover.player,
                strong_side: scene.strong[used] == Some(Half::of(mover.at(used))),
                activity,
                spell: spell.map(|(start, end)| [start, end, screen.used]),
                kinematics,
                defender: defense::defender_of(scene, place, used, &window),
                defender_pull_m: pull.map(|(pull_m, _)| pull_m),
                max_space_m: space.map(|(space_m, _)| space_m),
                max_space_at: space.map(|(_, k)| scene.first_frame + k),
            });
        }
    }
    found
}

/// What begins this much before or after the use begins at it, s.
const AT_USE_S: f64 = 0.2;

fn begun(after_use_s: f64) -> Begun {
    if after_use_s < -AT_USE_S {
        Begun::Before
    } else if after_use_s > AT_USE_S {
        Begun::After
    } else {
        Begun::At
    }
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
                screen_id: screens.id_of(ScreenRef::OnBall(motion.screen)),
                player_id: id_of(motion.player),
                strong_side: motion.strong_side,
                activity: motion.activity,
                path_m: motion.kinematics.path_m,
                net_m: motion.kinematics.net_m,
                mean_speed_mps: motion.kinematics.mean_speed_mps,
                peak_speed_mps: motion.kinematics.peak_speed_mps,
                moving_share: motion.kinematics.moving_share,
                defender_id: motion.defender.map(id_of),
                defender_pull_m: motion.defender_pull_m,
                max_space_m: motion.max_space_m,
                t_max_space_s: motion.max_space_at.map(|frame| period.t_s(frame)),
                t_activity_start_s: motion.spell.map(|[start, ..]| period.t_s(start)),
                t_activity_end_s: motion.spell.map(|[_, end, _]| period.t_s(end)),
                activity_begun: motion
                    .spell
                    .map(|[start, _, used]| begun(period.t_s(start) - period.t_s(used))),
                standing_walking_s: motion.kinematics.zones_s[0],
                jogging_s: motion.kinematics.zones_s[1],
                running_s: motion.kinematics.zones_s[2],
                high_speed_running_s: motion.kinematics.zones_s[3],
            }
        })
        .collect()
}

#[cfg(test)]
mod tests;
