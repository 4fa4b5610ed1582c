//! A small game made by hand, for tests: one team runs a down screen into a ball screen, roll and pass, again and again;
//! every other time on the left.

use scrim_floor::{Court, Side, Zone};
use scrim_tables::rows::{
    CoverageRow, CutRow, DisguiseRow, EntryRow, GameRow, MatchupRow, OptionRow, PlayerRow, PossessionRow,
    ScreenRow, SequenceRow, TouchRow, TrackRow,
};
use scrim_tables::tags::{
    Alignment, Coverage, CutKind, EndKind, Entity, Entry, EntryRole, HandlerAction, HelperAction, OnBallPath,
    Outcome, PassTarget, Phase, ScreenKind, ScreenerAction, TouchEnd,
};
use scrim_tables::{Id, Row};

use crate::{Choice, GameRows, SeasonRows, TeamGames};

/// Seconds from one possession's start to the next.
const POSSESSION_S: f64 = 20.0;
/// How long a possession's tracks are, s.
const TRACK_S: f64 = 10.0;

/// Where each attacker is when: seconds from the possession's start, x, y; between two on the straight line. The handler (1) waits
/// at the top, comes off the screen at 6.8 s and drives; the second player comes up from the corner off the down screen of
/// 3.0 s; the fifth sets both screens and rolls.
const ATTACKERS: [&[(f32, f32, f32)]; 5] = [
    &[(0.0, 9.0, 0.0), (5.5, 9.0, 0.0), (6.8, 7.8, 2.7), (8.0, 5.0, 3.4)],
    &[(0.0, 1.2, 6.4), (3.0, 1.2, 6.4), (3.6, 3.4, 4.8), (4.6, 6.8, 5.4)],
    &[(0.0, 1.0, -6.6)],
    &[(0.0, 5.5, -5.5)],
    &[
        (0.0, 1.5, 2.6),
        (2.0, 1.5, 2.6),
        (3.0, 3.0, 4.0),
        (3.8, 3.0, 4.0),
        (5.8, 7.6, 2.0),
        (7.0, 7.6, 2.0),
        (8.6, 1.2, 0.8),
    ],
];

fn at(path: &[(f32, f32, f32)], t_s: f32) -> (f32, f32) {
    let after = path.iter().position(|stop| stop.0 > t_s);
    match after {
        None => path.last().map_or((0.0, 0.0), |stop| (stop.1, stop.2)),
        Some(0) => (path[0].1, path[0].2),
        Some(k) => {
            let (a, b) = (path[k - 1], path[k]);
            let share = (t_s - a.0) / (b.0 - a.0);
            (a.1 + (b.1 - a.1) * share, a.2 + (b.2 - a.2) * share)
        }
    }
}

