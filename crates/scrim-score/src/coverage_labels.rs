//! The coverage that labels give each found ball screen: matched as a score matches them, for whoever fits a decision.

use scrim_floor::Parameters;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use scrim_tables::Id;
use scrim_tables::rows::ScreenRow;
use scrim_tables::tags::Coverage;

use crate::contract::SCREENS;
use crate::labels::read_labels;
use crate::screen_match::{ScreenMatch, label_key};
use crate::table::{Column, Table};
use crate::{Place, ScoreError, ScoreParams, Warning};

/// What labels say of found screens.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverageLabels {
    /// Found screens whose coverage is labelled, each at most once, in the order of the labels.
    pub rows: Vec<LabelledCoverage>,
    /// Every game that any label names, sorted.
    pub games: Vec<String>,
    /// Label rows that give a coverage (`unclear` included).
    pub labelled: usize,
    /// Of these, rows whose screen was not found.
    pub not_found: usize,
    /// What in the labels changes the meaning of the numbers.
    pub warnings: Vec<Warning>,
}

/// One found screen whose coverage is labelled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabelledCoverage {
    /// The game.
    pub game_id: Id,
    /// The found screen.
    pub screen_id: u32,
    /// The label's word.
    pub coverage: Coverage,
}

/// Reads the labels below `labels` as [`crate::score`] does and matches their screens to `found`, the `screens` rows of
/// any number of games.
///
/// # Errors
/// [`ScoreError`] when labels cannot be read or understood, when there are none of `screens` or of `coverages`, or when a
/// parameter has no meaning.
pub fn coverage_labels(
    labels: &Path,
    found: &[ScreenRow],
    params: &ScoreParams,
) -> Result<CoverageLabels, ScoreError> {
    params.check_in("")?;
    let mut warnings = Vec::new();
    let read = read_labels(labels, &mut warnings)?;
    let table = |name: &'static str| {
        read.tables.get(name).ok_or_else(|| ScoreError::NoLabelsOf {
            path: labels.into(),
            table: name,
        })
    };
    let (screens, coverages) = (table("screens")?, table("coverages")?);
    let found_table = table_of(found);
    let matched = ScreenMatch::new(screens, &found_table, params, &mut warnings);
    let words = coverages.text("coverage");
    let (mut rows, mut labelled, mut not_found, mut not_linked) = (Vec::new(), 0, 0, 0);
    let mut taken = BTreeSet::new();
    for row in 0..coverages.rows {
        let (Some(word), Some(key)) = (words.at(row), label_key(coverages, "screen_id", row)) else {
            continue;
        };
        // Words of labels were checked when they were read.
        let Ok(coverage) = word.parse::<Coverage>() else {
            continue;
        };
        labelled += 1;
        not_linked += usize::from(!matched.is_labelled(&key));
        match matched.found_for(&key) {
            Some(place) if taken.insert(place) => rows.push(LabelledCoverage {
                game_id: found[place].game_id.clone(),
                screen_id: found[place].screen_id,
                coverage,
            }),
            Some(_) => {}
            None => not_found += 1,
        }
    }
    if not_linked > 0 {
        warnings.push(Warning::ScreenNotLabelled {
            table: coverages.spec.name,
            rows: not_linked,
        });
    }
    Ok(CoverageLabels {
        rows,
        games: read.games.into_iter().collect(),
        labelled,
        not_found,
        warnings,
    })
}

/// The columns that a match looks at, one row of the table a row of `found`.
fn table_of(found: &[ScreenRow]) -> Table {
    let text = |of: fn(&ScreenRow) -> Id| Column::Text(found.iter().map(|row| Some(of(row))).collect());
    let number = |of: fn(&ScreenRow) -> f64| Column::Number(found.iter().map(|row| Some(of(row))).collect());
    let columns = vec![
        ("game_id", text(|row| row.game_id.clone())),
        ("period", number(|row| f64::from(row.period))),
        ("screen_id", text(|row| Arc::from(row.screen_id.to_string()))),
        ("screener_id", text(|row| row.screener_id.clone())),
        ("user_id", text(|row| row.user_id.clone())),
        ("t_use_s", number(|row| row.t_use_s)),
    ];
    let places = (0..found.len() as u64).map(Place::Row).collect();
    let mut table = Table::new(&SCREENS);
    table.append(Path::new("screens"), columns, places);
    table
}
