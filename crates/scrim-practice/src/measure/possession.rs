//! Possessions and matchups.

use scrim_tables::tags::{EndKind, Phase};

use super::film::Film;
use crate::labels::{Labels, MatchupLabel, PossessionLabel};
use crate::plan::PossessionPlan;
use crate::record::to_attack;

/// First frame at which the ball has been past half court and at least four attackers are past it.
fn find_half_court(film: &Film<'_>, plan: &PossessionPlan, from: usize, to: usize) -> Option<usize> {
    let view = film.view(plan.period, from);
    let half = f64::from(film.params.court.half_court_x_m());
    let mut ball_past = false;
    (from..=to).find(|&frame| {
        let row = &view.record.frames[frame];
        if let Some([x, y, _]) = row.ball_m {
            ball_past |= to_attack([x, y], view.sign, view.hoop_x_m).x < half;
        }
        let past = (plan.offense * 5..plan.offense * 5 + 5)
            .filter(|&s| view.spot(frame, s).x < half)
            .count();
        ball_past && past >= 4
    })
}

pub(crate) fn measure_possessions(film: &Film<'_>, labels: &mut Labels) {
    for (id, plan) in film.log.possessions.iter().enumerate() {
        let from = film.frame_at(plan.period, plan.t_start_s);
        let to = film.frame_at(plan.period, plan.t_end_s).max(from);
        let half = find_half_court(film, plan, from, to);
        let id = id as u32;
        let plain = !plan.is_doubtful && to > from + film.span(0.4);
        let rows = || {
            labels
                .screens
                .iter()
                .filter(|s| s.possession_id == id && s.on_ball)
        };
        let certain = plain && rows().all(|s| s.screen_kind.is_some());
        let phase = if half.is_some() {
            Phase::HalfCourt
        } else {
            Phase::Transition
        };
        let team = |t: usize| film.fixture.team_ids[t].clone();
        let scored = matches!(plan.end_kind, Some(EndKind::ShotMade));
        labels.possessions.push(PossessionLabel {
            game_id: film.game_id.clone(),
            period: plan.period,
            possession_id: id,
            t_start_s: film.time_of(from),
            t_end_s: film.time_of(to),
            offense_team_id: team(plan.offense),
            defense_team_id: team(1 - plan.offense),
            attacks_positive_x: film.record(plan.period).frames[from].sign > 0.0,
            phase: plain.then_some(phase),
            t_half_court_s: half.map(|f| film.time_of(f)),
            end_kind: plan.end_kind.filter(|_| plain),
            points: (plain && plan.end_kind != Some(EndKind::Foul)).then_some(if scored {
                plan.points
            } else {
                0
            }),
            ball_screen_count: certain.then(|| rows().count() as u16),
            alignment: plan.alignment.filter(|_| plain),
        });
        if let (true, Some(half)) = (plain, half) {
            push_matchups(film, labels, plan, id, half, to);
        }
    }
}

/// The spells of every defender between `from` and `to`.
fn push_matchups(
    film: &Film<'_>,
    labels: &mut Labels,
    plan: &PossessionPlan,
    id: u32,
    from: usize,
    to: usize,
) {
    let (start, end) = (film.time_of(from), film.time_of(to));
    let rivals = (1 - plan.offense) * 5;
    for defender in rivals..rivals + 5 {
        let mut spells: Vec<(usize, f64)> = Vec::new();
        for change in film.log.matchups.iter().filter(|c| {
            c.period == plan.period
                && c.offense == plan.offense
                && c.t_s >= plan.t_start_s - 1e-9
                && c.t_s < end
        }) {
            let player = change.guards[defender];
            let t_s = change.t_s.max(start);
            match spells.last_mut() {
                Some((last, _)) if *last == player => {}
                // A change before the half-court part replaces what held till then.
                Some(last) if last.1 >= t_s => *last = (player, t_s),
                _ => spells.push((player, t_s)),
            }
        }
        for (index, &(player, t_start_s)) in spells.iter().enumerate() {
            let t_end_s = spells.get(index + 1).map_or(end, |next| next.1);
            if t_end_s > t_start_s {
                labels.matchups.push(MatchupLabel {
                    game_id: film.game_id.clone(),
                    period: plan.period,
                    possession_id: id,
                    defender_id: film.player_id(plan.period, from, defender),
                    offender_id: film.player_id(plan.period, from, player),
                    t_start_s,
                    t_end_s,
                });
            }
        }
    }
}
