//! For tests: a row of every question, side, coverage and answer.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Coverage, Entry, Question, ScreenerAction, TeamSide};

/// Rows about everybody and everything, each begun by `row`, with each of `answers`.
pub(super) fn every_row(
    answers: &[&str],
    row: impl Fn(TeamSide, Question, &str) -> AgainstLeagueRow,
) -> Vec<AgainstLeagueRow> {
    let mut rows = Vec::new();
    for &question in Question::ALL {
        for side in [TeamSide::Offense, TeamSide::Defense] {
            for &coverage in Coverage::ALL {
                rows.extend(answers.iter().map(|answer| AgainstLeagueRow {
                    coverage: Some(coverage),
                    entry: Some(Entry::Rub),
                    screener_action: Some(ScreenerAction::Slip),
                    handler_id: Some("4".into()),
                    screener_id: Some("16".into()),
                    defender_id: Some("21".into()),
                    ..row(side, question, answer)
                }));
            }
        }
    }
    rows
}
