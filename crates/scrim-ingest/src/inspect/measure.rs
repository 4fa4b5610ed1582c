//! What a game's periods and clocks look like.

use scrim_tracks::{PlayerIx, RawGame, RawPeriod, RawTrack};

use super::found::{InspectedClock, InspectedGame, InspectedPeriod};

pub(super) fn inspect_game(raw: &RawGame) -> InspectedGame {
    let mut seen = vec![false; raw.players.len()];
    for track in raw.periods.iter().flat_map(|p| &p.players) {
        seen[track.who.index()] = true;
    }
    let mut players = [0; 2];
    for (player, _) in raw.players.iter().zip(&seen).filter(|(_, seen)| **seen) {
        players[player.team.index()] += 1;
    }
    InspectedGame {
        game_id: raw.info.game_id.to_string(),
        teams: raw.info.team_ids.clone().map(|t| t.to_string()),
        home_is_known: raw.info.home_is_known,
        players,
        court: raw.info.court.name.clone(),
        refused_rows: 0,
        events: raw.events.as_ref().map(Vec::len),
        periods: raw.periods.iter().map(inspect_period).collect(),
    }
}

fn inspect_period(period: &RawPeriod) -> InspectedPeriod {
    let sorted = |mut times: Vec<f64>| {
        times.sort_unstable_by(f64::total_cmp);
        times
    };
    let of_players = sorted(period.players.iter().flat_map(|t| &t.t_s).copied().collect());
    let mut at_once: Vec<usize> = of_players.chunk_by(|a, b| a == b).map(<[f64]>::len).collect();
    at_once.sort_unstable();
    let players_at_once = at_once.get(at_once.len() / 2).copied().unwrap_or(0);
    let mut instants = sorted(
        of_players
            .into_iter()
            .chain(period.ball.t_s.iter().copied())
            .collect(),
    );
    let samples = instants.len() as u64;
    instants.dedup();
    let steps: Vec<f64> = instants.windows(2).map(|w| w[1] - w[0]).collect();
    let in_order = sorted(steps.clone());
    let usual = in_order.get(in_order.len() / 2).copied();
    let regular = |usual: f64| steps.iter().filter(|s| (*s - usual).abs() <= 0.1 * usual).count();
    let bounds = |of: fn(&RawTrack<PlayerIx>) -> &[f32]| -> Option<[f32; 2]> {
        let all = || period.players.iter().flat_map(of).copied();
        Some([all().min_by(f32::total_cmp)?, all().max_by(f32::total_cmp)?])
    };
    InspectedPeriod {
        number: period.number,
        samples,
        duplicate_rows: period.duplicate_rows,
        from_s: instants.first().copied().unwrap_or(0.0),
        to_s: instants.last().copied().unwrap_or(0.0),
        hz: usual.map(|step| 1.0 / step),
        regular_share: usual.map_or(0.0, |usual| regular(usual) as f64 / steps.len() as f64),
        long_steps: steps.iter().filter(|s| **s > 1.0).count() as u64,
        players: period.players.len(),
        players_at_once,
        ball_share: period.ball.t_s.len() as f64 / instants.len().max(1) as f64,
        ball_height: !period.ball.z_m.is_empty(),
        x_m: bounds(|t| &t.x_m),
        y_m: bounds(|t| &t.y_m),
        game_clock: inspect_clock(period.clocks.iter().map(|c| c.game_clock_s)),
        shot_clock: inspect_clock(period.clocks.iter().map(|c| c.shot_clock_s)),
    }
}

fn inspect_clock(values_s: impl Iterator<Item = f32>) -> InspectedClock {
    let mut clock = InspectedClock {
        first_s: None,
        last_s: None,
        steps_down: 0,
        steps_up: 0,
    };
    for now_s in values_s.filter(|s| !s.is_nan()) {
        match clock.last_s {
            Some(last_s) if now_s < last_s => clock.steps_down += 1,
            Some(last_s) if now_s > last_s => clock.steps_up += 1,
            Some(_) | None => {}
        }
        clock.first_s.get_or_insert(now_s);
        clock.last_s = Some(now_s);
    }
    clock
}
