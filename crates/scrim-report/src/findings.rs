//! What sets a team apart from its league, each thing once, with the ball screens that show it.

use std::collections::BTreeSet;

use scrim_floor::Definitions;
use scrim_season::ball_screens::BallScreens;
use scrim_season::questions::answers;
use scrim_season::words::{self, Names, Standing};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use crate::plays::{Plays, ScreenPlay};

/// How many there are at most.
const MOST: usize = 5;
/// Two rows whose plays are the same in so large a part say the same thing: the weightier one is kept. Common practice, no source.
const SAME_PLAYS: f64 = 0.5;

/// One thing that sets the team apart.
#[derive(Debug)]
pub(crate) struct Finding<'a> {
    pub(crate) row: &'a AgainstLeagueRow,
    pub(crate) says: Standing,
    /// The ball screens of the games at hand that show it, in time order.
    pub(crate) shown_by: Vec<&'a ScreenPlay<'a>>,
}

/// The weightiest rows that stand out, each thing once.
pub(crate) fn findings<'v>(
    rows: &'v [AgainstLeagueRow],
    plays: &'v Plays<'v>,
    names: &Names,
) -> Vec<Finding<'v>> {
    let mut standing: Vec<&AgainstLeagueRow> = rows.iter().filter(|row| row.rank.is_some()).collect();
    standing.sort_by_key(|row| row.rank);
    let mut found: Vec<Finding<'_>> = Vec::new();
    for &row in &standing {
        if found.len() == MOST {
            break;
        }
        // What they do more says more than what they do less for it.
        let more = standing
            .iter()
            .find(|other| is_other_side(row, other) && other.effect > 0.0);
        let row = *more.unwrap_or(&row);
        if found.iter().any(|known| std::ptr::eq(known.row, row)) {
            continue;
        }
        let Some(says) = words::standing(names, row) else {
            continue;
        };
        let shown_by = shown_by(row, plays);
        if !found.iter().any(|known| says_the_same(known, row, &shown_by)) {
            found.push(Finding { row, says, shown_by });
        }
    }
    found
}

/// The ball screens that have the row's answer, in time order.
fn shown_by<'v>(row: &AgainstLeagueRow, plays: &'v Plays<'v>) -> Vec<&'v ScreenPlay<'v>> {
    let of_side: &BallScreens<ScreenPlay<'_>> = match row.side {
        TeamSide::Offense => &plays.offense,
        TeamSide::Defense => &plays.defense,
    };
    let open_shot_m = Definitions::DEFAULT.open_shot_m;
    let shows = |play: &&ScreenPlay<'_>| answers(row, &***play, open_shot_m) == Some(true);
    of_side.all().iter().filter(shows).collect()
}

/// Whether a row says what is said already: the other side of the same coin, or of the same ball screens.
fn says_the_same(known: &Finding<'_>, row: &AgainstLeagueRow, shown_by: &[&ScreenPlay<'_>]) -> bool {
    is_other_side(known.row, row)
        || (known.row.side == row.side && same_share(&known.shown_by, shown_by) >= SAME_PLAYS)
}

/// Whether two rows are the two sides of one coin: more pops, fewer rolls.
fn is_other_side(one: &AgainstLeagueRow, other: &AgainstLeagueRow) -> bool {
    let asked = |row: &AgainstLeagueRow| {
        (
            row.side,
            row.question,
            row.entry,
            row.coverage,
            row.screener_action,
            row.handler_id.clone(),
            row.screener_id.clone(),
            row.defender_id.clone(),
        )
    };
    asked(one) == asked(other) && one.effect * other.effect < 0.0
}

/// Of the plays of either, the share that both have.
fn same_share(a: &[&ScreenPlay<'_>], b: &[&ScreenPlay<'_>]) -> f64 {
    let keys = |plays: &[&ScreenPlay<'_>]| -> BTreeSet<(usize, u32)> {
        plays
            .iter()
            .map(|play| (play.game_place, play.screen.screen_id))
            .collect()
    };
    let (a, b) = (keys(a), keys(b));
    let either = a.union(&b).count();
    a.intersection(&b).count() as f64 / either.max(1) as f64
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
        let found = findings(rows, &plays, &Names::default());
        let said = found.iter().map(|finding| {
            let answer = finding.row.answer.clone().unwrap_or_default();
            (finding.row.question, answer, finding.shown_by.len())
        });
        said.collect()
    }

    #[test]
    fn what_they_do_more_is_said_and_not_what_they_do_less_for_it() {
        let against = |rank, answer, effect| AgainstLeagueRow {
            coverage: Some(Coverage::Drop),
            ..row(rank, TeamSide::Offense, Question::ScreenerAction, answer, effect)
        };
        let rows = [against(1, "pop", -0.6), against(2, "roll", 0.5)];
        // The staged screeners all roll; four of six against a drop.
        assert_eq!(found(&rows), [(Question::ScreenerAction, "roll".to_owned(), 4)]);
    }

    #[test]
    fn the_same_ball_screens_are_said_once() {
        let rows = [
            row(1, TeamSide::Offense, Question::Entry, "down", 0.5),
            AgainstLeagueRow {
                coverage: Some(Coverage::Drop),
                ..row(2, TeamSide::Offense, Question::ScreenerAction, "roll", 0.5)
            },
            AgainstLeagueRow {
                coverage: Some(Coverage::Switch),
                ..row(3, TeamSide::Offense, Question::ScreenerAction, "roll", 0.5)
            },
        ];
        // All six; four of the six are more than half the same; two of the six are not.
        let expected = [
            (Question::Entry, "down".to_owned(), 6),
            (Question::ScreenerAction, "roll".to_owned(), 2),
        ];
        assert_eq!(found(&rows), expected);
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
        assert_eq!(found(&rows).len(), MOST);
    }
}