/// The ball: with the handler, a pass from 8.0 to 8.4 s to the fifth player, and with them.
fn ball(t_s: f32) -> (f32, f32) {
    let (from, to) = (at(ATTACKERS[0], t_s.min(8.0)), at(ATTACKERS[4], t_s.max(8.4)));
    let share = ((t_s - 8.0) / 0.4).clamp(0.0, 1.0);
    (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
}

fn offense(k: usize) -> Id {
    format!("h{}", k + 1).into()
}

fn defense(k: usize) -> Id {
    format!("s{}", k + 1).into()
}

/// A game of team `KH` against `SM` with so many possessions of `KH`, its tracks and all tables.
pub(crate) fn staged_game(game_id: &str, possessions: u32) -> GameRows {
    let court = Court::fiba();
    let id: Id = game_id.into();
    let mut game = GameRows {
        game: GameRow {
            date: Some("2041-03-02".into()),
            home_is_known: true,
            video_offset_s: vec![Some(100.0)],
            ..GameRow::on(&court, id.clone(), ["KH".into(), "SM".into()])
        },
        season: Some("2041".into()),
        players: Vec::new(),
        possessions: Vec::new(),
        screens: Vec::new(),
        matchups: Vec::new(),
        touches: Vec::new(),
        coverages: Vec::new(),
        options: Vec::new(),
        cuts: Vec::new(),
        entries: Vec::new(),
        disguises: Vec::new(),
        dilemmas: Vec::new(),
        sequences: Vec::new(),
        tracks: Vec::new(),
        quality: Vec::new(),
    };
    for k in 0..5 {
        for (player_id, team) in [(offense(k), "KH"), (defense(k), "SM")] {
            game.players.push(PlayerRow {
                game_id: id.clone(),
                player_id,
                team_id: team.into(),
                jersey: Some(format!("{}", k + 4).into()),
                name: Some(format!("{team} {}", k + 4).into()),
                role: None,
            });
        }
    }
    for possession in 0..possessions {
        push_possession(&mut game, possession);
    }
    game
}

fn push_possession(game: &mut GameRows, possession: u32) {
    let id = game.game.game_id.clone();
    let start_s = f64::from(possession) * POSSESSION_S;
    let mirror = if possession.is_multiple_of(2) { 1.0 } else { -1.0 };
    let (side, zone) = if possession.is_multiple_of(2) {
        (Side::Right, Zone::RightSlot)
    } else {
        (Side::Left, Zone::LeftSlot)
    };
    let coverage = if possession % 3 == 2 {
        Coverage::Switch
    } else {
        Coverage::Drop
    };
    let points = Some(if possession.is_multiple_of(2) { 2 } else { 0 });
    for k in 0..5 {
        game.matchups.push(MatchupRow {
            game_id: id.clone(),
            period: 1,
            possession_id: possession,
            defender_id: defense(k),
            offender_id: offense(k),
            t_start_s: start_s,
            t_end_s: start_s + 9.0,
            ..MatchupRow::blank()
        });
    }
    game.possessions.push(PossessionRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        t_start_s: start_s,
        t_end_s: start_s + 9.0,
        game_clock_start_s: Some((600.0 - start_s) as f32),
        game_clock_end_s: Some((591.0 - start_s) as f32),
        offense_team_id: "KH".into(),
        defense_team_id: "SM".into(),
        attacks_positive_x: true,
        phase: Phase::HalfCourt,
        t_half_court_s: Some(start_s),
        end_kind: if points == Some(2) {
            EndKind::ShotMade
        } else {
            EndKind::ShotMissed
        },
        points,
        alignment: Some(Alignment::FourOutOneIn),
        token_chain: "down:right ball_screen:right".into(),
        ball_screen_count: 1,
        clean: true,
        ..PossessionRow::blank()
    });
    for (number, on_ball) in [(0, false), (1, true)] {
        let (set_s, use_s, end_s) = if on_ball { (6.0, 6.8, 8.2) } else { (3.0, 3.6, 4.4) };
        let user = if on_ball { 0 } else { 1 };
        game.screens.push(ScreenRow {
            game_id: id.clone(),
            period: 1,
            possession_id: possession,
            screen_id: possession * 2 + number,
            on_ball,
            screen_kind: if on_ball {
                ScreenKind::BallScreen
            } else {
                ScreenKind::Down
            },
            outcome: Outcome::Used,
            screener_id: offense(4),
            user_id: offense(user),
            screener_defender_id: Some(defense(4)),
            user_defender_id: Some(defense(user)),
            t_set_s: Some(start_s + set_s),
            t_use_s: start_s + use_s,
            t_end_s: start_s + end_s,
            x_m: if on_ball { 7.6 } else { 3.0 },
            y_m: mirror * if on_ball { 2.0 } else { 4.0 },
            zone,
            side,
            strong_side: true,
            confidence: 0.9,
            screener_speed_mps: 0.2,
            user_gap_m: 0.8,
            ..ScreenRow::blank()
        });
    }
    let screen_id = possession * 2 + 1;
    game.cuts.push(CutRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        cut_id: possession,
        player_id: offense(1),
        cut_kind: CutKind::Lift,
        t_start_s: start_s + 3.0,
        t_end_s: start_s + 4.6,
        zone_from: Zone::RightCorner,
        zone_to: Zone::RightWing,
        strong_side: true,
        screen_id: Some(possession * 2),
        peak_speed_mps: 4.0,
        path_m: 6.0,
        confidence: 0.8,
    });
    let touch = |touch_id, k, from_s, to_s, ended_by, next| TouchRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        touch_id,
        player_id: offense(k),
        t_start_s: start_s + from_s,
        t_end_s: start_s + to_s,
        x_start_m: 0.0,
        y_start_m: 0.0,
        x_end_m: 0.0,
        y_end_m: 0.0,
        dribbled: true,
        ended_by,
        next_player_id: next,
    };
    game.touches.push(touch(
        possession * 2,
        0,
        0.0,
        8.0,
        TouchEnd::Pass,
        Some(offense(4)),
    ));
    game.touches
        .push(touch(possession * 2 + 1, 4, 8.4, 8.8, TouchEnd::Shot, None));
    game.coverages.push(CoverageRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        screen_id,
        coverage,
        on_ball_path: OnBallPath::Over,
        helper_action: HelperAction::None,
        confidence: 0.9,
        ..CoverageRow::blank()
    });
    game.options.push(OptionRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        screen_id,
        screener_action: ScreenerAction::Roll,
        handler_action: HandlerAction::Pass,
        pass_target: Some(PassTarget::Screener),
        receiver_id: Some(offense(4)),
        t_pass_s: Some(start_s + 8.0),
        shooter_id: Some(offense(4)),
        shot_x_m: Some(1.2),
        shot_y_m: Some(0.8 * mirror),
        shot_value: Some(2),
        space_m: Some(1.5),
        screener_space_m: Some(2.0),
        handler_space_m: Some(1.0),
        points,
        ..OptionRow::blank()
    });
    game.entries.push(EntryRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        screen_id,
        alignment: Some(Alignment::FourOutOneIn),
        look: format!("four_out_one_in down:{}", side.as_str()),
        set_key: "four_out_one_in down:right".into(),
        entry: Entry::Down,
        entry_role: EntryRole::Screener,
        flow_gap_s: Some(2.4),
        screener_defender_gap_m: Some(1.5),
        handler_defender_gap_m: Some(0.5),
        ..EntryRow::blank()
    });
    game.disguises.push(DisguiseRow {
        game_id: id.clone(),
        screen_id,
        surprise_bits: Some(if possession < 2 { 2.5 } else { 0.5 }),
        disguised: possession < 2,
        screener_defender_lag_s: None,
    });
    game.sequences.push(SequenceRow {
        game_id: id.clone(),
        period: 1,
        possession_id: possession,
        team_id: "KH".into(),
        set_key: "four_out_one_in down:right ball_screen:right".into(),
        run_index: possession as u16,
        screen_id,
        trips_since_last: (possession > 0).then_some(1),
        back_to_back: possession > 0,
        coverage,
        option: "roll+pass".into(),
        points,
        offense_changed: (possession > 0).then_some(false),
        defense_changed: (possession > 0).then_some(possession % 3 != 1),
    });
    push_tracks(game, possession, start_s, mirror);
}

