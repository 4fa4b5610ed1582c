//! Teams of whose plays each is another: every tag comes up, and each thing that a page or a sheet may say of what clearly leads, worked or
//! came late.

use scrim_floor::{Side, Zone};
use scrim_tables::rows::{AgainstLeagueRow, ScreenRow};
use scrim_tables::tags::{
    Alignment, Coverage, CutKind, Entry, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, Phase,
    Question, ScreenKind, ScreenerAction, TeamSide, TouchEnd, UnclearReason,
};

use super::teams::{finding, look_that_ends};
use crate::staging::{staged_game, staged_team};
use crate::{GameRows, TeamGames};

/// The tag at a place, round and round.
fn of<T: Copy>(all: &[T], place: usize) -> T {
    all[place % all.len()]
}

/// A game in which no play is as the one before; `turn` begins the round elsewhere.
pub(super) fn varied_game(id: &str, possessions: u32, turn: usize) -> GameRows {
    let mut game = staged_game(id, possessions);
    game.game.date = Some(format!("2041-{:02}-03", turn % 12 + 1).as_str().into());
    for (place, row) in game.screens.iter_mut().enumerate() {
        let place = place + turn;
        row.zone = of(&Zone::ALL, place);
        row.side = of(&[Side::Left, Side::Middle, Side::Right], place);
        row.outcome = of(Outcome::ALL, place / 2);
        if row.on_ball {
            row.early_denial = place % 14 == 3;
            row.screen_kind = of(
                &[
                    ScreenKind::BallScreen,
                    ScreenKind::BallScreen,
                    ScreenKind::Handoff,
                ],
                place / 2,
            );
        } else {
            row.screen_kind = of(ScreenKind::ALL, place);
        }
    }
    for (place, row) in game.coverages.iter_mut().enumerate() {
        let place = place + turn;
        row.coverage = of(Coverage::ALL, place);
        row.unclear_reason = Some(of(UnclearReason::ALL, place / 7));
        row.on_ball_path = of(OnBallPath::ALL, place);
        row.helper_action = of(HelperAction::ALL, place);
        row.helper_id = (!place.is_multiple_of(8)).then(|| "s3".into());
    }
    for (place, row) in game.options.iter_mut().enumerate() {
        let place = place + turn;
        row.screener_action = of(ScreenerAction::ALL, place);
        row.handler_action = of(HandlerAction::ALL, place);
        row.pass_target = (!place.is_multiple_of(5)).then(|| of(PassTarget::ALL, place));
        row.receiver_id = row.receiver_id.take().filter(|_| place % 4 != 1);
    }
    for (place, row) in game.entries.iter_mut().enumerate() {
        let place = place + turn;
        row.entry = of(Entry::ALL, place);
        row.alignment = (!place.is_multiple_of(9)).then(|| of(Alignment::ALL, place));
        row.screener_defender_late_s = Some(0.4);
    }
    for (place, row) in game.cuts.iter_mut().enumerate() {
        row.cut_kind = of(CutKind::ALL, place + turn);
    }
    for (place, row) in game.touches.iter_mut().enumerate() {
        row.ended_by = of(TouchEnd::ALL, place / 2 + turn);
        row.next_player_id = row.next_player_id.take().filter(|_| !place.is_multiple_of(3));
    }
    for (place, row) in game.possessions.iter_mut().enumerate() {
        let place = place + turn;
        row.points = of(&[Some(1), Some(0), None, Some(2)], place);
        row.phase = of(&[Phase::HalfCourt, Phase::HalfCourt, Phase::Transition], place);
        row.alignment = None;
        // Some are the other team's.
        if place % 4 == 3 {
            std::mem::swap(&mut row.offense_team_id, &mut row.defense_team_id);
        }
        // Some late in the possession, some after a stop.
        row.t_start_s -= [0.0, 4.0, 14.0][place / 3 % 3];
        // Some end before they begin, some long after the screen, with the shot and without.
        row.t_end_s += of(&[-60.0, 0.0, 20.0, 0.0, 0.0], place);
    }
    for (place, row) in game.sequences.iter_mut().enumerate() {
        row.set_key = of(
            &[
                "horns down:left",
                "box cross:right",
                "stack",
                "1",
                "2",
                "3",
                "4",
                "5",
            ],
            place / 2,
        )
        .into();
    }
    game
}

