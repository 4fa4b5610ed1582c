//! Fits the models that decide (`models/*.toml`) from practice games and, where they are named, real labelled scenes:
//!
//! ```text
//! cargo run --release -p scrim-benches --example fit_models -- --output models --date 2026-11-28 \
//!     --input SCENES --labels LABELS --name "what these are"
//! ```
//!
//! The practice games: [`SEED`], some at each of the noises. No accuracy figure uses them. The labelled scenes are taken as they
//! are and, as noisier feeds would have them, with noise added. It prints cross-validated figures (five folds by scene: a scene
//! is never in the fit that it is judged by) and writes the models, with what they were fitted to. `--only screens` or `--only
//! coverages` leaves the other models as they are.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program that prints its result and its progress"
)]

mod args;
mod coverages;
mod crossed;
mod folds;
mod noise;
mod read;

use std::error::Error;

use args::Args;
use coverages::CoverageRow;
use crossed::cross_validate;
use rayon::prelude::*;
use read::{leave_out_meant, practice_labels, read_rows, write_practice_game};
use scrim_actions::{
    FLIP_WORDS, OUTCOME_WORDS, PairEvidence, SCREEN_WORDS, flip_evidence_names, off_ball_evidence_names,
};
use scrim_practice::PracticeParams;
use scrim_score::screen_labels;
use scrim_tables::tags::Outcome;
use scrim_trees::{FitParams, Sample, TreeModel, fit};
use scrim_tune::{Labels, PRACTICE, Row, Rows};

/// The practice games' seed.
const SEED: u64 = 501;
/// How many at each noise and share.
const GAMES: u32 = 12;
/// The share of possessions played in order, and how much a row of such games counts beside a row of a labelled scene: lively
/// games, orderly ones, and games that are partly so. Chosen by cross-validation.
const ORDERLY_SHARES: [(f32, f64); 3] = [(0.0, 0.175), (0.5, 0.3), (1.0, 0.3)];
/// The practice games' noise, m.
const NOISES_M: [f32; 3] = [0.05, 0.15, 0.30];
/// The noise added to labelled scenes: none, and as noisier feeds would have it, m.
const ADDED_M: [f32; 4] = [0.0, 0.05, 0.15, 0.30];
/// How much a practice row off the ball counts beside one on the ball: labelled ones are few there. Chosen by cross-validation.
const OFF_BALL_PRACTICE_WEIGHT: f64 = 0.45;
/// What came about by accident in a practice game is no screen, though it may look like one: it counts so much less than what
/// is clear. (In labelled scenes nobody knows, and such rows are left out.)
const ACCIDENT_WEIGHT: f64 = 0.2;
/// A ghosted screen of a practice game counts so often for the model of ball screens: they are few, and a miss is worse than a false
/// one. Chosen so that seven in ten are found (practice games that no fit has seen).
const GHOST_WEIGHT: f64 = 2.0;

