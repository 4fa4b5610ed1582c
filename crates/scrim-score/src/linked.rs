//! Tables whose rows hang on a screen: coverages, options, entries, off-ball motion.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::judge::judge_columns;
use crate::reliability::Gathered;
use crate::screen_match::{ScreenMatch, label_key};
use crate::table::Table;
use crate::{ColumnScores, Reliability, ScoreParams, Warning};

/// One such table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkedScore {
    /// Label rows that name a screen.
    pub labelled: usize,
    /// Those whose screen was found: only these are judged.
    pub judged: usize,
    /// Of the judged, those for which the table has no row: every tag of them counts as wrong.
    pub without_row: usize,
    /// Tags, players and numbers of the judged rows. Where a screen has one row, they are judged of the labelled ball screens
    /// and handoffs: one without a label row here leaves everything empty.
    pub columns: ColumnScores,
    /// Confidence that the table's main tag is right, over judged rows on which it commits itself (`unclear` does
    /// not); `None` where none is stated.
    pub reliability: Option<Reliability>,
}

/// What besides the screen names a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RowKey {
    /// Nothing: one row a screen.
    Screen,
    /// The player: a row a screen and player.
    ScreenAndPlayer,
}

/// Scores a table whose rows hang on a screen. `sure_of` is the tag that the table's `confidence` speaks of.
pub(crate) fn score_linked(
    matched: &ScreenMatch<'_>,
    labels: &Table,
    found: &Table,
    row_key: RowKey,
    sure_of: Option<&'static str>,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> LinkedScore {
    let player = |table: &Table, row: usize| match row_key {
        RowKey::Screen => String::new(),
        RowKey::ScreenAndPlayer => table.text("player_id").at(row).unwrap_or_default().to_owned(),
    };
    let mut rows: BTreeMap<(&str, &str, String), usize> = BTreeMap::new();
    let (game, screen) = (found.text("game_id"), found.text("screen_id"));
    for row in 0..found.rows {
        if let (Some(game_id), Some(screen_id)) = (game.at(row), screen.at(row)) {
            rows.insert((game_id, screen_id, player(found, row)), row);
        }
    }

    let screens = matched.found;
    let (screen_game, screen_id) = (screens.text("game_id"), screens.text("screen_id"));
    let mut judged: Vec<(usize, Option<usize>)> = Vec::new();
    let mut not_labelled = 0;
    for label in 0..labels.rows {
        let Some(key) = label_key(labels, "screen_id", label) else {
            continue;
        };
        not_labelled += usize::from(!matched.is_labelled(&key));
        let Some(row) = matched.found_for(&key) else {
            continue;
        };
        let name = screen_game.at(row).zip(screen_id.at(row));
        judged.push((
            label,
            name.and_then(|(game, screen)| rows.get(&(game, screen, player(labels, label))).copied()),
        ));
    }
    if not_labelled > 0 {
        warnings.push(Warning::ScreenNotLabelled {
            table: labels.spec.name,
            rows: not_labelled,
        });
    }
    let reliability = sure_of.and_then(|tag| {
        let (label_word, word, stated) = (labels.text(tag), found.text(tag), found.numbers("confidence"));
        let mut gathered = Gathered::new(params.reliability_bins);
        for (label, row) in &judged {
            let Some(row) = row else { continue };
            let (Some(truth), Some(predicted)) = (label_word.at(*label), word.at(*row)) else {
                continue;
            };
            if let (Some(stated), true) = (stated.at(*row), predicted != "unclear") {
                gathered.add(stated, truth == predicted);
            }
        }
        if gathered.out_of_range > 0 {
            let rows = gathered.out_of_range;
            warnings.push(Warning::ConfidenceOutOfRange {
                table: labels.spec.name,
                rows,
            });
        }
        gathered.finish()
    });
    let label_rows = match row_key {
        RowKey::Screen => matched.on_ball_labels().max(judged.len()),
        RowKey::ScreenAndPlayer => labels.rows,
    };
    LinkedScore {
        labelled: labels.rows,
        judged: judged.len(),
        without_row: judged.iter().filter(|(_, row)| row.is_none()).count(),
        columns: judge_columns(labels, found, &judged, label_rows, warnings),
        reliability,
    }
}