/// A team of one open shot and one clip without its shot, straight into the ball screen and not.
fn team_of_clips() -> TeamGames {
    let mut game = staged_game("G1", 4);
    for (row, look) in game.entries.iter_mut().zip(["box", "box zipper:left"]) {
        row.entry = Entry::None;
        row.look = look.into();
    }
    // No points came of it.
    game.options[1].space_m = Some(2.5);
    game.possessions[2].t_end_s += 20.0;
    for row in game.touches.iter_mut().filter(|row| row.possession_id == 2) {
        row.t_end_s += 15.0;
    }
    staged_team(vec![game])
}

/// A team whose most frequent coverage and place lead, with less than half.
fn team_without_a_half() -> TeamGames {
    let mut game = staged_game("G1", 120);
    let others = [Coverage::Switch, Coverage::Hedge, Coverage::Blitz, Coverage::Ice];
    for (place, row) in game.coverages.iter_mut().enumerate() {
        row.coverage = match place / 2 % 5 {
            0 | 2 => Coverage::Drop,
            _ => of(&others, place / 2),
        };
    }
    let on_ball = game.screens.iter_mut().filter(|row| row.on_ball);
    for (place, row) in on_ball.enumerate() {
        row.zone = match place % 5 {
            0 | 2 => Zone::Top,
            _ => of(&Zone::ALL, place),
        };
    }
    staged_team(vec![game])
}

/// A game whose clocks are not known.
fn game_without_clock() -> GameRows {
    let mut game = varied_game("G1", 6, 2);
    for row in &mut game.possessions {
        (row.game_clock_start_s, row.game_clock_end_s) = (None, None);
    }
    game.game.video_offset_s.clear();
    for row in &mut game.tracks {
        row.game_clock_tenths.clear();
    }
    game
}

/// Of sixty ball screens those of even numbers bring two points, the others none: what `odd` changes in the others gave up least.
fn team_against_which_it_worked(odd: impl Fn(&mut GameRows, usize)) -> TeamGames {
    let mut game = staged_game("G1", 60);
    for row in &mut game.coverages {
        row.coverage = Coverage::Drop;
    }
    for place in (1..60).step_by(2) {
        odd(&mut game, place);
    }
    staged_team(vec![game])
}

/// What worked, for each coverage and way around; and after what they are late.
fn teams_against_which_something_worked() -> Vec<TeamGames> {
    let mut teams: Vec<TeamGames> = Vec::new();
    for coverage in Coverage::ALL {
        teams.push(team_against_which_it_worked(|game, place| {
            game.coverages[place].coverage = *coverage;
        }));
        // Drop is what gives up least when the others score.
        teams.push(team_against_which_it_worked(|game, place| {
            game.coverages[place - 1].coverage = *coverage;
        }));
    }
    for (odd, even) in [
        (OnBallPath::Under, OnBallPath::Over),
        (OnBallPath::Over, OnBallPath::Under),
    ] {
        teams.push(team_against_which_it_worked(|game, place| {
            game.coverages[place].on_ball_path = odd;
            game.coverages[place - 1].on_ball_path = even;
        }));
    }
    teams.push(team_against_which_it_worked(|game, place| {
        game.options[place - 1].screener_action = ScreenerAction::Pop;
    }));
    teams.push(team_against_which_it_worked(|game, place| {
        let wobble_s = if place % 4 == 1 { 0.1 } else { -0.1 };
        for (place, entry, late_s) in [(place, Entry::Flash, 0.9), (place - 1, Entry::None, 0.3)] {
            game.entries[place].entry = entry;
            game.entries[place].screener_defender_late_s = Some(late_s + wobble_s);
        }
    }));
    let straight = team_against_which_it_worked(|game, place| {
        game.entries[place].entry = Entry::None;
        game.entries[place - 1].entry = Entry::None;
    });
    let one_place = team_against_which_it_worked(|game, place| {
        for screen in [place * 2 + 1, place * 2 - 1] {
            game.screens[screen].zone = Zone::Top;
        }
    });
    let two_pairs = team_against_which_it_worked(|game, place| {
        game.screens[place * 2 + 1].screener_id = "h4".into();
        game.entries[place].entry = Entry::Curl;
    });
    let plain = team_against_which_it_worked(|game, place| {
        game.disguises[place].disguised = false;
        game.disguises[place - 1].disguised = place == 1;
    });
    let disguised = team_against_which_it_worked(|game, place| {
        game.disguises[place].disguised = place < 20;
    });
    teams.extend([straight, one_place, two_pairs, plain, disguised]);
    // What works on the ball screens of a finding.
    let with_finding = teams.clone().into_iter().flat_map(|team| {
        let rows = [
            finding(TeamSide::Offense, Question::Entry, "down", 1),
            finding(TeamSide::Defense, Question::Coverage, "drop", 1),
        ];
        rows.map(|row| {
            let mut team = team.clone();
            team.season.against_league = vec![row];
            team
        })
    });
    let with_finding: Vec<TeamGames> = with_finding.collect();
    teams.extend(with_finding);
    teams
}

