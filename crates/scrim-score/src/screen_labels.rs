//! The labelled screens, typed, with what labels say of their coverage: for whoever fits a detector or a reading.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use scrim_tables::Id;
use scrim_tables::tags::{Coverage, OnBallPath, Outcome, ScreenKind};

use crate::labels::{Labels, read_labels};
use crate::screen_match::{Family, LabelKey, families, label_key};
use crate::table::Table;
use crate::windows::Windows;
use crate::{ScoreError, Warning};

/// The labelled screens of a folder of labels.
#[derive(Debug, Clone, PartialEq)]
pub struct ScreenLabels {
    /// Label rows of `screens`, in the order of the files.
    pub screens: Vec<LabelledScreen>,
    /// Every labelled game, sorted: those that any label row names, and those that `labelled` names, which may have no
    /// row at all.
    pub games: Vec<Id>,
    /// Those of which only the plain screens off the ball were labelled: another one that is found is not known to be false.
    pub plain_only: BTreeSet<Id>,
    /// Of games of which only some stretches were looked at, these.
    pub windows: Windows,
    /// What in the labels changes the meaning of the rows.
    pub warnings: Vec<Warning>,
}

/// One label row of `screens`.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelledScreen {
    /// The game.
    pub game_id: Id,
    /// The period, from 1.
    pub period: u8,
    /// The label's own name for the screen. Unique within a game of one folder; not the tables' `screen_id`.
    pub screen_id: Option<Id>,
    /// On the ball (handoffs too), or off it; where the label does not say, by its kind. A zone of doubt of which the
    /// label does not say counts as off the ball.
    pub on_ball: bool,
    /// The kind; `None` is a zone of doubt.
    pub kind: Option<ScreenKind>,
    /// Who screens.
    pub screener: Id,
    /// For whom.
    pub user: Id,
    /// Closest approach of the user, or the instant at which the two part, s from the period's first frame.
    pub t_use_s: f64,
    /// What became of it.
    pub outcome: Option<Outcome>,
    /// Iced before the screen was there: found or not, it counts neither way.
    pub early_denial: bool,
    /// How it was defended.
    pub coverage: Option<Coverage>,
    /// What the handler's defender did.
    pub on_ball_path: Option<OnBallPath>,
}

/// Reads the labels below `labels` as [`crate::score`] does. Labels of `coverages` are joined by the label's
/// `screen_id`; where two rows name one screen, the first speaks.
///
/// # Errors
/// [`ScoreError`] when labels cannot be read or understood, or when there are none of `screens`.
pub fn screen_labels(labels: &Path) -> Result<ScreenLabels, ScoreError> {
    let mut warnings = Vec::new();
    let Labels {
        tables,
        games,
        plain_only,
        windows,
    } = read_labels(labels, &mut warnings)?;
    let table = tables.get("screens").ok_or_else(|| ScoreError::NoLabelsOf {
        path: labels.into(),
        table: "screens",
    })?;
    let coverages = tables
        .get("coverages")
        .map(coverages_by_screen)
        .unwrap_or_default();
    Ok(ScreenLabels {
        screens: typed_rows(table, &coverages)?,
        games: games.into_iter().map(Id::from).collect(),
        plain_only: plain_only.into_iter().map(Id::from).collect(),
        windows,
        warnings,
    })
}

type CoverageWords = (Option<Coverage>, Option<OnBallPath>);

fn coverages_by_screen(table: &Table) -> BTreeMap<LabelKey, CoverageWords> {
    let (coverage, path) = (table.text("coverage"), table.text("on_ball_path"));
    let mut by_screen = BTreeMap::new();
    for row in 0..table.rows {
        if let Some(key) = label_key(table, "screen_id", row) {
            // Words of labels were checked when they were read.
            let words = (
                coverage.at(row).and_then(|word| word.parse().ok()),
                path.at(row).and_then(|word| word.parse().ok()),
            );
            by_screen.entry(key).or_insert(words);
        }
    }
    by_screen
}

fn typed_rows(
    table: &Table,
    coverages: &BTreeMap<LabelKey, CoverageWords>,
) -> Result<Vec<LabelledScreen>, ScoreError> {
    let (kind, outcome) = (table.text("screen_kind"), table.text("outcome"));
    let (screener, user) = (table.text("screener_id"), table.text("user_id"));
    let (game, screen_id) = (table.text("game_id"), table.text("screen_id"));
    let early_denial = table.flags("early_denial");
    let (period, t_use_s) = (table.numbers("period"), table.numbers("t_use_s"));
    let mut rows = Vec::with_capacity(table.rows);
    for (row, family) in families(table).into_iter().enumerate() {
        // Rows without one of these were dropped, with a warning, when they were read.
        let (Some(game_id), Some(number), Some(screener), Some(user), Some(t_use_s)) = (
            game.at(row),
            period.at(row),
            screener.at(row),
            user.at(row),
            t_use_s.at(row),
        ) else {
            continue;
        };
        if number.fract() != 0.0 || !(1.0..=f64::from(u8::MAX)).contains(&number) {
            return Err(ScoreError::Unreadable {
                path: table.file(row).into(),
                place: table.place(row),
                column: "period",
                found: number.to_string(),
                expected: "a whole number from 1 to 255",
            });
        }
        let (coverage, on_ball_path) = label_key(table, "screen_id", row)
            .and_then(|key| coverages.get(&key).copied())
            .unwrap_or_default();
        rows.push(LabelledScreen {
            game_id: game_id.into(),
            period: number as u8,
            screen_id: screen_id.at(row).map(Id::from),
            on_ball: family == Family::OnBall,
            kind: kind.at(row).and_then(|word| word.parse().ok()),
            screener: screener.into(),
            user: user.into(),
            t_use_s,
            outcome: outcome.at(row).and_then(|word| word.parse().ok()),
            early_denial: early_denial.at(row) == Some(true),
            coverage,
            on_ball_path,
        });
    }
    Ok(rows)
}
