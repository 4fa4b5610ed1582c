//! Teams whose pages say all that a page can say.

use scrim_tables::Row;
use scrim_tables::rows::{
    AgainstLeagueRow, CounterRow, DilemmaRow, DisguisePayRow, GameQualityRow, TendencyRow,
};
use scrim_tables::tags::{
    Coverage, Entry, Grouping, HelperAction, PayMeasure, Question, RunResult, ScreenerAction, TeamSide,
};

use crate::staging::{staged_game, staged_team};
use crate::{GameRows, Note, TeamGames};

fn finding(side: TeamSide, question: Question, answer: &str, rank: u32) -> AgainstLeagueRow {
    AgainstLeagueRow {
        team_id: "KH".into(),
        side,
        question,
        answer: Some(answer.into()),
        coverage: Some(Coverage::Drop),
        screener_action: Some(ScreenerAction::Roll),
        entry: Some(Entry::Down),
        handler_id: Some("h1".into()),
        screener_id: Some("h5".into()),
        defender_id: Some("s1".into()),
        n: 40,
        hits: Some(10),
        games: 4,
        value: 0.25,
        value_low: 0.14,
        value_high: 0.4,
        league: 0.02,
        effect: 0.7,
        rank: Some(rank),
        points_per_play: Some(1.4),
        points_without: Some(1.1),
        points_gain_low: Some(0.1),
        points_gain_high: Some(0.7),
        ..Row::blank()
    }
}

/// An answer that fits the question.
fn answer_of(question: Question) -> &'static str {
    match question {
        Question::Entry => "down",
        Question::EntrySide => "down/left",
        Question::Side => "left",
        Question::Coverage => "hedge",
        Question::ScreenerAction => "slip",
        Question::HandlerAction => "split",
        Question::PairOutcome => "flipped",
        Question::DefenderPath => "under",
        _ => "",
    }
}

/// Every kind of finding, five a team; of both sides.
fn teams_with_findings() -> Vec<TeamGames> {
    let rows: Vec<AgainstLeagueRow> = [TeamSide::Offense, TeamSide::Defense]
        .into_iter()
        .flat_map(|side| Question::ALL.iter().map(move |question| (side, *question)))
        .map(|(side, question)| {
            let row = finding(side, question, answer_of(question), 1);
            let is_measured = matches!(
                question,
                Question::DefenderLate | Question::DefenderGap | Question::CoveragePoints
            );
            AgainstLeagueRow {
                hits: row.hits.filter(|_| !is_measured),
                ..row
            }
        })
        .collect();
    rows.chunks(5)
        .map(|rows| {
            let mut team = staged_team(vec![full_game("G1", 14), full_game("G2", 12)]);
            team.season.against_league = (1..)
                .zip(rows)
                .map(|(rank, row)| AgainstLeagueRow {
                    rank: Some(rank),
                    ..row.clone()
                })
                .collect();
            // One that follows, and names players.
            team.season.against_league.push(AgainstLeagueRow {
                rank: None,
                follows_rank: Some(1),
                ..finding(TeamSide::Offense, Question::PairOutcome, "slipped", 1)
            });
            team
        })
        .collect()
}

/// A game in which helpers help, coverages are unread, tracking is poor, and no day is known of every second one.
pub(super) fn full_game(id: &str, possessions: u32) -> GameRows {
    let mut game = staged_game(id, possessions);
    for (place, coverage) in game.coverages.iter_mut().enumerate() {
        match place % 6 {
            0 | 1 => {
                coverage.helper_id = Some("s3".into());
                coverage.helper_action = HelperAction::ALL[place % 3];
                game.dilemmas.push(DilemmaRow {
                    screen_id: coverage.screen_id,
                    helper_id: Some("s3".into()),
                    left_open_id: Some("h3".into()),
                    ball_got_there: Some(true),
                    ..DilemmaRow::blank()
                });
            }
            2 => coverage.coverage = Coverage::Unclear,
            _ => {}
        }
    }
    game.quality.push(GameQualityRow {
        period: 1,
        usable_share: 0.5,
        ..GameQualityRow::blank()
    });
    game
}

/// A team with all that a season says, and a reader's team beside it.
fn team_beside_another() -> TeamGames {
    let mut team = staged_team(vec![full_game("G1", 12)]);
    team.choice.reader = Some("SM".into());
    team.choice.last = Some(1);
    team.season.season = Some("2041".into());
    team.season.tendencies.push(TendencyRow {
        team_id: "KH".into(),
        side: TeamSide::Offense,
        grouping: Grouping::Look,
        key: "horns down:right ball_screen:left".into(),
        n: 40,
        hits: 10,
        next_action_entropy_bits: Some(1.5),
        ..TendencyRow::blank()
    });
    for measure in [
        PayMeasure::PointsPerPlay,
        PayMeasure::OpenShotRate,
        PayMeasure::DefenderLag,
    ] {
        team.season.disguise_pay.push(DisguisePayRow {
            team_id: Some("KH".into()),
            measure,
            disguised_n: 12,
            plain_n: 40,
            disguised: Some(1.2),
            plain: Some(1.0),
            difference: Some(0.2),
            difference_low: Some(-0.3),
            difference_high: Some(0.7),
            ..DisguisePayRow::blank()
        });
    }
    for side in [TeamSide::Offense, TeamSide::Defense] {
        for result in [RunResult::Beat, RunResult::Beaten] {
            for (next, hits) in [("switch", 6), ("hedge", 6)] {
                team.season.counters.push(CounterRow {
                    team_id: Some("KH".into()),
                    side,
                    coverage: Coverage::Drop,
                    option: "any".into(),
                    result,
                    next: match side {
                        TeamSide::Offense => "roll+pass".into(),
                        TeamSide::Defense => next.into(),
                    },
                    n: 12,
                    hits,
                    ..CounterRow::blank()
                });
            }
        }
    }
    let rows = |effect: f32| {
        let questions = [
            Question::CoverageBeat,
            Question::CoveragePoints,
            Question::CoverageTurnover,
        ];
        let rows = questions.into_iter().flat_map(move |question| {
            [TeamSide::Offense, TeamSide::Defense].map(|side| AgainstLeagueRow {
                effect,
                ..finding(side, question, "", 9)
            })
        });
        rows.chain([
            finding(TeamSide::Offense, Question::ScreenerAction, "slip", 9),
            AgainstLeagueRow {
                coverage: None,
                ..finding(TeamSide::Defense, Question::Coverage, "drop", 9)
            },
        ])
        .collect()
    };
    team.season.against_league = rows(0.7);
    team.season.readers = rows(-0.7);
    team
}

/// A team of whose games next to nothing is known.
fn team_that_lacks() -> TeamGames {
    let mut game = staged_game("G1", 3);
    game.entries.clear();
    game.sequences.clear();
    game.tracks.clear();
    game.coverages.clear();
    game.game.date = None;
    game.game.home_is_known = false;
    let mut team = staged_team(vec![game]);
    team.choice.reader = Some("SM".into());
    let absent = ["entries", "sequences", "coverages", "dilemmas", "against_league"];
    team.absent = absent.map(|table| (table, 1)).into();
    team.notes = vec![
        Note::PoorGame { game_id: "GZ".into() },
        Note::Unreadable {
            file: "File".into(),
            error: "Error".into(),
        },
    ];
    team
}

pub(super) fn all_teams() -> Vec<TeamGames> {
    let mut teams = teams_with_findings();
    teams.extend([
        team_beside_another(),
        team_that_lacks(),
        staged_team(vec![staged_game("G1", 0)]),
    ]);
    teams
}