/// Findings one by one, each with every word that fits it.
pub(super) fn findings_of_every_word() -> Vec<AgainstLeagueRow> {
    let mut rows = Vec::new();
    let sides = [TeamSide::Offense, TeamSide::Defense];
    for side in sides {
        for question in Question::ALL {
            let answers: Vec<String> = match question {
                Question::Entry => Entry::ALL.iter().map(ToString::to_string).collect(),
                Question::EntrySide => Entry::ALL.iter().map(|word| format!("{word}/right")).collect(),
                Question::Side => ["left", "middle", "right"].map(String::from).into(),
                Question::Coverage => Coverage::ALL.iter().map(ToString::to_string).collect(),
                Question::ScreenerAction => ScreenerAction::ALL.iter().map(ToString::to_string).collect(),
                Question::HandlerAction => HandlerAction::ALL.iter().map(ToString::to_string).collect(),
                Question::PairOutcome => Outcome::ALL.iter().map(ToString::to_string).collect(),
                Question::DefenderPath => OnBallPath::ALL.iter().map(ToString::to_string).collect(),
                _ => Coverage::ALL.iter().map(ToString::to_string).collect(),
            };
            for (place, answer) in answers.iter().enumerate() {
                let row = finding(side, *question, answer, 1);
                let row = AgainstLeagueRow {
                    coverage: row.coverage.map(|_| of(Coverage::ALL, place)),
                    entry: row.entry.map(|_| of(Entry::ALL, place)),
                    ..row
                };
                for (effect, gain) in [(0.7, 0.2), (-0.7, -0.2), (0.7, 0.0), (-0.7, 0.05), (0.7, -0.05)] {
                    rows.push(AgainstLeagueRow {
                        effect,
                        points_without: row.points_per_play.map(|points| points - gain),
                        points_gain_low: Some(gain - 0.1),
                        points_gain_high: Some(gain + 0.1),
                        ..row.clone()
                    });
                }
            }
        }
    }
    rows
}

