//! The coverage model: labelled ball screens as if they had been found, the fit, and figures on scenes it has not seen.

use scrim_floor::Definitions;
use std::error::Error;
use std::path::Path;

use scrim_actions::{
    BallScreen, COVERAGE_WORDS, CoverageEvidence, ReadParams, coverage_probabilities, coverage_starts,
    find_reads, labelled_ball_screen,
};
use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_play::{Play, PlayParams, Scene, find_play};
use scrim_practice::PracticeParams;
use scrim_score::{LabelledScreen, ScreenLabels, screen_labels};
use scrim_tables::Id;
use scrim_tables::tags::Outcome;
use scrim_tracks::{Game, PlayerIx};
use scrim_trees::{FitParams, Sample, TreeModel, fit_from};
use scrim_tune::PRACTICE;

use crate::ADDED_M;
use crate::each_game;
use crate::folds::{FOLDS, Folds};
use crate::read::{clean_game, write_practice_game};

/// The detector's instant may be off by so much, s: a model must stand that. Each labelled screen is read at each of these.
const SHIFTS_S: [f64; 3] = [0.0, -0.2, 0.2];
/// At the last of them, a rejected screen is read as if the detector took it for one of these: its outcome is wrong at times, and
/// a model must stand that, too.
const TAKEN_FOR: [Outcome; 2] = [Outcome::Slipped, Outcome::Unused];

/// The practice games: seed, noise in m, and share of possessions played in order; [`GAMES`] of each. Each plays other
/// possessions, for some words are rare.
const PRACTICE_GAMES: [(u64, f32, f32); 6] = [
    (511, 0.05, 0.0),
    (512, 0.15, 0.5),
    (513, 0.30, 1.0),
    (514, 0.05, 1.0),
    (515, 0.15, 0.5),
    (516, 0.30, 0.0),
];
/// See [`PRACTICE_GAMES`].
const GAMES: u32 = 8;
/// How much a label of a practice game counts beside one of a labelled scene. Chosen by cross-validation.
const PRACTICE_WEIGHT: f64 = 0.25;

/// The model's file, without its ending.
pub const FILE: &str = "coverages";
/// What the model answers.
pub const QUESTION: &str = "how was a ball screen defended?";

/// How the coverage model is fitted. More rounds do better on the labelled scenes (0.89 of them right) and worse on simulated games of
/// another make (macro-F1 0.82): it starts from the vocabulary's definitions, and is not to leave them for one league's habits.
fn how() -> FitParams {
    FitParams {
        rounds: 50,
        leaves: 6,
        rows_in_leaf: 20,
        share_of_evidence: 0.4,
        ..FitParams::default()
    }
}

/// One reading of one labelled ball screen.
#[derive(Debug, Clone)]
pub struct CoverageRow {
    /// The game.
    game_id: Id,
    /// Which copy of the labelled scenes, or [`PRACTICE`].
    copy: usize,
    /// Read at the instant of the closest approach: to be judged by.
    is_unshifted: bool,
    /// What was measured.
    evidence: CoverageEvidence,
    /// The place of the label's word.
    word: usize,
    /// How much it counts in a fit.
    weight: f64,
}

impl CoverageRow {
    fn sample(&self) -> Sample {
        Sample {
            evidence: self.evidence.values().to_vec(),
            word: self.word,
            weight: self.weight,
        }
    }
}

/// Adds the labelled ball screens of a folder of games. `weight`: how much one label counts, all its readings and copies together.
pub fn read_coverages(
    folder: &Path,
    labels: &Path,
    copy: usize,
    added_m: f32,
    weight: f64,
    rows: &mut Vec<CoverageRow>,
) -> Result<(), Box<dyn Error>> {
    let labels = screen_labels(labels)?;
    for source in find_sources(folder, None)?.sources {
        read_source::<IngestError>(&source, &IngestParams::default(), &mut |read: ReadGame| {
            let is_labelled = labels
                .screens
                .iter()
                .any(|label| label.game_id == read.raw.info.game_id);
            if !is_labelled {
                return Ok(());
            }
            let Some(game) = clean_game(read.raw, added_m, rows.len() as u64) else {
                return Ok(());
            };
            let play = find_play(&game, &PlayParams::default());
            let scenes = Scene::all(&game, &play);
            for shift_s in SHIFTS_S {
                let one = One {
                    game: &game,
                    play: &play,
                    scenes: &scenes,
                    copy,
                    shift_s,
                    weight,
                };
                add_readings(&one, &labels, rows);
            }
            Ok(())
        })?;
    }
    Ok(())
}

