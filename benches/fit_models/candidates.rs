//! Candidates of games with the label that each stands for.

use std::error::Error;
use std::path::Path;

use scrim_actions::{PairCandidate, PairEvidence, ball_screen_candidates};
use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_play::{PlayParams, Scene, find_play};
use scrim_tables::Id;
use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::{Game, TrackParams, clean};

use crate::labels::{Label, Labels};
use crate::noise::add_noise;

/// A candidate and a label of the same two are one within this, s (as the score has it).
const SAME_S: f64 = 1.0;
/// Near a zone of doubt that shares a player a candidate is not judged, within this, s.
const DOUBT_S: f64 = 1.5;

/// One candidate.
#[derive(Debug, Clone)]
pub struct Row {
    /// The game.
    pub game_id: Id,
    /// Which copy of the labelled scenes; `usize::MAX` for practice games.
    pub copy: usize,
    pub period: u8,
    pub t_s: f64,
    pub user: Id,
    pub screener: Id,
    pub evidence: [f32; PairEvidence::NAMES.len()],
    /// How much it counts in a fit.
    pub weight: f64,
    /// The number of the label that it stands for.
    pub label: Option<usize>,
    /// That label's outcome.
    pub outcome: Option<Outcome>,
    /// Whether that label is a handoff.
    pub is_handoff: bool,
    /// Near a zone of doubt: not judged.
    pub in_doubt: bool,
}

/// Adds the candidates of every labelled game in a folder.
pub fn read_rows(
    folder: &Path,
    labels: &Labels,
    copy: usize,
    added_m: f32,
    weight: f64,
    rows: &mut Vec<Row>,
) -> Result<(), Box<dyn Error>> {
    for source in find_sources(folder, None)? {
        read_source::<IngestError>(&source, &IngestParams::default(), &mut |mut read: ReadGame| {
            if !labels.has(&read.raw.info.game_id) {
                return Ok(());
            }
            if added_m > 0.0 {
                add_noise(&mut read.raw, added_m, rows.len() as u64);
            }
            match clean(read.raw, &TrackParams::default()) {
                Ok(cleaned) => add_game(&cleaned.game, labels, copy, weight, rows),
                Err(error) => eprintln!("left out: {error}"),
            }
            Ok(())
        })?;
    }
    Ok(())
}

fn add_game(game: &Game, labels: &Labels, copy: usize, weight: f64, rows: &mut Vec<Row>) {
    let play = find_play(game, &PlayParams::default());
    let scenes = Scene::all(game, &play);
    let first = rows.len();
    for candidate in ball_screen_candidates(&scenes) {
        let period = &game.periods[play.possessions[candidate.possession].period];
        rows.push(row(game, &candidate, period.number, period.hz, copy, weight));
    }
    for period in &game.periods {
        let own = labels.of_period(&game.info.game_id, period.number);
        judge(own, period.number, &mut rows[first..]);
    }
}

fn row(game: &Game, candidate: &PairCandidate, period: u8, hz: f64, copy: usize, weight: f64) -> Row {
    Row {
        game_id: game.info.game_id.clone(),
        copy,
        period,
        t_s: candidate.at as f64 / hz,
        user: game.player(candidate.user).id.clone(),
        screener: game.player(candidate.screener).id.clone(),
        evidence: candidate.evidence.values(),
        weight,
        label: None,
        outcome: None,
        is_handoff: false,
        in_doubt: false,
    }
}

/// Gives each label the nearest candidate of its two players, and marks what lies in a zone of doubt.
fn judge(labels: &[Label], period: u8, rows: &mut [Row]) {
    for label in labels {
        let apart_s = |row: &Row| (row.t_s - label.t_use_s).abs();
        let here = |row: &&mut Row| row.period == period;
        if label.kind.is_none() {
            for row in rows.iter_mut().filter(here) {
                let shares = [&row.user, &row.screener]
                    .iter()
                    .any(|&player| *player == label.user || *player == label.screener);
                row.in_doubt |= shares && apart_s(row) <= DOUBT_S;
            }
            continue;
        }
        let nearest = rows
            .iter_mut()
            .filter(here)
            .filter(|row| row.label.is_none())
            .filter(|row| (&row.user, &row.screener) == (&label.user, &label.screener))
            .filter(|row| apart_s(row) <= SAME_S)
            .min_by(|a, b| apart_s(a).total_cmp(&apart_s(b)));
        if let Some(row) = nearest {
            row.label = Some(label.number);
            row.outcome = label.outcome;
            row.is_handoff = label.kind == Some(ScreenKind::Handoff);
        }
    }
    for row in rows.iter_mut().filter(|row| row.label.is_some()) {
        row.in_doubt = false;
    }
}