/// The fit: chosen by cross-validation on labelled scenes.
fn how((rounds, leaves): (usize, usize)) -> FitParams {
    FitParams {
        rounds,
        leaves,
        ..FitParams::default()
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let args = Args::read()?;
    if args.fits("screens") {
        fit_screens(&args)?;
    }
    if args.fits("coverages") {
        let (rows, data) = read_all_coverages(&args)?;
        let scores = coverages::cross_validate(&rows);
        for (name, value) in &scores {
            println!("{name}: {value:.3}");
        }
        args.write(
            coverages::FILE,
            coverages::QUESTION,
            coverages::fit_all(&rows),
            &data,
            &scores,
        )?;
    }
    Ok(())
}

/// Every reading of a labelled coverage to fit to, and in words what they are.
fn read_all_coverages(args: &Args) -> Result<(Vec<CoverageRow>, Vec<String>), Box<dyn Error>> {
    let mut rows = Vec::new();
    let mut data = Vec::new();
    if let (Some(input), Some(labels)) = (&args.input, &args.labels) {
        data.push(coverages::read_labelled(input, labels, &args.name, &mut rows)?);
    }
    data.push(coverages::read_practice(&mut rows)?);
    Ok((rows, data))
}

fn fit_screens(args: &Args) -> Result<(), Box<dyn Error>> {
    let (rows, data) = read_all(args)?;
    let labels = args.labels.as_deref().map(screen_labels).transpose()?;
    let labels = labels.map(Labels::of_folder);
    let scores = cross_validate(
        &rows,
        &labels.unwrap_or_default(),
        [SCREEN_FIT, OUTCOME_FIT, FLIP_FIT, OFF_BALL_FIT].map(how),
    );
    for (name, value) in &scores {
        println!("{name}: {value:.3}");
    }
    for (file, question, model) in fit_all(&rows) {
        args.write(file, question, model, &data, &scores)?;
    }
    Ok(())
}

/// Rounds and leaves of the model of ball screens.
const SCREEN_FIT: (usize, usize) = (300, 12);
/// Rounds and leaves of the model of screens off the ball.
const OFF_BALL_FIT: (usize, usize) = (300, 8);
/// Rounds and leaves of the model of outcomes.
const OUTCOME_FIT: (usize, usize) = (120, 8);

/// Rounds and leaves of the model of flips.
const FLIP_FIT: (usize, usize) = (120, 8);

/// Every row to fit to, and in words what they are.
fn read_all(args: &Args) -> Result<(Rows, Vec<String>), Box<dyn Error>> {
    let mut rows = Rows::default();
    let mut data = Vec::new();
    if let (Some(input), Some(labels)) = (&args.input, &args.labels) {
        let labels = Labels::of_folder(screen_labels(labels)?);
        for (place, added_m) in ADDED_M.into_iter().enumerate() {
            read_rows(input, &labels, place, added_m, 1.0, &mut rows)?;
            eprintln!(
                "labelled scenes with {added_m} m of noise added: {} rows so far",
                rows.on_ball.len()
            );
        }
        data.push(format!(
            "{}: {} games with {} labelled ball screens and handoffs, as they are and with {:?} m of noise added",
            args.name,
            labels.games(),
            labels.ball_screens(),
            &ADDED_M[1..]
        ));
    }
    let kinds = ORDERLY_SHARES
        .into_iter()
        .flat_map(|(share, weight)| NOISES_M.map(|noise_m| (share, weight, noise_m)));
    // Other games of each kind: the same ones twice would say less.
    for ((orderly_share, weight, noise_m), seed) in kinds.zip(SEED..) {
        let params = PracticeParams {
            seed,
            games: args.games,
            noise_m,
            orderly_share,
            ..PracticeParams::default()
        };
        for of_game in each_game(args.games, |number| practice_rows(&params, number, weight))? {
            rows.on_ball.extend(of_game.on_ball);
            rows.off_ball.extend(of_game.off_ball);
            rows.flips.extend(of_game.flips);
        }
        eprintln!(
            "practice games at {noise_m} m, {orderly_share} in order: {} rows so far",
            rows.on_ball.len()
        );
    }
    data.push(format!(
        "practice games: seed {SEED} and on, {} at each of {NOISES_M:?} m of noise and each of these shares of orderly possessions \
         and weights: {ORDERLY_SHARES:?}; what came about by accident counts {ACCIDENT_WEIGHT} of that, what was meant and is in doubt nothing",
        args.games
    ));
    Ok((rows, data))
}

/// The rows of a practice game.
fn practice_rows(params: &PracticeParams, number: u32, weight: f64) -> Result<Rows, Box<dyn Error>> {
    let (played, folder) = write_practice_game(params, number)?;
    let labels = practice_labels(&played.labels.screens);
    let mut rows = Rows::default();
    read_rows(folder.path(), &labels, PRACTICE, 0.0, weight, &mut rows)?;
    leave_out_meant(&played.labels.screens, 0, &mut rows);
    for row in &mut rows.off_ball {
        row.weight *= OFF_BALL_PRACTICE_WEIGHT;
    }
    Ok(rows)
}

/// What `read` makes of each of `games` games, in their order, read side by side.
fn each_game<T: Send>(
    games: u32,
    read: impl Fn(u32) -> Result<T, Box<dyn Error>> + Sync,
) -> Result<Vec<T>, Box<dyn Error>> {
    // An error of any kind need not be one that threads can share; its words are.
    let read = |number| read(number).map_err(|error| error.to_string());
    let read: Result<Vec<T>, String> = (0..games).into_par_iter().map(read).collect();
    Ok(read?)
}

/// Every model: its file's name, what it answers, and the fit.
fn fit_all(rows: &Rows) -> [(&'static str, &'static str, TreeModel); 4] {
    let outcomes = OUTCOME_WORDS.map(|word| word.as_str());
    [
        (
            "ball_screens",
            "is a candidate on the ball a ball screen or handoff?",
            fit(
                &on_ball_samples(&rows.on_ball),
                &SCREEN_WORDS,
                &PairEvidence::NAMES,
                &how(SCREEN_FIT),
            ),
        ),
        (
            "outcomes",
            "what became of a ball screen?",
            fit(
                &outcome_samples(&rows.on_ball),
                &outcomes,
                &outcome_evidence(),
                &how(OUTCOME_FIT),
            ),
        ),
        (
            "flips",
            "did the screener give up the handler's other side before?",
            fit(
                &screen_samples(&rows.flips),
                &FLIP_WORDS,
                &flip_evidence_names(),
                &how(FLIP_FIT),
            ),
        ),
        (
            "off_ball_screens",
            "is a candidate off the ball a screen?",
            fit(
                &off_ball_samples(&rows.off_ball),
                &SCREEN_WORDS,
                &off_ball_evidence(),
                &how(OFF_BALL_FIT),
            ),
        ),
    ]
}

/// What a model of screens learns from a row: nothing from one that cannot be judged, and from what came about by accident in a
/// practice game as much as that counts.
fn screen_sample(row: &Row, accident_weight: f64) -> Option<Sample> {
    let is_accident = row.in_doubt && row.is_practice() && accident_weight > 0.0;
    (!row.in_doubt || is_accident).then(|| Sample {
        evidence: row.evidence.clone(),
        word: usize::from(row.label.is_some()),
        weight: row.weight * if row.in_doubt { accident_weight } else { 1.0 },
    })
}

/// What a model of screens learns from, accidents apart.
fn screen_samples<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Vec<Sample> {
    rows.into_iter()
        .filter_map(|row| screen_sample(row, 0.0))
        .collect()
}

/// What the model of ball screens learns from.
fn on_ball_samples<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Vec<Sample> {
    let weighed = |row: &'a Row| {
        let mut sample = screen_sample(row, ACCIDENT_WEIGHT)?;
        if row.is_practice() && row.outcome == Some(Outcome::Ghosted) {
            sample.weight *= GHOST_WEIGHT;
        }
        Some(sample)
    };
    rows.into_iter().filter_map(weighed).collect()
}

