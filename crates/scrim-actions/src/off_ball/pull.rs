//! Pull of motion, one game's part: where defenders are, against canonical position, while an attacker without the ball
//! moves and while they stand.
//!
//! What it is: a defender's residual is their distance from canonical position, which depends on their own attacker, the ball and
//! the hoop. For each attacker, possession and defender the residual while the attacker moves is held against the same
//! defender's while the attacker stands. Two questions are kept apart:
//!
//! - **the own defender**. Canonical position goes with the attacker, so a defender who only reacts is off it as long as the
//!   attacker moves: that lag is no pull. The residual is therefore measured twice, from canonical position now, and from where
//!   it was some time ago: that time which, in this possession, fits best while the attacker moves. What is left is what
//!   following late does not explain, a little too little of it: the time is chosen for the moving frames. The time itself is
//!   reported too.
//! - **the other defenders**. Their canonical positions do not depend on this attacker. Only those count whose own attackers
//!   stand and are off the ball: of these, nobody has a lag of their own to catch up, so a change is a change of help. Beside the
//!   distance, the part of it that points toward this attacker is reported, with its sign: noise in the tracks makes every
//!   distance longer, but that part not.
//!
//! What it is not: a cause. Players move when others do, early in a possession more than late, and the defence may do at the
//! same time what it would have done anyway. Time around ball screens, drives and the moment after a pass are left out because
//! they move the defence by themselves; what else happens at the same time is not.
//!
//! - `movement`: who moves and who stands; `contrast`: the means, pair by pair.

mod contrast;
mod movement;
mod params;

pub use contrast::Contrast;
pub use params::{BallScreenTime, PullParams};

use scrim_floor::Definitions;
use scrim_play::{Attacker, Defender, Five, Play, SIDE_SIZE, Scene, canonical_position};
use scrim_tables::ids_key;
use scrim_tables::rows::PullSampleRow;
use scrim_tables::tags::Phase;
use scrim_tracks::{Game, PlayerIx};

use super::motion::{MotionParams, stretch_frames};
use super::window::window;
use crate::screen::of_possession;
use crate::{BallScreen, Screens};
use contrast::{Pair, PairMeans, WeightedMeans};
use movement::{Movement, classify_movement};

/// One off-ball attacker in one possession.
#[derive(Debug, Clone, PartialEq)]
pub struct PullSample {
    /// The possession.
    pub possession: usize,
    /// The attacker.
    pub player: PlayerIx,
    /// Time that they moved, of the time that counts, s.
    pub moving_s: f32,
    /// Time that they stood, s.
    pub standing_s: f32,
    /// Their own defender's distance from canonical position.
    pub own: Option<Contrast>,
    /// The same, from canonical position as it was `own_lag_s` earlier, over the same frames.
    pub own_late: Option<Contrast>,
    /// By how much their own defender follows late, s: the mean over their defenders of the lag with the least residual.
    pub own_lag_s: Option<f32>,
    /// The distance from canonical position of the other off-ball defenders whose own attackers stand.
    pub others: Option<Contrast>,
    /// How far these are off toward them, over the same frames.
    pub others_toward: Option<Contrast>,
}

/// Everyone of one possession, by attacker.
#[derive(Default)]
struct Sums {
    /// Moving, standing.
    frames: Five<Attacker, [u32; 2]>,
    /// A residual a lag.
    own: Five<Attacker, OwnPairs>,
    /// Distance, and the part of it toward the attacker.
    others: Five<Attacker, OtherPairs>,
}

/// An attacker's own defenders.
type OwnPairs = Five<Defender, Pair<LAGS>>;
/// The other defenders, by whom they guard.
type OtherPairs = Five<Defender, Five<Attacker, Pair<2>>>;

/// So many lags are tried, from none to [`PullParams::max_lag_s`].
const LAGS: usize = 9;

/// Measures every off-ball attacker in every half-court possession, in the order of the possessions, then of the players.
/// `scenes`: one a possession of `play`, in their order ([`Scene::all`]); `noise_m` as in
/// [`crate::find_off_ball_motion`].
///
/// Who neither moved nor stood at any instant that counts has no sample.
pub fn find_pull_samples(
    scenes: &[Scene],
    play: &Play,
    screens: &Screens,
    noise_m: &[Option<f32>],
    motion: &MotionParams,
    params: &PullParams,
    definitions: &Definitions,
) -> Vec<PullSample> {
    let mut found = Vec::new();
    let mut movement = Five::<Attacker, Vec<Movement>>::default();
    for (id, (scene, possession)) in scenes.iter().zip(&play.possessions).enumerate() {
        let Some(half_court) = half_court(possession) else {
            continue;
        };
        let noise_m = noise_m.get(scene.period).copied().flatten();
        let stretch = stretch_frames(scene, noise_m);
        for (place, mover) in scene.attackers.placed() {
            classify_movement(scene, mover, stretch, motion, params, &mut movement[place]);
        }
        let around = Around {
            scene,
            screens: of_possession(screens.on_ball(), id, |screen| screen.possession),
            movement: &movement,
            definitions,
            params,
        };
        let from = half_court.saturating_sub(scene.first_frame);
        let sums = around.sums(from);
        let step_s = scene.frames_in(params.step_s) as f64 / scene.hz;
        for (place, mover) in scene.attackers.placed() {
            let [moving_s, standing_s] = sums.frames[place].map(|frames| (f64::from(frames) * step_s) as f32);
            if moving_s + standing_s == 0.0 {
                continue;
            }
            let own = own_defenders(&sums.own[place], params.max_lag_s, step_s);
            let [others, others_toward] = other_defenders(&sums.others[place], step_s);
            found.push(PullSample {
                possession: id,
                player: mover.player,
                moving_s,
                standing_s,
                own: own.map(|own| own.now),
                own_late: own.map(|own| own.late),
                own_lag_s: own.map(|own| own.lag_s),
                others,
                others_toward,
            });
        }
    }
    found
}