/// Teams whose plays are all alike, each in one way that is drawn and put into words.
fn uniform_teams() -> Vec<TeamGames> {
    let mut teams = Vec::new();
    let mut with = |change: &dyn Fn(&mut GameRows)| {
        let mut game = staged_game("G1", 12);
        change(&mut game);
        teams.push(staged_team(vec![game]));
    };
    for outcome in Outcome::ALL {
        with(&|game| game.screens.iter_mut().for_each(|row| row.outcome = *outcome));
    }
    for reason in UnclearReason::ALL {
        with(&|game| {
            for row in &mut game.coverages {
                (row.coverage, row.unclear_reason) = (Coverage::Unclear, Some(*reason));
            }
        });
    }
    // Nothing is known of what screeners do, nothing comes before: the place, the pair, and that; of two pairs both.
    let straight = |game: &mut GameRows| {
        game.options.clear();
        game.entries.iter_mut().for_each(|row| row.entry = Entry::None);
    };
    with(&straight);
    with(&|game| {
        straight(game);
        let by_another = game.screens.iter_mut().filter(|row| row.screen_id % 4 < 2);
        by_another.for_each(|row| row.screener_id = "h4".into());
    });
    // Three ways in, and none: four looks.
    with(&|game| {
        for (place, row) in game.entries.iter_mut().enumerate() {
            row.entry = of(&[Entry::Down, Entry::Flash, Entry::Rub, Entry::None], place);
            if row.entry == Entry::None {
                row.look = "four_out_one_in".into();
            }
        }
    });
    // One by two screeners, and one that is not read.
    with(&|game| {
        let double = ScreenRow {
            screen_id: 1000,
            screener_id: "h4".into(),
            previous_screen_id: Some(1),
            ..game.screens[1].clone()
        };
        game.screens.push(double);
        game.coverages[0].coverage = Coverage::Unclear;
    });
    // Both teams attack, and one coverage leads.
    with(&|game| {
        for row in game.possessions.iter_mut().step_by(2) {
            std::mem::swap(&mut row.offense_team_id, &mut row.defense_team_id);
        }
        for row in &mut game.coverages {
            row.coverage = Coverage::Drop;
        }
    });
    // Whoever guards the screener is in place at once; and one is late, while of another next to nothing is known.
    with(&|game| {
        for row in &mut game.entries {
            row.screener_defender_late_s = Some(0.0);
        }
    });
    with(&|game| {
        for (place, row) in game.entries.iter_mut().enumerate() {
            row.screener_defender_late_s = (place < 6).then_some(0.9);
        }
        for row in game.screens.iter_mut().filter(|row| row.possession_id >= 6) {
            row.screener_defender_id = Some("s2".into());
        }
    });
    // A few come out of one thing, and that may be chance.
    with(&|game| {
        for row in game.entries.iter_mut().filter(|row| row.possession_id > 2) {
            row.entry = Entry::None;
        }
    });
    // Pairs of all five, so that there are more than a table lists.
    with(&|game| {
        for (place, row) in game.screens.iter_mut().enumerate() {
            row.screener_id = of(&["h2", "h3", "h4", "h5"], place / 2).into();
            row.user_id = of(&["h1", "h2", "h3"], place / 8).into();
        }
    });
    teams
}

pub(super) fn varied_teams() -> Vec<TeamGames> {
    let mut teams: Vec<TeamGames> = (0..24)
        .map(|turn| {
            let mut team = staged_team(vec![varied_game("G1", 40, turn)]);
            team.choice.last = (turn % 2 == 0).then_some(2);
            team.season.tendencies = Entry::ALL.iter().map(|entry| look_that_ends(*entry)).collect();
            if turn % 3 == 0 {
                team.games.push(varied_game("G2", 9, turn * 5 + 1));
            }
            team
        })
        .collect();
    teams.push(staged_team(vec![game_without_clock()]));
    teams.extend([team_of_clips(), team_without_a_half()]);
    teams.extend(uniform_teams());
    teams.extend(teams_against_which_something_worked());
    // Nobody is named, and nothing is known of the points.
    let mut game = staged_game("G1", 9);
    for row in &mut game.possessions {
        row.points = None;
    }
    for row in game.possessions.iter_mut().step_by(2) {
        std::mem::swap(&mut row.offense_team_id, &mut row.defense_team_id);
    }
    for row in game.tracks.iter_mut().filter(|row| row.possession_id % 2 == 0) {
        row.player_id = None;
    }
    teams.push(staged_team(vec![game]));
    teams
}

/// A team of which one row is all that sets it apart; and where it names nobody, maybe one that follows and does.
pub(super) fn set_apart_by(row: AgainstLeagueRow, is_followed: bool, game: &GameRows) -> TeamGames {
    let follows = AgainstLeagueRow {
        rank: None,
        follows_rank: Some(1),
        ..finding(TeamSide::Offense, Question::PairOutcome, "slipped", 1)
    };
    let mut team = staged_team(vec![game.clone()]);
    team.season.against_league = vec![row];
    team.season.against_league.extend(is_followed.then_some(follows));
    team
}
