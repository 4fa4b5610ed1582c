//! Refused rows, counted all and kept up to a bound.

use std::collections::BTreeMap;

use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;

/// Refused rows that are kept of a game that is refused as a whole.
const FIRST_ROWS: usize = 1000;

/// Refused rows are kept up to about this many bytes of text a game: a refused record may be a long one.
const MAX_TEXT_BYTES: usize = 256 * 1024 * 1024;

/// Where a refused row stands.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RowPlace<'r> {
    pub game_id: Option<&'r Id>,
    /// The file.
    pub source: &'r Id,
    /// The row's number in it.
    pub row: u64,
}

/// The refused rows of one game (or of none).
#[derive(Debug, Default)]
pub(crate) struct Quarantine {
    pub rows: Vec<QuarantineRow>,
    /// How many were refused, by reason.
    pub counts: BTreeMap<RefusalReason, u64>,
    /// Those that are counted and not kept: how many, and where the first one stood.
    not_kept: BTreeMap<RefusalReason, (u64, Id, u64)>,
    /// Bytes of text in `rows`.
    text_bytes: usize,
}

impl Quarantine {
    /// How many rows were refused.
    pub(crate) fn total(&self) -> u64 {
        self.counts.values().sum()
    }

    /// Counts a refusal, and keeps its row (`words`: what was found and expected, and the row as it was) while there are fewer than `most` and their text is not too long.
    pub(crate) fn refuse(
        &mut self,
        most: usize,
        reason: RefusalReason,
        place: &RowPlace<'_>,
        words: impl FnOnce() -> (String, String),
    ) {
        *self.counts.entry(reason).or_default() += 1;
        if self.rows.len() < most && self.text_bytes < MAX_TEXT_BYTES {
            let (detail, raw) = words();
            self.text_bytes += raw.len() + detail.len();
            self.rows.push(QuarantineRow {
                game_id: place.game_id.cloned(),
                source: place.source.clone(),
                row: place.row,
                reason,
                detail,
                raw,
            });
        } else {
            self.not_kept
                .entry(reason)
                .or_insert_with(|| (0, place.source.clone(), place.row))
                .0 += 1;
        }
    }

    /// The commonest reason and an example of it.
    pub(crate) fn commonest(&self) -> Option<(RefusalReason, &str)> {
        let (reason, _) = self.counts.iter().max_by_key(|(_, count)| **count)?;
        let example = self.rows.iter().find(|row| row.reason == *reason);
        Some((*reason, example.map_or("", |row| row.detail.as_str())))
    }

    /// As [`Self::into_rows`], for a game that is refused as a whole: only the first rows are kept, as all games of a
    /// source may be refused for one mistake in the mapping.
    pub(crate) fn into_first_rows(mut self, game_id: Option<&Id>) -> Vec<QuarantineRow> {
        for row in self.rows.split_off(self.rows.len().min(FIRST_ROWS)) {
            let first = || (0, row.source.clone(), row.row);
            let not_kept = self.not_kept.entry(row.reason).or_insert_with(first);
            not_kept.0 += 1;
            not_kept.2 = not_kept.2.min(row.row);
        }
        self.into_rows(game_id)
    }

    /// The rows in the order of the source; a row of its own a reason says how many more there were.
    pub(crate) fn into_rows(mut self, game_id: Option<&Id>) -> Vec<QuarantineRow> {
        self.rows
            .sort_by(|a, b| (&a.source, a.row, a.reason).cmp(&(&b.source, b.row, b.reason)));
        for (reason, (count, source, row)) in self.not_kept {
            self.rows.push(QuarantineRow {
                game_id: game_id.cloned(),
                source,
                row,
                reason,
                detail: format!(
                    "{count} more rows were refused for this reason, from this row on; they are counted and not kept one by one"
                ),
                raw: String::new(),
            });
        }
        self.rows
    }
}
