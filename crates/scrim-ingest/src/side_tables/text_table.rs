//! A side table, all of it as text.

use std::path::Path;

use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;

use crate::input::Input;
use crate::mapping::{Format, Mapping};
use crate::nearest::nearest_name;
use crate::template::{Piece, filled, pieces_of};
use crate::text_rows::TextRow;
use crate::{IngestError, columnar, delimited};

/// A small table, all of it as text.
pub(super) struct TextTable {
    pub(super) path: Id,
    columns: Vec<String>,
    pub(super) rows: Vec<TextRow>,
}

impl TextTable {
    pub(super) fn read(path: &Path, needed: &[&'static str], mapping: &Mapping) -> Result<Self, IngestError> {
        let input = Input::open(path, None)?;
        let (mut columns, mut rows) = match input.format {
            Format::Delimited => delimited::read_all_text(input)?,
            Format::Parquet | Format::ArrowFile | Format::ArrowStream => {
                columnar::read_all_text(path, input.format)?
            }
            Format::Json | Format::JsonLines => {
                return Err(IngestError::UnknownFormat {
                    path: path.into(),
                    found: "a side table as JSON".into(),
                });
            }
        };
        compose_players(&mut columns, &mut rows, mapping);
        for column in needed {
            if columns.iter().all(|c| c != column) {
                let fix = match nearest_name(column, &columns) {
                    Some(near) => format!("rename the column that it is; `{near}` looks nearest"),
                    None => "add it, or take the side table away".into(),
                };
                return Err(IngestError::MissingColumn {
                    path: path.into(),
                    field: "this side table",
                    column: (*column).into(),
                    found: columns,
                    fix,
                });
            }
        }
        Ok(Self {
            path: path.display().to_string().into(),
            columns,
            rows,
        })
    }

    pub(super) fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == name)
    }

    pub(super) fn refusal(&self, row: &TextRow, reason: RefusalReason, detail: String) -> QuarantineRow {
        let (number, cells) = row;
        QuarantineRow {
            game_id: None,
            source: self.path.clone(),
            row: *number,
            reason,
            detail,
            raw: cells.join(","),
        }
    }
}

/// Where a mapping composes the players' ids of columns that a side table has, and the table has no `player_id`, it gets
/// that column. Its `team_id` counts as the column that the mapping has for the team.
fn compose_players(columns: &mut Vec<String>, rows: &mut [TextRow], mapping: &Mapping) {
    let Some(pieces) = mapping.player.column.as_deref().and_then(pieces_of) else {
        return;
    };
    if columns.iter().any(|column| column == "player_id") {
        return;
    }
    let team = mapping.team.column.as_deref().unwrap_or("team_id");
    let place = |wanted: &str| {
        let of = |name: &str| columns.iter().position(|column| column == name);
        of(wanted).or_else(|| if wanted == team { of("team_id") } else { None })
    };
    let has_all = pieces.iter().all(|piece| match piece {
        Piece::Text(_) => true,
        Piece::Column(column) => place(column).is_some(),
    });
    if !has_all {
        return;
    }
    for (_, cells) in rows {
        let id = filled(&pieces, |column: &String| cell(cells, place(column)));
        cells.resize(columns.len(), String::new());
        cells.push(id.unwrap_or_default());
    }
    columns.push("player_id".into());
}

/// What a cell holds; `None` when it is empty or there is no such column.
pub(super) fn cell(row: &[String], column: Option<usize>) -> Option<&str> {
    column
        .and_then(|c| row.get(c))
        .map(|text| text.trim())
        .filter(|text| !text.is_empty())
}
