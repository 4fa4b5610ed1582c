//! What sets a team apart from its league, each thing once, with the ball screens that show it.

use scrim_floor::Definitions;
use scrim_season::ball_screens::BallScreens;
use scrim_season::questions::{shows, shows_by};
use scrim_season::words::{Begins, Names, Said, Words};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use crate::plays::{Plays, ScreenPlay};

/// How many there are at most.
const MOST: u32 = 5;

/// From here on a ball screen and its coverage are likely what they are called; of these the latest games are shown first. Common
/// practice, no source.
const LIKELY: f32 = 0.65;

/// One thing that sets the team apart.
#[derive(Debug)]
pub(crate) struct Finding<'a> {
    pub(crate) row: &'a AgainstLeagueRow,
    pub(crate) says: Said,
    /// Where the finding names nobody: what the weightiest row says that follows from it and names players.
    pub(crate) by_whom: Option<Box<Finding<'a>>>,
    /// The ball screens of the games at hand that show it, the best first.
    pub(crate) shown_by: Vec<&'a ScreenPlay<'a>>,
}

/// The weightiest of what sets the team apart: the rows with the first ranks.
pub(crate) fn findings<'v>(
    rows: &'v [AgainstLeagueRow],
    plays: &'v Plays<'v>,
    names: &Names,
    words: &Words,
) -> Vec<Finding<'v>> {
    let mut standing: Vec<&AgainstLeagueRow> = rows
        .iter()
        .filter(|row| row.rank.is_some_and(|rank| rank <= MOST))
        .collect();
    standing.sort_by_key(|row| row.rank);
    let finding = |row: &'v AgainstLeagueRow, begins, by_whom| {
        Some(Finding {
            row,
            says: words.standing(names, row, begins)?,
            by_whom,
            shown_by: shown_by(row, plays),
        })
    };
    let findings = standing.into_iter().filter_map(|row| {
        let by_whom = by_whom(row, rows).and_then(|row| finding(row, Begins::Within, None));
        finding(row, Begins::Sentence, by_whom.map(Box::new))
    });
    findings.collect()
}

/// The weightiest row that follows from a finding which names nobody, and names players.
fn by_whom<'v>(finding: &AgainstLeagueRow, rows: &'v [AgainstLeagueRow]) -> Option<&'v AgainstLeagueRow> {
    let names_players = |row: &AgainstLeagueRow| row.handler_id.is_some() || row.defender_id.is_some();
    let following = rows
        .iter()
        .filter(|row| row.follows_rank == finding.rank && row.effect > 0.0 && names_players(row));
    // Of equals the first.
    following
        .rev()
        .max_by(|a, b| a.weight.total_cmp(&b.weight))
        .filter(|_| !names_players(finding))
}

/// The ball screens that show the row, those that show it most first, then the likely ones, then those of the latest game, then the surest.
fn shown_by<'v>(row: &AgainstLeagueRow, plays: &'v Plays<'v>) -> Vec<&'v ScreenPlay<'v>> {
    let of_side: &BallScreens<ScreenPlay<'_>> = match row.side {
        TeamSide::Offense => &plays.offense,
        TeamSide::Defense => &plays.defense,
    };
    let open_shot_m = Definitions::DEFAULT.open_shot_m;
    let mut shown_by: Vec<&ScreenPlay<'_>> = of_side
        .all()
        .iter()
        .filter(|play| shows(row, &***play, open_shot_m))
        .collect();
    // A stable sort: of equals the earlier.
    shown_by.sort_by(|a, b| {
        let by = |play: &ScreenPlay<'_>| shows_by(row, &**play, open_shot_m);
        let rank = |play: &ScreenPlay<'_>| (play.confidence() >= LIKELY, play.game_place);
        by(b)
            .total_cmp(&by(a))
            .then(rank(b).cmp(&rank(a)))
            .then(b.confidence().total_cmp(&a.confidence()))
    });
    shown_by
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;
    use scrim_tables::tags::{Coverage, Question};

    use super::*;
    use crate::plays::clocks_of;
    use crate::staging::{staged_game, staged_team};

    /// Of the six staged ball screens, possessions 2 and 5 met a switch, the others a drop; all came out of a down screen.
    fn row(rank: u32, side: TeamSide, question: Question, answer: &str, effect: f32) -> AgainstLeagueRow {
        AgainstLeagueRow {
            team_id: "KH".into(),
            side,
            question,
            answer: Some(answer.into()),
            hits: Some(30),
            effect,
            rank: Some(rank),
            ..Row::blank()
        }
    }

    fn found(rows: &[AgainstLeagueRow]) -> Vec<(Question, String, usize)> {
        let team = staged_team(vec![staged_game("G1", 6)]);
        let clocks = clocks_of(&team);
        let plays = Plays::of(&team, &clocks);
        let found = findings(rows, &plays, &Names::default(), &Words::english());
        let said = found.iter().map(|finding| {
            let answer = finding.row.answer.clone().unwrap_or_default();
            (finding.row.question, answer, finding.shown_by.len())
        });
        said.collect()
    }

    #[test]
    fn a_finding_has_the_ball_screens_that_show_it() {
        let rows = [
            AgainstLeagueRow {
                coverage: Some(Coverage::Drop),
                ..row(2, TeamSide::Offense, Question::ScreenerAction, "roll", 0.5)
            },
            row(1, TeamSide::Offense, Question::Entry, "down", 0.5),
        ];
        // By rank: all six came out of a down screen; the staged screeners all roll, four of six against a drop.
        let expected = [
            (Question::Entry, "down".to_owned(), 6),
            (Question::ScreenerAction, "roll".to_owned(), 4),
        ];
        assert_eq!(found(&rows), expected);
    }

    #[test]
    fn a_finding_that_names_nobody_has_the_weightiest_that_follows_and_names_players() {
        let follows = |handler: &str, weight| AgainstLeagueRow {
            handler_id: Some(handler.into()),
            screener_id: Some("h5".into()),
            rank: None,
            follows_rank: Some(1),
            weight,
            ..row(9, TeamSide::Offense, Question::PairOutcome, "used", 0.5)
        };
        let whom = |rows: &[AgainstLeagueRow]| {
            let team = staged_team(vec![staged_game("G1", 6)]);
            let clocks = clocks_of(&team);
            let plays = Plays::of(&team, &clocks);
            let found = findings(rows, &plays, &Names::default(), &Words::english());
            found[0]
                .by_whom
                .as_ref()
                .map(|whom| (whom.row.weight, whom.shown_by.len()))
        };
        // All six staged ball screens are those of h5 for h1.
        let of_team = row(1, TeamSide::Offense, Question::Entry, "down", 0.5);
        assert_eq!(
            whom(&[of_team.clone(), follows("h2", 1.0), follows("h1", 2.0)]),
            Some((2.0, 6))
        );
        let of_other = AgainstLeagueRow {
            follows_rank: Some(2),
            ..follows("h1", 2.0)
        };
        assert_eq!(whom(&[of_team, of_other]), None);
    }

    #[test]
    fn rows_that_do_not_stand_out_are_left_out_and_five_are_the_most() {
        let standing = |rank: Option<u32>, answer: &str| AgainstLeagueRow {
            rank,
            ..row(1, TeamSide::Defense, Question::Coverage, answer, 0.4)
        };
        assert_eq!(found(&[standing(None, "drop")]), []);
        let words = ["drop", "level", "hedge", "blitz", "switch", "ice"];
        let rows: Vec<_> = (1..)
            .zip(words)
            .map(|(rank, word)| standing(Some(rank), word))
            .collect();
        assert_eq!(found(&rows).len(), 5);
    }
}