/// What the model of screens off the ball looks at: who is on the way to the hoop after it says what became of a ball screen.
fn off_ball_evidence() -> Vec<&'static str> {
    let mut names = off_ball_evidence_names().to_vec();
    names.retain(|name| {
        ![
            "defender_gap_later_m",
            "sets_off_after_s",
            "sets_off_gap_m",
            "sets_off_user_mps",
        ]
        .contains(name)
    });
    names
}

/// What the model of screens off the ball learns from.
fn off_ball_samples<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Vec<Sample> {
    let names = off_ball_evidence();
    let mut samples = screen_samples(rows);
    for sample in &mut samples {
        sample.evidence = only(&names, &off_ball_evidence_names(), &sample.evidence);
    }
    samples
}

/// The values of `names` alone, of `values` that bear the names of `all`.
fn only(names: &[&str], all: &[&str], values: &[f32]) -> Vec<f32> {
    let named = all.iter().zip(values);
    named
        .filter(|(name, _)| names.contains(*name))
        .map(|(_, &value)| value)
        .collect()
}

/// What the model of outcomes looks at: how much the others move says nothing about what became of one screen.
fn outcome_evidence() -> Vec<&'static str> {
    let mut names = PairEvidence::NAMES.to_vec();
    names.retain(|&name| name != "others_slow");
    names
}

/// What the model of outcomes learns from: the rows that stand for a labelled screen with an outcome of its own.
fn outcome_samples<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Vec<Sample> {
    let names = outcome_evidence();
    rows.into_iter()
        .filter(|row| !row.is_handoff)
        .filter_map(|row| {
            Some(Sample {
                evidence: only(&names, &PairEvidence::NAMES, &row.evidence),
                word: OUTCOME_WORDS.iter().position(|word| Some(*word) == row.outcome)?,
                weight: row.weight,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests;