/// Adds the labelled ball screens of labelled scenes, as they are and with noise added, and says what they are.
pub fn read_labelled(
    input: &Path,
    labels: &Path,
    name: &str,
    rows: &mut Vec<CoverageRow>,
) -> Result<String, Box<dyn Error>> {
    for (copy, added_m) in ADDED_M.into_iter().enumerate() {
        read_coverages(input, labels, copy, added_m, 1.0 / ADDED_M.len() as f64, rows)?;
        eprintln!(
            "labelled scenes with {added_m} m of noise added: {} coverage rows so far",
            rows.len()
        );
    }
    let labelled = rows
        .iter()
        .filter(|row| row.copy == 0 && row.is_unshifted)
        .count();
    Ok(format!(
        "{name}: {labelled} labelled coverages, as they are and with {:?} m of noise added, each read at {SHIFTS_S:?} s from the \
         closest approach",
        &ADDED_M[1..]
    ))
}

/// Adds the labelled ball screens of the practice games, and says what they are.
pub fn read_practice(rows: &mut Vec<CoverageRow>) -> Result<String, Box<dyn Error>> {
    for (seed, noise_m, orderly_share) in PRACTICE_GAMES {
        let params = PracticeParams {
            seed,
            games: GAMES,
            noise_m,
            orderly_share,
            ..PracticeParams::default()
        };
        let of_games = each_game(GAMES, |number| {
            let (_, folder) = write_practice_game(&params, number)?;
            let mut rows = Vec::new();
            read_coverages(
                folder.path(),
                folder.path(),
                PRACTICE,
                0.0,
                PRACTICE_WEIGHT,
                &mut rows,
            )?;
            Ok(rows)
        })?;
        rows.extend(of_games.into_iter().flatten());
        eprintln!(
            "practice games of seed {seed}: {} coverage rows so far",
            rows.len()
        );
    }
    Ok(format!(
        "practice games: seed, noise in m and share in order {PRACTICE_GAMES:?}, {GAMES} of each, weight {PRACTICE_WEIGHT}"
    ))
}

/// One game, and how its labelled screens are read.
struct One<'a> {
    game: &'a Game,
    play: &'a Play,
    scenes: &'a [Scene],
    copy: usize,
    shift_s: f64,
    weight: f64,
}

fn add_readings(one: &One, labels: &ScreenLabels, rows: &mut Vec<CoverageRow>) {
    let &One {
        game,
        play,
        scenes,
        copy,
        shift_s,
        weight,
    } = one;
    let mut found: Vec<(BallScreen, &LabelledScreen)> = labels
        .screens
        .iter()
        .filter(|label| label.game_id == game.info.game_id && label.on_ball)
        .filter_map(|label| {
            let mut screen = as_found(game, scenes, label)?;
            let scene = &scenes[screen.possession];
            let shift = (shift_s * scene.hz).round() as isize;
            let last = scene.first_frame + scene.frames - 1;
            if shift_s > 0.0 && screen.outcome == Outcome::Rejected {
                screen.outcome = TAKEN_FOR[screen.used % TAKEN_FOR.len()];
            }
            screen.used = screen
                .used
                .saturating_add_signed(shift)
                .clamp(scene.first_frame, last);
            Some((screen, label))
        })
        .collect();
    found.sort_by_key(|(screen, _)| (screen.possession, screen.used));
    let screens: Vec<BallScreen> = found.iter().map(|(screen, _)| screen.clone()).collect();
    let reads = find_reads(
        scenes,
        play,
        &screens,
        &ReadParams::default(),
        &Definitions::DEFAULT,
    );
    for ((_, label), read) in found.iter().zip(reads) {
        let word = COVERAGE_WORDS
            .iter()
            .position(|word| Some(*word) == label.coverage);
        if let (Some(word), Some(evidence)) = (word, read.evidence.coverage) {
            rows.push(CoverageRow {
                game_id: game.info.game_id.clone(),
                copy,
                is_unshifted: shift_s == 0.0,
                evidence,
                word,
                weight: weight / SHIFTS_S.len() as f64,
            });
        }
    }
}

