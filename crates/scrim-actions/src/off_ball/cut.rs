//! Cuts: where an attacker without the ball runs, and why.
//!
//! The way from tracks to rows, a module a step:
//! - `eligible`: the frames that count: half-court play, no shot in the air, not the handler;
//! - `bout`: runs, by speed, cut in two at clear turns;
//! - `run`: what there is to measure about one;
//! - `tie`: the screen that it came off, and the runs that belong to a screen and are no cuts;
//! - `naming`: what it is called.

mod bout;
mod eligible;
mod naming;
mod params;
mod run;
mod tie;

pub use params::CutParams;

use scrim_floor::{AttackFrame, Court, Definitions, Half, Point};
use scrim_play::{Play, Scene};
use scrim_tables::rows::CutRow;
use scrim_tables::tags::CutKind;
use scrim_tracks::{Game, PlayerIx};

use crate::{ScreenRef, Screens};
use naming::Named;
use run::Run;
use tie::{PossessionScreens, Tie};

/// A run that ends this far inside its place bears its name all but surely (the doubt left is 1/e), m.
const MARGIN_SCALE_M: f32 = 0.4;

/// A run this much faster than [`CutParams::min_peak_mps`] is a cut all but surely (the doubt left is 1/e of what it was), m/s.
const PEAK_SCALE_MPS: f32 = 0.4;
/// The same for how far it leads against [`CutParams::min_net_m`], m.
const NET_SCALE_M: f32 = 0.5;

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

/// Finds the cuts of a game, in time order (by possession, then by start, then by player). `scenes`: one a possession
/// of `play`, in their order ([`Scene::all`]).
///
/// Half-court play only, without the handler, and not from the release of a shot until someone has the ball again.
pub fn find_cuts(
    scenes: &[Scene],
    play: &Play,
    court: &Court,
    screens: &Screens,
    params: &CutParams,
    definitions: &Definitions,
) -> Vec<Cut> {
    let mut found = Vec::new();
    for (id, (possession, scene)) in play.possessions.iter().zip(scenes).enumerate() {
        let from = found.len();
        let of = PossessionScreens::of(screens, id, scene);
        let Some(eligible) = eligible::eligible_frames(scene, play, possession) else {
            continue;
        };
        for place in scene.attackers.places() {
            let counts = eligible::without_ball(scene, place, &eligible.in_play);
            for frames in bout::find_bouts(scene, place, &counts, params, definitions) {
                let with_ball = eligible::is_with_ball(scene, place, &frames)
                    || eligible::is_rest_of_drive(scene, place, &frames);
                if frames.start < eligible.begins || with_ball {
                    continue;
                }
                let run = run::measure(scene, place, frames, definitions);
                if let Tie::Cut(screen, part) = of.tie(scene, &run)
                    && let Some(named) = naming::name(&run, part, court, definitions)
                {
                    found.push(cut(scene, id, &run, screen, named, params));
                }
            }
        }
        found[from..].sort_by_key(|cut: &Cut| (cut.start, cut.player));
    }
    found
}

fn cut(
    scene: &Scene,
    possession: usize,
    run: &Run,
    screen: Option<ScreenRef>,
    named: Named,
    params: &CutParams,
) -> Cut {
    let last = run.last();
    Cut {
        possession,
        player: scene.attackers[run.place].player,
        kind: named.kind,
        start: scene.first_frame + run.frames.start,
        end: scene.first_frame + last,
        from: run.from,
        to: run.to,
        strong_side: scene.strong[last] == Some(Half::of(run.to)),
        screen,
        peak_speed_mps: run.peak_mps,
        path_m: run.path_m,
        confidence: confidence(run, named, params),
    }
}

/// How sure a name is: how clearly it is a run at all, times how clearly the name's place was reached. One half each at
/// the very edge of what counts.
fn confidence(run: &Run, named: Named, params: &CutParams) -> f32 {
    let sure = |margin: f32, scale: f32| 1.0 - 0.5 * (-margin / scale.max(f32::MIN_POSITIVE)).exp();
    sure(run.peak_mps - params.min_peak_mps, PEAK_SCALE_MPS)
        * sure(run.net_m() - params.min_net_m, NET_SCALE_M)
        * sure(named.margin_m, MARGIN_SCALE_M)
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

#[cfg(test)]
mod tests;
