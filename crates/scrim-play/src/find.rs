//! The stage: from a game to its play.

use scrim_floor::Definitions;
use scrim_tables::tags::Phase;
use scrim_tracks::{Game, Period};

use crate::attempt::{Attempt, cut_flights};
use crate::control::{ControlContext, ControlRule, event_control, find_control};
use crate::direction::{PeriodDirection, find_directions};
use crate::ending::{end_kind, points};
use crate::find_attempts::find_attempts;
use crate::period_play::PeriodPlay;
use crate::possession::{Stretch, find_stretches};
use crate::result::settle_results;
use crate::rim::{RimVisit, find_rim_visits};
use crate::spell::Spell;
use crate::touch::add_touches;
use crate::{MatchupModel, MatchupParams, Play, PlayParams, Possession, Scene, Shot};

/// Finds control, touches, shots, possessions and matchups in `game`.
///
/// Works without events, clocks, ball height, and with a ball that is missing for a while, each with less to go by.
pub fn find_play(game: &Game, params: &PlayParams) -> Play {
    find_play_by(game, params, &ControlRule::of(params))
}

/// The same by another rule of control.
pub(crate) fn find_play_by(game: &Game, params: &PlayParams, rule: &ControlRule) -> Play {
    let court = &game.info.court;
    let visits: Vec<Vec<RimVisit>> = game
        .periods
        .iter()
        .map(|period| find_rim_visits(period, court))
        .collect();
    let by_period = |directions: Option<&[PeriodDirection]>| -> (Vec<Vec<Spell>>, Vec<Vec<Attempt>>) {
        let periods = game.periods.iter().zip(&visits).enumerate();
        periods
            .map(|(at, (period, visits))| {
                let direction = directions.map(|directions| directions[at]);
                let events = game.events.as_deref().unwrap_or_default();
                let reported = event_control(period, events);
                let context = ControlContext {
                    direction,
                    visits,
                    reported: &reported,
                };
                let mut spells = find_control(period, context, rule);
                let mut attempts = find_attempts(game, period, &mut spells, visits, direction, params);
                cut_flights(&attempts, &mut spells);
                settle_results(period, court, &spells, &mut attempts);
                (spells, attempts)
            })
            .unzip()
    };
    // Control shows the direction, and the direction makes control surer.
    let (control, attempts) = by_period(None);
    let directions = find_directions(game, &control, &attempts);
    let (control, attempts) = by_period(Some(&directions));

    let mut play = Play::default();
    for (at, period) in game.periods.iter().enumerate() {
        let stretches = find_stretches(period, &control[at], &attempts[at], rule);
        for (n, stretch) in stretches.iter().enumerate() {
            let next = stretches.get(n + 1);
            add_possession(
                game,
                PeriodPlay {
                    at,
                    period,
                    spells: &control[at],
                    attempts: &attempts[at],
                    direction: directions[at],
                },
                stretch,
                next,
                (params, rule),
                &mut play,
            );
        }
    }
    play.control = control;
    play.directions = directions;
    let matchups = MatchupParams {
        scatter_m: params.scatter_m,
        ..MatchupParams::default()
    };
    add_matchups(game, &matchups, &mut play);
    play
}

/// Finds who guards whom, possession by possession.
fn add_matchups(game: &Game, params: &MatchupParams, play: &mut Play) {
    let model = MatchupModel::new(params);
    for id in 0..play.possessions.len() {
        let scene = Scene::of(game, play, &play.possessions[id]);
        let found = model.find_matchups(&scene, id, &play.possessions[id]);
        let first = play.matchups.len();
        play.matchups.extend(found);
        play.possessions[id].matchups = first..play.matchups.len();
    }
}

/// How long before the ball is seen to have left a shooter's hands their feet left the floor, s: a jump's way up of about
/// 0.25 s is mostly over at the release, and the ball is out of reach 0.15 s later. Where they left it decides the value.
const LEFT_FLOOR_S: f64 = 0.3;

fn add_possession(
    game: &Game,
    of: PeriodPlay<'_>,
    stretch: &Stretch,
    next: Option<&Stretch>,
    (params, rule): (&PlayParams, &ControlRule),
    play: &mut Play,
) {
    let id = play.possessions.len();
    let court = &game.info.court;
    let period = of.period;
    let direction = of.direction.of(stretch.team);
    let shots_from = play.shots.len();
    let inside: Vec<&Attempt> = of
        .attempts
        .iter()
        .filter(|a| !a.free_throw && a.team == stretch.team && stretch.frames.contains(&a.release))
        .collect();
    for attempt in &inside {
        let track = period.tracks.iter().find(|track| track.player == attempt.player);
        let ball = period.ball.at(attempt.release);
        // Unseen at that instant the player shoots from where the ball is.
        let seen_at = |frame: usize| {
            track
                .map(|track| track.at(frame))
                .filter(|spot| spot.x_m.is_finite() && spot.y_m.is_finite())
        };
        let spot = seen_at(attempt.release).unwrap_or(ball);
        let left_floor = attempt.release.saturating_sub(period.frames_in(LEFT_FLOOR_S));
        let floor_spot = court.to_attack(seen_at(left_floor).unwrap_or(spot), direction);
        let spot = court.to_attack(spot, direction);
        play.shots.push(Shot {
            possession: id,
            player: attempt.player,
            release: attempt.release,
            spot,
            value: attempt.worth(court.shot_value(floor_spot)),
            result: attempt.result,
            inferred: attempt.inferred,
        });
    }
    let shots = shots_from..play.shots.len();
    let half_court = half_court_frame(period, stretch, direction.sign());
    let end_kind = end_kind(game, of, stretch, next, &play.shots[shots.clone()], rule);
    let (points, points_inferred) = points(game, of, stretch, next, &play.shots[shots.clone()], end_kind);
    let touches = add_touches(of, stretch, id, end_kind, params, play, shots.clone());
    play.possessions.push(Possession {
        period: of.at,
        frames: stretch.frames.clone(),
        offense: stretch.team,
        direction,
        phase: if half_court.is_some() {
            Phase::HalfCourt
        } else {
            Phase::Transition
        },
        half_court,
        end_kind,
        points,
        points_inferred,
        clean: !period.faulty[stretch.frames.clone()].contains(&true),
        touches,
        shots,
        matchups: 0..0,
    });
}

/// First frame at which the ball and enough attackers are past half court. `sign`: of the attacked hoop's x.
fn half_court_frame(period: &Period, stretch: &Stretch, sign: f32) -> Option<usize> {
    stretch.frames.clone().find(|&frame| {
        // A missing ball (NaN) is past nothing.
        let ball_past = sign * period.ball.x_m[frame] > 0.0;
        if !ball_past {
            return false;
        }
        let Some(lineup) = period.lineup_at(frame) else {
            return false;
        };
        let past = lineup
            .of(stretch.team)
            .iter()
            .filter(|&&track| sign * period.track(track).x_m[frame] > 0.0)
            .count();
        past >= Definitions::HALF_COURT_ATTACKERS
    })
}