fn push_tracks(game: &mut GameRows, possession: u32, start_s: f64, mirror: f32) {
    let samples = (TRACK_S * 10.0) as usize;
    let id = game.game.game_id.clone();
    let mut push = |entity, player_id: Option<Id>, of: &dyn Fn(f32) -> (f32, f32)| {
        let spots: Vec<(f32, f32)> = (0..samples).map(|k| of(k as f32 / 10.0)).collect();
        let cm = |value: f32| Some((value * 100.0).round() as i16);
        let clock = (0..samples).map(|k| Some((6000.0 - start_s * 10.0 - k as f64) as u16));
        game.tracks.push(TrackRow {
            game_id: id.clone(),
            period: 1,
            possession_id: possession,
            entity,
            player_id,
            t_start_s: start_s,
            hz: 10.0,
            x_cm: spots.iter().map(|spot| cm(spot.0)).collect(),
            y_cm: spots.iter().map(|spot| cm(spot.1 * mirror)).collect(),
            game_clock_tenths: if entity == Entity::Ball {
                clock.collect()
            } else {
                Vec::new()
            },
        });
    };
    for (k, path) in ATTACKERS.iter().enumerate() {
        push(Entity::Offense, Some(offense(k)), &|t_s| at(path, t_s));
    }
    for (k, path) in ATTACKERS.iter().enumerate() {
        // Each between their player and the hoop.
        push(Entity::Defense, Some(defense(k)), &|t_s| {
            let (x_m, y_m) = at(path, t_s);
            (x_m * 0.78, y_m * 0.78)
        });
    }
    push(Entity::Ball, None, &ball);
}

/// `KH`'s games.
pub(crate) fn staged_team(games: Vec<GameRows>) -> TeamGames {
    TeamGames {
        choice: Choice::all_of("KH"),
        games,
        season: SeasonRows::default(),
        absent: std::collections::BTreeMap::new(),
        notes: Vec::new(),
    }
}
