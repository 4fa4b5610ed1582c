//! Fits the models that decide (`models/*.toml`) from practice games and, where they are named, real labelled scenes:
//!
//! ```text
//! cargo run --release -p scrim-benches --example fit_models -- --output models --date 2026-11-28 \
//!     --input SCENES --labels LABELS --name "what these are"
//! ```
//!
//! The practice games: [`SEED`], some at each of the noises. No accuracy figure uses them. The labelled scenes are taken as they
//! are and, as noisier feeds would have them, with noise added. It prints cross-validated figures (five folds by scene: a scene
//! is never in the fit that it is judged by) and writes the models, with what they were fitted to.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program that prints its result and its progress"
)]

mod candidates;
mod crossed;
mod labels;
mod noise;

use std::error::Error;
use std::path::PathBuf;

use candidates::{Row, Rows, read_rows};
use crossed::cross_validate;
use labels::Labels;
use scrim_actions::{OUTCOME_WORDS, PairEvidence, SCREEN_WORDS, off_ball_evidence_names};
use scrim_practice::{PracticeParams, play_game, write_game};
use scrim_trees::{FitParams, Sample, TreeModel, fit};

/// The practice games' seed.
const SEED: u64 = 501;
/// How many at each noise.
const GAMES: u32 = 6;
/// The practice games' noise, m.
const NOISES_M: [f32; 3] = [0.05, 0.15, 0.30];
/// The noise added to labelled scenes: none, and as noisier feeds would have it, m.
const ADDED_M: [f32; 4] = [0.0, 0.05, 0.15, 0.30];
/// How much a practice row counts beside a row of a labelled scene. Chosen by cross-validation.
const PRACTICE_WEIGHT: f64 = 0.5;

/// The fit: chosen by cross-validation on labelled scenes.
fn how(rounds: usize) -> FitParams {
    FitParams {
        rounds,
        ..FitParams::default()
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let args = Args::read()?;
    let mut rows = Rows::default();
    let mut data = Vec::new();
    if let (Some(input), Some(labels)) = (&args.input, &args.labels) {
        let labels = Labels::of_folder(labels)?;
        for (place, added_m) in ADDED_M.into_iter().enumerate() {
            read_rows(input, &labels, place, added_m, 1.0, &mut rows)?;
            eprintln!("labelled scenes with {added_m} m of noise added: {} rows so far", rows.on_ball.len());
        }
        data.push(format!(
            "{}: {} games with {} labelled ball screens and handoffs, as they are and with {:?} m of noise added",
            args.name,
            labels.games(),
            labels.ball_screens(),
            &ADDED_M[1..]
        ));
    }
    for noise_m in NOISES_M {
        for number in 0..args.games {
            let params = PracticeParams {
                seed: SEED,
                games: args.games,
                noise_m,
                ..PracticeParams::default()
            };
            let played = play_game(&params, number);
            let folder = tempfile::tempdir()?;
            write_game(&played, folder.path())?;
            let labels = Labels::of_practice(&played.labels.screens);
            read_rows(folder.path(), &labels, usize::MAX, 0.0, PRACTICE_WEIGHT, &mut rows)?;
        }
        eprintln!("practice games at {noise_m} m: {} rows so far", rows.on_ball.len());
    }
    for folder in &args.more {
        let labels = Labels::of_folder(folder)?;
        read_rows(folder, &labels, usize::MAX, 0.0, PRACTICE_WEIGHT, &mut rows)?;
        eprintln!("{}: {} rows so far", folder.display(), rows.on_ball.len());
    }
    data.push(format!(
        "practice games: seed {SEED}, {} at each of {NOISES_M:?} m of noise, weight {PRACTICE_WEIGHT}",
        args.games
    ));

    let names = off_ball_evidence_names();
    let labels = args.labels.as_deref().map(Labels::of_folder).transpose()?.unwrap_or_default();
    let scores = cross_validate(&rows, &labels, &how(200), &how(120));
    for (name, value) in &scores {
        println!("{name}: {value:.3}");
    }
    let ball_screens = fit(&screen_samples(&rows.on_ball), &SCREEN_WORDS, &PairEvidence::NAMES, &how(200));
    let outcomes = fit(
        &outcome_samples(&rows.on_ball),
        &OUTCOME_WORDS.map(|word| word.as_str()),
        &PairEvidence::NAMES,
        &how(120),
    );
    let off_ball = fit(&screen_samples(&rows.off_ball), &SCREEN_WORDS, &names, &how(200));
    args.write("off_ball_screens", "is a candidate off the ball a screen?", off_ball, &data, &scores)?;
    args.write("ball_screens", "is a candidate on the ball a ball screen or handoff?", ball_screens, &data, &scores)?;
    args.write("outcomes", "what became of a ball screen?", outcomes, &data, &scores)?;
    Ok(())
}

/// What the model of ball screens learns from: every row that can be judged.
fn screen_samples<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Vec<Sample> {
    rows.into_iter()
        .filter(|row| !row.in_doubt)
        .map(|row| Sample {
            evidence: row.evidence.clone(),
            word: usize::from(row.label.is_some()),
            weight: row.weight,
        })
        .collect()
}

/// What the model of outcomes learns from: the rows that stand for a labelled screen with an outcome of its own.
fn outcome_samples<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Vec<Sample> {
    rows.into_iter()
        .filter(|row| !row.is_handoff)
        .filter_map(|row| {
            Some(Sample {
                evidence: row.evidence.clone(),
                word: OUTCOME_WORDS.iter().position(|word| Some(*word) == row.outcome)?,
                weight: row.weight,
            })
        })
        .collect()
}

struct Args {
    output: PathBuf,
    date: String,
    name: String,
    games: u32,
    input: Option<PathBuf>,
    labels: Option<PathBuf>,
    more: Vec<PathBuf>,
}

impl Args {
    fn read() -> Result<Self, Box<dyn Error>> {
        let mut args = Self {
            output: PathBuf::from("models"),
            date: String::new(),
            name: String::from("labelled scenes"),
            games: GAMES,
            input: None,
            labels: None,
            more: Vec::new(),
        };
        let mut words = std::env::args().skip(1);
        while let Some(flag) = words.next() {
            let value = words.next().ok_or_else(|| format!("{flag} needs a value"))?;
            match flag.as_str() {
                "--output" => args.output = value.into(),
                "--date" => args.date = value,
                "--name" => args.name = value,
                "--games" => args.games = value.parse()?,
                "--input" => args.input = Some(value.into()),
                "--more" => args.more.push(value.into()),
                "--labels" => args.labels = Some(value.into()),
                _ => return Err(format!("unknown flag {flag}").into()),
            }
        }
        Ok(args)
    }

    fn write(
        &self,
        file: &str,
        question: &str,
        mut model: TreeModel,
        data: &[String],
        scores: &[(String, f64)],
    ) -> Result<(), Box<dyn Error>> {
        model.fitted.question = question.to_owned();
        model.fitted.date = self.date.clone();
        model.fitted.data = data.to_vec();
        model.fitted.scores = scores.to_vec();
        std::fs::create_dir_all(&self.output)?;
        let path = self.output.join(format!("{file}.toml"));
        std::fs::write(&path, model.to_toml())?;
        println!("written: {}", path.display());
        Ok(())
    }
}
