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

pub(super) fn finding(side: TeamSide, question: Question, answer: &str, rank: u32) -> AgainstLeagueRow {
    let is_of_pair = question == Question::PairOutcome;
    let is_late = matches!(question, Question::DefenderLate | Question::DefenderGap);
    let is_of_defender = is_late || question == Question::DefenderPath;
    let is_of_way_in = matches!(question, Question::Entry | Question::EntrySide | Question::Side);
    let has_coverage = !(is_of_pair || is_of_defender || is_of_way_in || question == Question::Coverage);
    AgainstLeagueRow {
        team_id: "KH".into(),
        side,
        question,
        answer: Some(answer.into()),
        coverage: has_coverage.then_some(Coverage::Drop),
        screener_action: (question == Question::ActionBeat).then_some(ScreenerAction::Roll),
        entry: is_late.then_some(Entry::Down),
        handler_id: is_of_pair.then(|| "h1".into()),
        screener_id: is_of_pair.then(|| "h5".into()),
        defender_id: is_of_defender.then(|| "s1".into()),
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

/// A look after whose last action a ball screen came next 10 times of 40.
pub(super) fn look_that_ends(entry: Entry) -> TendencyRow {
    TendencyRow {
        team_id: "KH".into(),
        side: TeamSide::Offense,
        grouping: Grouping::Look,
        key: format!("horns {entry}:right").as_str().into(),
        n: 40,
        hits: 10,
        ..TendencyRow::blank()
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

/// How a team is set beside a reader's.
#[derive(Clone, Copy)]
struct Beside {
    /// How far each team's numbers are from the league's, those of the team of the page first; `None` is no row.
    effects: [Option<f32>; 2],
    /// Whether it is known how often each coverage is played.
    knows_coverages: bool,
    /// Of 12 answers, how many were the first.
    first_answers: u32,
    season: Option<&'static str>,
}

/// A team with all that a season says, and a reader's team beside it.
fn team_beside_another(beside: Beside) -> TeamGames {
    let mut team = staged_team(vec![full_game("G1", 12)]);
    team.choice.reader = Some("SM".into());
    team.choice.last = Some(1);
    team.season.season = beside.season.map(Into::into);
    team.season.tendencies.push(look_that_ends(Entry::Down));
    for key in [
        "horns down:right ball_screen:left",
        // The possessions' own: a down screen comes next, and nothing more.
        "four_out_one_in",
        "four_out_one_in down:right ball_screen:right",
    ] {
        team.season.tendencies.push(TendencyRow {
            team_id: "KH".into(),
            side: TeamSide::Offense,
            grouping: Grouping::Look,
            key: key.into(),
            n: 40,
            hits: 10,
            ..TendencyRow::blank()
        });
    }
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
            // After a hedge no answer is clear.
            for (coverage, next, hits) in [
                (Coverage::Drop, "switch", beside.first_answers),
                (Coverage::Drop, "hedge", 12 - beside.first_answers),
                (Coverage::Hedge, "switch", 6),
                (Coverage::Hedge, "hedge", 6),
            ] {
                team.season.counters.push(CounterRow {
                    team_id: Some("KH".into()),
                    side,
                    coverage,
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
    let rows = |effect: Option<f32>| {
        let questions = [
            Question::CoverageBeat,
            Question::CoveragePoints,
            Question::CoverageOpenShot,
            Question::CoverageScreenerAtRim,
            Question::CoverageCornerThree,
            Question::CoverageTurnover,
        ];
        let Some(effect) = effect else {
            return Vec::new();
        };
        let rows = questions.into_iter().flat_map(move |question| {
            [TeamSide::Offense, TeamSide::Defense].map(|side| AgainstLeagueRow {
                effect,
                ..finding(side, question, "", 9)
            })
        });
        rows.chain([
            finding(TeamSide::Offense, Question::ScreenerAction, "slip", 9),
            finding(TeamSide::Defense, Question::Coverage, "drop", 9),
        ])
        .filter(|row| {
            let is_rare = matches!(row.question, Question::Coverage | Question::CoverageCornerThree);
            beside.knows_coverages || !is_rare
        })
        .collect()
    };
    team.season.against_league = rows(beside.effects[0]);
    team.season.readers = rows(beside.effects[1]);
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
    let usual = Beside {
        effects: [Some(0.7), Some(-0.7)],
        knows_coverages: true,
        first_answers: 6,
        season: Some("2041"),
    };
    let beside = [
        usual,
        Beside {
            effects: [Some(-0.7), Some(0.7)],
            first_answers: 12,
            season: None,
            ..usual
        },
        Beside {
            effects: [Some(0.0), Some(0.0)],
            knows_coverages: false,
            ..usual
        },
        Beside {
            effects: [Some(0.7), None],
            ..usual
        },
        Beside {
            effects: [None, None],
            ..usual
        },
    ];
    let mut teams = teams_with_findings();
    teams.extend(beside.map(team_beside_another));
    teams.push(team_that_lacks());
    teams.extend([0, 1, 2, 30].map(|possessions| staged_team(vec![staged_game("G1", possessions)])));
    let mut without_dilemmas = staged_team(vec![full_game("G1", 6)]);
    without_dilemmas.absent.insert("dilemmas", 1);
    teams.push(without_dilemmas);
    teams
}
