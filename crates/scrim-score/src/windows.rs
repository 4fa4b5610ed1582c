//! Windows of labels: of a game of which only some stretches were looked at, these stretches.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use scrim_statistics::ROUNDING_S;
use scrim_tables::Id;

use crate::ScoreError;
use crate::table::Table;

/// The stretches that were looked at, by game and period. Of a game without any, all was.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Windows {
    games: BTreeMap<Id, BTreeMap<u8, Vec<(f64, f64)>>>,
}

impl Windows {
    /// Those of the rows of `labelled` that have a period and a span.
    ///
    /// # Errors
    /// [`ScoreError::Window`]: a row has a part of them.
    pub(crate) fn of(labelled: &Table) -> Result<Self, ScoreError> {
        let (game, period) = (labelled.text("game_id"), labelled.numbers("period"));
        let (start, end) = (labelled.numbers("t_start_s"), labelled.numbers("t_end_s"));
        let mut windows = Self::default();
        for row in 0..labelled.rows {
            match (game.at(row), period.at(row), start.at(row), end.at(row)) {
                (None, ..) | (_, None, None, None) => {}
                (Some(game_id), Some(period), Some(start_s), Some(end_s))
                    if period.fract() == 0.0 && (1.0..=f64::from(u8::MAX)).contains(&period) =>
                {
                    windows.add(game_id.into(), period as u8, (start_s, end_s));
                }
                _ => {
                    return Err(ScoreError::Window {
                        path: labelled.file(row).into(),
                        place: labelled.place(row),
                    });
                }
            }
        }
        Ok(windows)
    }

    /// A game that some folder's rows name without a window for it there was looked at as a whole: windows of another folder, or another
    /// labeller's, do not take that back.
    pub(crate) fn leave_whole<'t>(&mut self, labelled: &'t Table, tables: impl Iterator<Item = &'t Table>) {
        let (game, period) = (labelled.text("game_id"), labelled.numbers("period"));
        let mut windowed = BTreeSet::new();
        for row in (0..labelled.rows).filter(|row| period.at(*row).is_some()) {
            windowed.extend(
                game.at(row)
                    .map(|game_id| (folder_of(labelled.file(row)), game_id)),
            );
        }
        for table in tables.chain([labelled]) {
            let game = table.text("game_id");
            for row in 0..table.rows {
                let Some(game_id) = game.at(row) else { continue };
                if !windowed.contains(&(folder_of(table.file(row)), game_id)) {
                    self.games.remove(game_id);
                }
            }
        }
    }

    /// Adds one, s from the period's first frame.
    pub fn add(&mut self, game_id: Id, period: u8, span_s: (f64, f64)) {
        let periods = self.games.entry(game_id).or_default();
        periods.entry(period).or_default().push(span_s);
    }

    /// Whether an instant was looked at: it lies in a window, or its game has none.
    pub fn hold(&self, game_id: &str, period: u8, t_s: f64) -> bool {
        let Some(periods) = self.games.get(game_id) else {
            return true;
        };
        let mut spans = periods.get(&period).into_iter().flatten();
        spans.any(|&(start_s, end_s)| (start_s - ROUNDING_S..=end_s + ROUNDING_S).contains(&t_s))
    }

    /// Whether a row's use was looked at.
    pub(crate) fn hold_row(&self, screens: &Table, row: usize) -> bool {
        let (game, period) = (screens.text("game_id"), screens.numbers("period"));
        match (game.at(row), period.at(row), screens.numbers("t_use_s").at(row)) {
            (Some(game_id), Some(period), Some(t_s)) => self.hold(game_id, period as u8, t_s),
            _ => true,
        }
    }
}

/// The folder of some labels: a file is there, or in `labels` there.
fn folder_of(file: &Path) -> Option<&Path> {
    let folder = file.parent()?;
    if folder.file_name().is_some_and(|name| name == "labels") {
        folder.parent()
    } else {
        Some(folder)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_game_with_windows_only_they_were_looked_at() {
        let mut windows = Windows::default();
        windows.add("G".into(), 2, (10.0, 13.0));
        windows.add("G".into(), 2, (40.0, 41.5));
        assert!(windows.hold("G", 2, 10.0) && windows.hold("G", 2, 13.0) && windows.hold("G", 2, 41.0));
        assert!(!windows.hold("G", 2, 13.1) && !windows.hold("G", 1, 11.0));
        assert!(windows.hold("H", 1, 11.0));
    }
}
