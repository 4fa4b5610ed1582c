//! Fits the weights that tell how sure an off-ball screen is, on practice games, and prints them as TOML for a pipeline:
//!
//! ```text
//! cargo run --release -p scrim-benches --example fit_off_ball_screens
//! ```
//!
//! The games: seed 601, three games at each of the noises 0.05, 0.15 and 0.30 m. No accuracy figure uses them. The
//! defaults of `OffBallWeights` are this output.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program that prints its result and its progress"
)]


mod games;
mod labelled;

mod logistic;

use std::error::Error;

use logistic::{Sample, Term};
use scrim_actions::{
    OffBallCandidate, OffBallFits, OffBallScreenParams, ScreenParams, find_ball_screens, off_ball_candidates,
};
use scrim_play::{PlayParams, Scene, find_play};

const SEED: u64 = 601;
const GAMES: u32 = 3;
const NOISES_M: [f32; 3] = [0.05, 0.15, 0.30];

/// Each part speaks for a screen unless the games say otherwise: log-odds that a part is drawn toward.
const PRIOR: f64 = 1.5;
/// By definition the two come close and the user goes past: more.
const DEFINING_PRIOR: f64 = 2.5;
/// By definition the screener stands: most.
const STILL_PRIOR: f64 = 3.0;
/// How strongly weights are drawn toward their priors. Chosen for a practice league that is not quite any real one.
const RIDGE: f64 = 10.0;
/// The bias is free; so much keeps it determined.
const BIAS_RIDGE: f64 = 1e-6;
/// No weight is larger, either way.
const LARGEST: f64 = 50.0;

fn main() -> Result<(), Box<dyn Error>> {
    let mut judged = Vec::new();
    games::each_game(SEED, GAMES, &NOISES_M, &mut |game, labels| {
        let play = find_play(game, &PlayParams::default());
        let scenes = Scene::all(game, &play);
        let ball_screens = find_ball_screens(&scenes, &play, &ScreenParams::default());
        let params = OffBallScreenParams::default();
        let candidates = off_ball_candidates(&scenes, &play, &ball_screens, &params);
        judged.extend(labelled::judged(game, &play, &candidates, labels));
    })?;
    print_weights(&judged)
}

fn print_weights(judged: &[(OffBallCandidate, bool)]) -> Result<(), Box<dyn Error>> {
    let samples: Vec<Sample> = judged
        .iter()
        .map(|(candidate, is_screen)| Sample {
            inputs: [&[1.0], &candidate.fits.parts().map(f64::from)[..]].concat(),
            is_screen: *is_screen,
        })
        .collect();
    let bias = Term {
        prior: 0.0,
        ridge: BIAS_RIDGE,
        least: -LARGEST,
        most: LARGEST,
    };
    let mut terms = vec![bias];
    terms.extend(OffBallFits::NAMES.map(|part| Term {
        prior: match part {
            "still" => STILL_PRIOR,
            "went" | "close" => DEFINING_PRIOR,
            _ => PRIOR,
        },
        ridge: RIDGE,
        least: 0.0,
        most: LARGEST,
    }));
    let weights = logistic::fit(&samples, &terms).ok_or("the games leave a weight open")?;
    let is_right =
        |sample: &&Sample| (logistic::probability(&sample.inputs, &weights) >= 0.5) == sample.is_screen;
    let screens = samples.iter().filter(|sample| sample.is_screen).count();
    println!(
        "# {} would-be screens, {screens} of them screens; {} told right",
        samples.len(),
        samples.iter().filter(is_right).count(),
    );
    println!("[off_ball_screens.weights]");
    println!("bias = {:.2}", weights[0]);
    for (part, weight) in OffBallFits::NAMES.iter().zip(&weights[1..]) {
        println!("{part} = {weight:.2}");
    }
    Ok(())
}
