//! Rows of the `games` table.

use std::collections::HashMap;

use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;

use super::text_table::{TextTable, cell};
use crate::clock_text::parse_day;
use crate::names::{NO_NAME, NameIx, Names};

/// A row of `games`.
#[derive(Debug, Clone)]
pub(crate) struct ListedGame {
    pub date: Option<Id>,
    pub season: Option<Id>,
    pub home_away: Option<[NameIx; 2]>,
    pub court: Option<String>,
    pub video_offset_s: Vec<Option<f64>>,
}

/// Seconds, one number a period with `;` between; an empty place is "not known".
///
/// # Errors
/// The piece that is no finite number.
fn video_offsets(cell: Option<&str>) -> Result<Vec<Option<f64>>, &str> {
    let Some(cell) = cell else {
        return Ok(Vec::new());
    };
    let pieces = cell.split(';').map(str::trim);
    let offsets = pieces.map(|piece| match piece.parse::<f64>() {
        _ if piece.is_empty() => Ok(None),
        Ok(seconds) if seconds.is_finite() => Ok(Some(seconds)),
        Ok(_) | Err(_) => Err(piece),
    });
    let mut offsets: Vec<Option<f64>> = offsets.collect::<Result<_, _>>()?;
    // An empty place at the end says no more than none.
    let known = offsets.iter().rposition(Option::is_some);
    offsets.truncate(known.map_or(0, |last| last + 1));
    Ok(offsets)
}

/// Reads the rows of the table into `games`, the first row of each game, and those refused into `refused`.
pub(super) fn read_games(
    table: &TextTable,
    names: &mut Names,
    games: &mut HashMap<NameIx, ListedGame>,
    refused: &mut Vec<(NameIx, QuarantineRow)>,
) {
    let [game, date, season, home, away, court, video] = [
        "game_id",
        "date",
        "season",
        "home_team_id",
        "away_team_id",
        "court",
        "video_offset_s",
    ]
    .map(|c| table.column(c));
    for row in &table.rows {
        let cells = &row.1;
        let mut number = |column| cell(cells, column).map_or(NO_NAME, |text| names.number(text));
        let game_ix = number(game);
        let home_away = [number(home), number(away)];
        if game_ix == NO_NAME || games.contains_key(&game_ix) {
            let (reason, detail) = if game_ix == NO_NAME {
                (
                    RefusalReason::MissingField,
                    "column `game_id` is empty; expected the game's id",
                )
            } else {
                (
                    RefusalReason::Duplicate,
                    "the game has a row already; expected one a game: the first counts",
                )
            };
            refused.push((game_ix, table.refusal(row, reason, detail.into())));
            continue;
        }
        let video_offset_s = match video_offsets(cell(cells, video)) {
            Ok(offsets) => offsets,
            Err(found) => {
                let detail = format!(
                    "column `video_offset_s` has `{found}`; expected seconds, one number a period with `;` between, \
                     an empty place where it is not known (for example `12.4;1804;;5300.5`)"
                );
                refused.push((game_ix, table.refusal(row, RefusalReason::Unreadable, detail)));
                Vec::new()
            }
        };
        let date = match cell(cells, date).map(|found| (found, parse_day(found))) {
            None => None,
            Some((_, Some(day))) => Some(day.into()),
            Some((found, None)) => {
                let detail = format!(
                    "column `date` has `{found}`; expected a day such as 2041-03-02 (ISO 8601, also with a time after it): \
                     the game counts as one without a date"
                );
                refused.push((game_ix, table.refusal(row, RefusalReason::Unreadable, detail)));
                None
            }
        };
        let is_pair = home_away[0] != home_away[1] && !home_away.contains(&NO_NAME);
        let game = ListedGame {
            date,
            season: cell(cells, season).map(Into::into),
            home_away: is_pair.then_some(home_away),
            court: cell(cells, court).map(Into::into),
            video_offset_s,
        };
        games.insert(game_ix, game);
    }
}
