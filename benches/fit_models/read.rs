//! Candidates of the labelled games in a folder.

use std::error::Error;
use std::path::Path;

use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_practice::{PracticeGame, PracticeParams, ScreenLabel, play_game, write_game};
use scrim_score::LabelledScreen;
use scrim_tracks::{Game, RawGame, TrackParams, clean};
use scrim_tune::{Finding, Labels, Rows, add_game};
use tempfile::TempDir;

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

/// Within this of a screen that a script meant a candidate of the same two may stand for it, s.
const MEANT_S: f64 = 2.0;

/// Leaves out the candidates on the ball, from row `first` on, that stand for a screen which was meant and did not come out as one
/// for sure: neither a screen nor an accident to learn from.
pub fn leave_out_meant(labels: &[ScreenLabel], first: usize, rows: &mut Rows) {
    let meant: Vec<&ScreenLabel> = labels
        .iter()
        .filter(|label| label.on_ball && label.was_meant())
        .collect();
    let mut place = 0;
    rows.on_ball.retain(|row| {
        place += 1;
        let stands_for = |label: &&ScreenLabel| {
            (&label.game_id, label.period) == (&row.game_id, row.period)
                && (&label.user_id, &label.screener_id) == (&row.user, &row.screener)
                && (label.t_use_s - row.t_s).abs() <= MEANT_S
        };
        place <= first || !row.in_doubt || !meant.iter().any(stands_for)
    });
}

/// Plays a practice game and writes it to a folder that lasts as long as what is returned.
pub fn write_practice_game(
    params: &PracticeParams,
    number: u32,
) -> Result<(PracticeGame, TempDir), Box<dyn Error>> {
    let played = play_game(params, number);
    let folder = tempfile::tempdir()?;
    write_game(&played, folder.path())?;
    Ok((played, folder))
}

/// A game that was read, with noise of `added_m` added and cleaned; `None`, and a word, where it cannot be used.
pub fn clean_game(mut raw: RawGame, added_m: f32, seed: u64) -> Option<Game> {
    if added_m > 0.0 {
        add_noise(&mut raw, added_m, seed);
    }
    match clean(raw, &TrackParams::default()) {
        Ok(cleaned) => Some(cleaned.game),
        Err(error) => {
            eprintln!("left out: {error}");
            None
        }
    }
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
    for source in find_sources(folder, None)?.sources {
        read_source::<IngestError>(&source, &IngestParams::default(), &mut |read: ReadGame| {
            if !labels.has(&read.raw.info.game_id) {
                return Ok(());
            }
            if let Some(game) = clean_game(read.raw, added_m, rows.on_ball.len() as u64) {
                add_game(&game, &Finding::default(), labels, copy, weight, rows);
            }
            Ok(())
        })?;
    }
    Ok(())
}
