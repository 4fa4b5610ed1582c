//! Handoffs: the user takes the ball from the screener.

use std::ops::Range;

use scrim_floor::Half;
use scrim_play::{Play, Scene};
use scrim_tables::tags::{Outcome, ScreenKind, TouchEnd};

use super::reading::{Approach, Place};
use super::{BallScreen, ScreenEvidence, ScreenParams, reading, stop};

/// A giver stands still if he has this long before the exchange, s; the stop may begin earlier.
const STANDS_BEFORE_S: f32 = 0.5;

/// How sure a handoff is: one stated value for all of them, not measured one by one as a ball screen's is. The touches
/// have decided already; nothing here weighs them again. Common practice, no source.
const HANDOFF_CONFIDENCE: f32 = 0.9;

/// Finds the handoffs of one possession: the touches that the play's stage calls ended by one.
pub(super) fn find_handoffs(
    scene: &Scene,
    play: &Play,
    id: usize,
    possession: &scrim_play::Possession,
    params: &ScreenParams,
    found: &mut Vec<BallScreen>,
) {
    let place = |player| scene.attackers.iter().position(|mover| mover.player == player);
    for touch in &play.touches[possession.touches.clone()] {
        if touch.ended_by != TouchEnd::Handoff || scene.frames == 0 {
            continue;
        }
        let (Some(giver), Some(taker)) = (place(touch.player), touch.next.and_then(place)) else {
            continue;
        };
        let exchange = scene.frames_of(&touch.frames).end.min(scene.frames - 1);
        let around = scene.frames_in(params.handoff.around_s);
        let span = exchange.saturating_sub(around)..(exchange + around + 1).min(scene.frames);
        let stands = exchange.saturating_sub(scene.frames_in(STANDS_BEFORE_S))..exchange + 1;
        let stop = stop::find_stops(scene, &scene.attackers[giver], stands, &params.set)
            .into_iter()
            .next_back();
        let begin = exchange.saturating_sub(around);
        let spot = scene.attackers[giver].at(exchange);
        let approach = if stop.is_some() {
            Approach::Stopped
        } else {
            Approach::Slowed
        };
        let place = Place {
            handler: taker,
            mate: giver,
            approach,
            begin,
            stands_from: begin,
            spot,
            span,
        };
        let (at, gap_m) = closest_approach(scene, giver, taker, place.span.clone());
        let measured = reading::measure(scene, place, params);
        if measured.in_back_court
            || !gap_m.is_finite()
            || !measured.lowest_speed_mps.is_finite()
            || !comes_for_it(scene, giver, taker, exchange, params)
        {
            continue;
        }
        let player = |place: usize| scene.defenders[place].player;
        found.push(BallScreen {
            possession: id,
            kind: ScreenKind::Handoff,
            outcome: Outcome::Used,
            screener: scene.attackers[giver].player,
            user: scene.attackers[taker].player,
            screener_defender: measured.screener_defender.map(player),
            user_defender: measured.user_defender.map(player),
            set: stop
                .filter(|stop| stop.frames.start <= at)
                .map(|stop| scene.first_frame + stop.frames.start),
            used: scene.first_frame + at,
            end: scene.first_frame
                + super::end_frame(
                    scene,
                    [taker, giver],
                    spot,
                    at,
                    params.outcome.end_after_use_s,
                    params.outcome.end_apart_m,
                ),
            spot,
            right_of_user_m: super::right_of_m(scene, taker, begin, spot),
            strong_side: scene.strong[at] == Some(Half::of(spot)),
            previous: None,
            confidence: HANDOFF_CONFIDENCE,
            evidence: ScreenEvidence {
                screener_speed_mps: measured.lowest_speed_mps,
                user_gap_m: gap_m,
                defender_gap_m: measured.defender_gap_m,
                angle_deg: reading::path_angle_deg(scene, taker, at),
            },
            early_denial: false,
        });
    }
}

/// When the two are nearest to each other around the exchange, and how near, m.
fn closest_approach(scene: &Scene, giver: usize, taker: usize, frames: Range<usize>) -> (usize, f32) {
    let apart = |k: usize| {
        scene.attackers[giver]
            .at(k)
            .distance_m(scene.attackers[taker].at(k))
    };
    let nearest = frames
        .clone()
        .map(|k| (k, apart(k)))
        .filter(|(_, gap_m)| gap_m.is_finite());
    nearest
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((frames.start, f32::NAN))
}

/// Whether the taker comes to the giver for the ball. A screener who slips away is given the ball as near, but he leaves.
fn comes_for_it(scene: &Scene, giver: usize, taker: usize, exchange: usize, params: &ScreenParams) -> bool {
    let apart = |k: usize| {
        scene.attackers[giver]
            .at(k)
            .distance_m(scene.attackers[taker].at(k))
    };
    let before = exchange.saturating_sub(scene.frames_in(params.handoff.coming_s));
    apart(before) - apart(exchange) >= params.handoff.coming_m
}
