//! Candidates of the labelled games in a folder.

use std::error::Error;
use std::path::Path;

use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_practice::ScreenLabel;
use scrim_score::LabelledScreen;
use scrim_tracks::{TrackParams, clean};
use scrim_tune::{Finding, Labels, Rows, add_game};

use crate::noise::add_noise;

/// The labels of a practice game.
pub fn practice_labels(rows: &[ScreenLabel]) -> Labels {
    Labels::of_whole_games(rows.iter().map(|row| LabelledScreen {
        game_id: row.game_id.clone(),
        period: row.period,
        screen_id: None,
        on_ball: row.on_ball,
        kind: row.screen_kind,
        screener: row.screener_id.clone(),
        user: row.user_id.clone(),
        t_use_s: row.t_use_s,
        outcome: row.outcome,
        early_denial: row.early_denial == Some(true),
        coverage: None,
        on_ball_path: None,
    }))
}

/// Adds the candidates of every labelled game in a folder.
pub fn read_rows(
    folder: &Path,
    labels: &Labels,
    copy: usize,
    added_m: f32,
    weight: f64,
    rows: &mut Rows,
) -> Result<(), Box<dyn Error>> {
    for source in find_sources(folder, None)? {
        read_source::<IngestError>(&source, &IngestParams::default(), &mut |mut read: ReadGame| {
            if !labels.has(&read.raw.info.game_id) {
                return Ok(());
            }
            if added_m > 0.0 {
                add_noise(&mut read.raw, added_m, rows.on_ball.len() as u64);
            }
            match clean(read.raw, &TrackParams::default()) {
                Ok(cleaned) => add_game(&cleaned.game, &Finding::default(), labels, copy, weight, rows),
                Err(error) => eprintln!("left out: {error}"),
            }
            Ok(())
        })?;
    }
    Ok(())
}