/// The labelled screen as the detector would have it.
fn as_found(game: &Game, scenes: &[Scene], label: &LabelledScreen) -> Option<BallScreen> {
    let kind = label.kind?;
    let on_floor = |scene: &Scene, id: &Id| -> Option<PlayerIx> {
        let movers = scene.attackers.iter();
        movers
            .map(|mover| mover.player)
            .find(|&player| game.player(player).id == *id)
    };
    scenes.iter().enumerate().find_map(|(possession, scene)| {
        let period = &game.periods[scene.period];
        let k = ((label.t_use_s * period.hz).round() as usize).checked_sub(scene.first_frame)?;
        if period.number != label.period || k >= scene.frames {
            return None;
        }
        let both = [on_floor(scene, &label.user)?, on_floor(scene, &label.screener)?];
        labelled_ball_screen(
            scene,
            possession,
            both,
            k,
            kind,
            label.outcome.unwrap_or(Outcome::Used),
        )
    })
}

/// Fits the coverage model to all rows.
pub fn fit_all(rows: &[CoverageRow]) -> TreeModel {
    fit_coverages(rows.iter())
}

fn fit_coverages<'a>(rows: impl Iterator<Item = &'a CoverageRow>) -> TreeModel {
    let (samples, starts): (Vec<Sample>, Vec<Vec<f32>>) = rows
        .map(|row| (row.sample(), coverage_starts(&row.evidence).to_vec()))
        .unzip();
    let words = COVERAGE_WORDS.map(|word| word.as_str());
    fit_from(&samples, &starts, &words, &CoverageEvidence::NAMES, &how())
}

/// How often the coverage is right and its macro-F1, for each copy of the labelled scenes, each scene judged by a fit that has not
/// seen it; and how many rows that is. Practice rows are in every fit and never judged. Empty without labelled scenes.
pub fn cross_validate(rows: &[CoverageRow]) -> Vec<(String, f64)> {
    let folds = Folds::of(
        rows.iter()
            .filter(|row| row.copy != PRACTICE)
            .map(|row| &row.game_id),
    );
    if folds.is_empty() {
        return Vec::new();
    }
    let words = COVERAGE_WORDS.map(|word| word.as_str());
    let mut counts = vec![[[0_u32; 6]; 6]; ADDED_M.len()];
    for fold in 0..FOLDS {
        let seen = rows
            .iter()
            .filter(|row| row.copy == PRACTICE || folds.of_game(&row.game_id) != fold);
        let model = fit_coverages(seen).bind(&words, &CoverageEvidence::NAMES);
        let model = model.unwrap_or_else(|error| panic!("a model that was just fitted fits: {error}"));
        let judged = rows
            .iter()
            .filter(|row| row.copy != PRACTICE && row.is_unshifted && folds.of_game(&row.game_id) == fold);
        for row in judged {
            let six = coverage_probabilities(&model, &row.evidence);
            let best = (0..6).max_by(|&a, &b| six[a].total_cmp(&six[b])).unwrap_or(0);
            counts[row.copy][row.word][best] += 1;
        }
    }
    let mut scores = Vec::new();
    for (counts, added_m) in counts.iter().zip(ADDED_M) {
        let all: u32 = counts.iter().flatten().sum();
        let right: u32 = (0..6).map(|word| counts[word][word]).sum();
        let f1s: Vec<f64> = (0..6)
            .filter(|&word| counts[word].iter().sum::<u32>() > 0)
            .map(|word| {
                let labelled: u32 = counts[word].iter().sum();
                let answered: u32 = counts.iter().map(|row| row[word]).sum();
                2.0 * f64::from(counts[word][word]) / f64::from(labelled + answered)
            })
            .collect();
        scores.push((
            format!("coverage, {added_m} m added, labelled screens"),
            f64::from(all),
        ));
        scores.push((
            format!("coverage, {added_m} m added, right"),
            f64::from(right) / f64::from(all),
        ));
        let macro_f1 = f1s.iter().sum::<f64>() / f1s.len() as f64;
        scores.push((format!("coverage, {added_m} m added, macro-F1"), macro_f1));
    }
    scores
}

/// By how much two models' probabilities of any word differ, most, over all rows.
#[cfg(test)]
pub fn most_apart(rows: &[CoverageRow], one: &TreeModel, other: &TreeModel) -> f32 {
    let words = COVERAGE_WORDS.map(|word| word.as_str());
    let [one, other] = [one, other].map(|model| model.bind(&words, &CoverageEvidence::NAMES).unwrap());
    rows.iter()
        .flat_map(|row| {
            let (one, other) = (
                coverage_probabilities(&one, &row.evidence),
                coverage_probabilities(&other, &row.evidence),
            );
            (0..6).map(move |word| (one[word] - other[word]).abs())
        })
        .fold(0.0, f32::max)
}