/// From which frame of the period half-court play is on; `None` in transition.
fn half_court(possession: &scrim_play::Possession) -> Option<usize> {
    match possession.phase {
        Phase::HalfCourt => possession.half_court,
        Phase::Transition => None,
    }
}

/// What one attacker's own defenders did.
#[derive(Debug, Clone, Copy)]
struct Own {
    now: Contrast,
    late: Contrast,
    lag_s: f32,
}

fn own_defenders(pairs: &OwnPairs, max_lag_s: f32, step_s: f64) -> Option<Own> {
    let (mut now, mut late, mut lag) = (
        WeightedMeans::default(),
        WeightedMeans::default(),
        WeightedMeans::default(),
    );
    for pair in pairs.values().iter().filter_map(Pair::means) {
        // Of equals the first: a defender who is not late is not reported as late.
        let best = (1..LAGS).fold(0, |best, lag| {
            if pair.moving_m[lag] < pair.moving_m[best] {
                lag
            } else {
                best
            }
        });
        now.add(pair.weight, pair.moving_m[0], pair.standing_m[0]);
        late.add(pair.weight, pair.moving_m[best], pair.standing_m[best]);
        let lag_s = f64::from(lag_s(best, max_lag_s));
        lag.add(pair.weight, lag_s, lag_s);
    }
    Some(Own {
        now: now.contrast(step_s)?,
        late: late.contrast(step_s)?,
        lag_s: lag.contrast(step_s)?.moving_m,
    })
}

fn other_defenders(pairs: &OtherPairs, step_s: f64) -> [Option<Contrast>; 2] {
    let mut both = [WeightedMeans::default(); 2];
    let pairs = pairs.values().iter().flat_map(Five::values);
    for PairMeans {
        weight,
        moving_m,
        standing_m,
    } in pairs.filter_map(Pair::means)
    {
        for (which, means) in both.iter_mut().enumerate() {
            means.add(weight, moving_m[which], standing_m[which]);
        }
    }
    both.map(|means| means.contrast(step_s))
}

/// The lag at this place among those tried, s.
fn lag_s(place: usize, max_lag_s: f32) -> f32 {
    max_lag_s * place as f32 / (LAGS - 1) as f32
}

/// What there is to know of one possession.
struct Around<'a> {
    scene: &'a Scene,
    screens: &'a [BallScreen],
    movement: &'a Five<Attacker, Vec<Movement>>,
    definitions: &'a Definitions,
    params: &'a PullParams,
}

