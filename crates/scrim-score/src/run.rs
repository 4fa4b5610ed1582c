//! Labels and tables in, report out.

use scrim_floor::Parameters;
use std::collections::BTreeSet;
use std::path::Path;

use crate::ball_screen_possessions::ball_screen_possessions;
use crate::cuts::score_cuts;
use crate::labels::read_labels;
use crate::linked::{RowKey, score_linked};
use crate::matchups::score_matchups;
use crate::possessions::score_possessions;
use crate::report::REPORT_VERSION;
use crate::screen_match::{Family, ScreenMatch};
use crate::screens::{Unseen, score_screens};
use crate::tables::read_tables;
use crate::{Report, ScoreError, ScoreParams, Section};

/// Scores the tables below `tables` (`TABLE/SEASON~GAME.parquet`) against the labels below `labels`
/// (`labels/NAME.ext`, `NAME.ext`, or the same in a folder a game; `NAME` a table, `ext` csv or parquet). Only games
/// that the labels name are judged, and only cells that the labels fill.
///
/// A file `labelled.ext` beside them names games that were labelled (`game_id`), those without any label row too: what the
/// tables say of such a game is false. Where its `off_ball_screens` is `plain_only`, there are off-ball screens in the game
/// that nobody labelled: only recall is judged. Rows with `period`, `t_start_s` and `t_end_s` say that of this game only these stretches were
/// looked at: a screen of the tables whose use lies outside, and that no label stands for, is not judged.
///
/// # Errors
/// [`ScoreError`] when a folder or file cannot be read, when a label cannot be understood, when a file lacks a column
/// that places its rows, when a labelled game has no tables, or when a parameter has no meaning.
pub fn score(tables: &Path, labels: &Path, params: &ScoreParams) -> Result<Report, ScoreError> {
    params.check_in("")?;
    let mut warnings = Vec::new();
    let mut labels = read_labels(labels, &mut warnings)?;
    let tables = read_tables(tables, &mut labels, params, &mut warnings)?;

    let label = |name: &str| labels.tables.get(name);
    let both = |name: &str| label(name).zip(tables.get(name));
    let state = |name: &str| {
        if label(name).is_some() {
            State::Absent
        } else {
            State::NotLabelled
        }
    };

    let screens = both("screens").map(|(l, f)| ScreenMatch::new(l, f, params, &mut warnings));
    let all_labelled = BTreeSet::new();
    let family = |family, plain_only, warnings: &mut Vec<_>| match &screens {
        Some(matched) => {
            let unseen = Unseen {
                plain_only,
                windows: &labels.windows,
            };
            Section::Scored(score_screens(matched, family, &unseen, params, warnings))
        }
        None => state("screens").into(),
    };
    let on_ball_screens = family(Family::OnBall, &all_labelled, &mut warnings);
    let off_ball_screens = family(Family::OffBall, &labels.plain_only, &mut warnings);
    let mut linked = |name: &'static str, row_key, sure_of| match (&screens, both(name)) {
        (Some(matched), Some((l, f))) => Section::Scored(score_linked(
            matched,
            l,
            f,
            row_key,
            sure_of,
            params,
            &mut warnings,
        )),
        (Some(_) | None, Some(_) | None) => state(name).into(),
    };
    let coverages = linked("coverages", RowKey::Screen, Some("coverage"));
    let options = linked("options", RowKey::Screen, None);
    let entries = linked("entries", RowKey::Screen, None);
    let off_ball_motion = linked("off_ball_motion", RowKey::ScreenAndPlayer, None);
    let cuts = match both("cuts") {
        Some((l, f)) => Section::Scored(score_cuts(l, f, screens.as_ref(), params, &mut warnings)),
        None => state("cuts").into(),
    };
    let possessions = match both("possessions") {
        Some((l, f)) => Section::Scored(score_possessions(l, f, params, &mut warnings)),
        None => state("possessions").into(),
    };
    let matchups = match both("matchups") {
        Some((l, f)) => Section::Scored(score_matchups(l, f, params, &mut warnings)),
        None => state("matchups").into(),
    };
    let seen = label("possessions")
        .zip(both("screens"))
        .map(|(possessions, (labelled, found))| ball_screen_possessions(possessions, labelled, found));
    let absent_tables = labels
        .tables
        .keys()
        .filter(|name| !tables.contains_key(*name))
        .map(|name| (*name).to_owned())
        .collect();
    Ok(Report {
        report_version: REPORT_VERSION,
        games: labels.games.iter().cloned().collect(),
        absent_tables,
        warnings,
        params: params.clone(),
        possessions,
        matchups,
        on_ball_screens,
        off_ball_screens,
        coverages,
        options,
        entries,
        off_ball_motion,
        cuts,
        ball_screen_possessions: seen,
    })
}

/// Why a section has no score.
enum State {
    NotLabelled,
    Absent,
}

impl<T> From<State> for Section<T> {
    fn from(state: State) -> Self {
        match state {
            State::NotLabelled => Self::NotLabelled,
            State::Absent => Self::Absent,
        }
    }
}
