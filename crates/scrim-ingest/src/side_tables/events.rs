//! A row of the `events` table.

use scrim_tables::Id;
use scrim_tables::tags::RefusalReason;
use scrim_tracks::EventKind;

use super::text_table::{TextTable, cell};
use crate::names::{NO_NAME, NameIx, Names};
use crate::text_rows::TextRow;

/// A row of `events`.
#[derive(Debug, Clone)]
pub(crate) struct ListedEvent {
    /// The file.
    pub path: Id,
    /// The row's number in the file.
    pub row: u64,
    /// The row as it was.
    pub raw: String,
    pub period: u8,
    pub time: Option<f64>,
    pub game_clock_s: Option<f32>,
    pub kind: EventKind,
    pub team: NameIx,
    pub player: NameIx,
    pub points: Option<u8>,
}

/// Reads a row of the table.
///
/// # Errors
/// Why the row is refused, and what was found and expected.
pub(super) fn read_event(
    table: &TextTable,
    (number, cells): &TextRow,
    game: NameIx,
    names: &mut Names,
) -> Result<ListedEvent, (RefusalReason, String)> {
    let text = |name: &str| cell(cells, table.column(name));
    let unreadable = |name: &str, found: &str, expected: &str| {
        (
            RefusalReason::Unreadable,
            format!("column `{name}`: found `{found}`, expected {expected}"),
        )
    };
    let missing = |what: &str| (RefusalReason::MissingField, what.to_owned());
    if game == NO_NAME && table.column("game_id").is_some() {
        return Err(missing("column `game_id` is empty; expected the game's id"));
    }
    let number_of = |name: &'static str| -> Result<Option<f64>, (RefusalReason, String)> {
        let Some(found) = text(name) else { return Ok(None) };
        // Clocks are kept as f32: what has no such number is no time of a game.
        let value = found.parse::<f64>().ok().filter(|v| (*v as f32).is_finite());
        value.map(Some).ok_or_else(|| unreadable(name, found, "seconds"))
    };
    let whole =
        |name: &'static str, least: f64, expected: &str| -> Result<Option<u8>, (RefusalReason, String)> {
            let Some(found) = text(name) else { return Ok(None) };
            let value = found
                .parse::<f64>()
                .ok()
                .filter(|v| v.fract() == 0.0 && (least..=255.0).contains(v));
            value
                .map(|v| Some(v as u8))
                .ok_or_else(|| unreadable(name, found, expected))
        };
    let period = whole("period", 1.0, "a whole number from 1")?
        .ok_or_else(|| missing("column `period` is empty; expected a whole number from 1"))?;
    let (time, game_clock_s) = (number_of("t_s")?, number_of("game_clock_s")?);
    if time.is_none() && game_clock_s.is_none() {
        return Err(missing(
            "columns `t_s` and `game_clock_s` are empty; expected at least one of them",
        ));
    }
    let word = text("event").ok_or_else(|| missing("column `event` is empty; expected an event word"))?;
    let points = whole("points", 0.0, "a whole number of points")?;
    let mut id = |name: &str| text(name).map_or(NO_NAME, |text| names.number(text));
    Ok(ListedEvent {
        path: table.path.clone(),
        row: *number,
        raw: cells.join(","),
        period,
        time,
        game_clock_s: game_clock_s.map(|s| s as f32),
        kind: EventKind::from_word(word),
        team: id("team_id"),
        player: id("player_id"),
        points,
    })
}