impl Around<'_> {
    /// Sums over the instants from scene frame `from` on.
    fn sums(&self, from: usize) -> Sums {
        let (scene, params) = (self.scene, self.params);
        let step = scene.frames_in(params.step_s);
        let after_catch = scene.frames_in(params.after_catch_s);
        let windows: Vec<_> = self
            .screens
            .iter()
            .map(|screen| (window(scene, screen, self.definitions), screen))
            .collect();
        let mut sums = Sums::default();
        let mut held_since = 0;
        for k in 0..scene.frames {
            if k > 0 && scene.handler[k] != scene.handler[k - 1] {
                held_since = k;
            }
            if k < from || !(k - from).is_multiple_of(step) || k - held_since < after_catch {
                continue;
            }
            let Some(handler) = scene.handler[k] else {
                continue;
            };
            // A handler whose speed is not known does not count either.
            let is_slow = scene.attackers[handler].speed_at(k) <= params.max_handler_mps;
            if !is_slow {
                continue;
            }
            let mut is_out = Five::<Attacker, bool>::default();
            is_out[handler] = true;
            let mut is_ball_screen = false;
            for (_, screen) in windows.iter().filter(|(window, _)| window.contains(&k)) {
                is_ball_screen = true;
                for (place, mover) in scene.attackers.placed() {
                    is_out[place] |= mover.player == screen.screener || mover.player == screen.user;
                }
            }
            match (params.ball_screens, is_ball_screen) {
                (BallScreenTime::LeftOut, true) | (BallScreenTime::Only, false) => continue,
                (BallScreenTime::LeftOut | BallScreenTime::Counted, false)
                | (BallScreenTime::Counted | BallScreenTime::Only, true) => {}
            }
            self.add_instant(k, &is_out, &mut sums);
        }
        sums
    }

    /// Adds frame `k`, at which the attackers of `is_out` and their defenders do not count.
    fn add_instant(&self, k: usize, is_out: &Five<Attacker, bool>, sums: &mut Sums) {
        let scene = self.scene;
        let ball = scene.ball_at(k);
        // Of every attacker off the ball: their defender, and how far that one is off canonical position.
        let guards = Five::<Attacker, Option<Guard>>::from_fn(|attacker| {
            let mover = scene.attackers.get(attacker).filter(|_| !is_out[attacker])?;
            let place = scene.guard[k][attacker]?;
            let canonical = canonical_position(mover.at(k), ball);
            let off = scene.defenders[place].at(k) - canonical;
            off.length().is_finite().then_some(Guard {
                place,
                canonical,
                off,
            })
        });
        for (place, mover) in scene.attackers.placed() {
            if is_out[place] {
                continue;
            }
            let movement = self.movement[place][k];
            match movement {
                Movement::Moves => sums.frames[place][0] += 1,
                Movement::Stands => sums.frames[place][1] += 1,
                Movement::Between => continue,
            }
            if let Some(own) = &guards[place]
                && let Some(lagged_m) = self.lagged_m(place, own.place, k)
            {
                sums.own[place][own.place].add(movement, lagged_m);
            }
            for (other, guard) in guards.iter() {
                let Some(guard) = guard else { continue };
                if other == place || self.movement[other][k] != Movement::Stands {
                    continue;
                }
                let way = mover.at(k) - guard.canonical;
                let toward_m = guard.off.dot(way) / way.length();
                if toward_m.is_finite() {
                    sums.others[place][guard.place][other].add(movement, [guard.off.length(), toward_m]);
                }
            }
        }
    }

    /// For each lag, the distance of the defender from where canonical position on the attacker was so
    /// long before frame `k`, m; `None` where one of them is not known.
    fn lagged_m(&self, attacker: Attacker, defender: Defender, k: usize) -> Option<[f32; LAGS]> {
        let scene = self.scene;
        let at = scene.defenders[defender].at(k);
        let mut lagged_m = [0.0; LAGS];
        for (place, lagged_m) in lagged_m.iter_mut().enumerate() {
            let lag = f64::from(lag_s(place, self.params.max_lag_s)) * scene.hz;
            let then = k.checked_sub(lag.round() as usize)?;
            let canonical = canonical_position(scene.attackers[attacker].at(then), scene.ball_at(then));
            *lagged_m = at.distance_m(canonical);
            if !lagged_m.is_finite() {
                return None;
            }
        }
        Some(lagged_m)
    }
}

/// A defender against canonical position.
struct Guard {
    place: Defender,
    canonical: scrim_floor::Point<scrim_floor::AttackFrame>,
    /// From there to the defender.
    off: scrim_floor::Vector<scrim_floor::AttackFrame>,
}

/// Rows of `pull_samples`, in the order of `samples`.
pub fn pull_sample_rows(
    game: &Game,
    play: &Play,
    scenes: &[Scene],
    samples: &[PullSample],
) -> Vec<PullSampleRow> {
    samples
        .iter()
        .map(|sample| {
            let possession = &play.possessions[sample.possession];
            let player = game.player(sample.player);
            let moving_m = |contrast: Option<Contrast>| contrast.map(|contrast| contrast.moving_m);
            let standing_m = |contrast: Option<Contrast>| contrast.map(|contrast| contrast.standing_m);
            let weight_s = |contrast: Option<Contrast>| contrast.map_or(0.0, |contrast| contrast.weight_s);
            PullSampleRow {
                game_id: game.info.game_id.clone(),
                period: game.periods[possession.period].number,
                possession_id: sample.possession as u32,
                team_id: game.team_id(possession.offense).clone(),
                player_id: player.id.clone(),
                lineup: lineup(game, &scenes[sample.possession]),
                moving_s: sample.moving_s,
                standing_s: sample.standing_s,
                own_weight_s: weight_s(sample.own),
                own_moving_m: moving_m(sample.own),
                own_standing_m: standing_m(sample.own),
                own_lag_s: sample.own_lag_s,
                own_late_moving_m: moving_m(sample.own_late),
                own_late_standing_m: standing_m(sample.own_late),
                others_weight_s: weight_s(sample.others),
                others_moving_m: moving_m(sample.others),
                others_standing_m: standing_m(sample.others),
                others_toward_moving_m: moving_m(sample.others_toward),
                others_toward_standing_m: standing_m(sample.others_toward),
            }
        })
        .collect()
}

/// The five attackers' ids in ascending order, `/` between; `None` when they are not five.
fn lineup(game: &Game, scene: &Scene) -> Option<String> {
    if scene.attackers.len() != SIDE_SIZE {
        return None;
    }
    let mut ids: Vec<&str> = scene
        .attackers
        .iter()
        .map(|mover| game.player(mover.player).id.as_ref())
        .collect();
    ids.sort_unstable();
    Some(ids_key(&ids))
}

#[cfg(test)]
mod tests;
