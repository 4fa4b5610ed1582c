//! Fits the weights that tell how sure a ball screen is, on practice games, and prints them as TOML for a pipeline:
//!
//! ```text
//! cargo run --release -p scrim-benches --example fit_screens
//! ```
//!
//! The games: seed 501, twelve games at each of the noises 0.05, 0.15 and 0.30 m. No accuracy figure uses them. The
//! defaults of `ScreenWeights` are this output.
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
use scrim_actions::{ScreenCandidate, ScreenFits, ScreenParams, screen_candidates};
use scrim_play::{PlayParams, find_play};
use scrim_tables::tags::Outcome;

const SEED: u64 = 501;
const GAMES: u32 = 12;
const NOISES_M: [f32; 3] = [0.05, 0.15, 0.30];

/// Each part speaks for a screen unless the games say otherwise: log-odds that a part is drawn toward.
const PRIOR: f64 = 1.5;
/// Who has just passed the ball hardly ever screens.
const FRESH_PRIOR: f64 = 3.0;
/// Where the two parted, going past speaks against.
const PAST_PARTED_PRIOR: f64 = -1.5;
/// Who runs through to the perimeter comes up from the hoop to a handler who waits for him.
const RAN_PRIOR: f64 = 4.0;
/// How strongly weights are drawn toward their priors. Chosen for a practice league that is not quite any real one.
const RIDGE: f64 = 10.0;
/// The bias is free; so much keeps it determined when a group is empty.
const BIAS_RIDGE: f64 = 1e-6;
/// No weight is larger, either way.
const LARGEST: f64 = 50.0;

fn main() -> Result<(), Box<dyn Error>> {
    let mut judged = Vec::new();
    games::each_game(SEED, GAMES, &NOISES_M, &mut |game, labels| {
        let play = find_play(game, &PlayParams::default());
        let candidates = screen_candidates(game, &play, &ScreenParams::default());
        judged.extend(labelled::judged(game, &play, &candidates, labels));
    })?;
    let group = |outcomes: &'static [Outcome]| -> Vec<(ScreenCandidate, bool)> {
        judged
            .iter()
            .filter(|(candidate, _)| outcomes.contains(&candidate.outcome))
            .copied()
            .collect()
    };
    print_group("used", &group(&[Outcome::Used]), None)?;
    print_group("left", &group(&[Outcome::Slipped]), None)?;
    print_group("ran", &group(&[Outcome::Ghosted]), None)?;
    let is_early = |(candidate, _): &(ScreenCandidate, bool)| candidate.early_denial;
    let parted = group(&[Outcome::Unused, Outcome::Rejected]);
    let (iced, parted): (Vec<_>, Vec<_>) = parted.into_iter().partition(is_early);
    print_group("iced", &iced, None)?;
    print_group("parted", &parted, Some(Outcome::Rejected))?;
    Ok(())
}

/// Fits one group of outcomes and prints its table; `more_for` is the outcome with a bias of its own on top.
fn print_group(
    name: &str,
    judged: &[(ScreenCandidate, bool)],
    more_for: Option<Outcome>,
) -> Result<(), Box<dyn Error>> {
    let samples: Vec<Sample> = judged
        .iter()
        .map(|(candidate, is_screen)| {
            let is_more = more_for == Some(candidate.outcome);
            let parts = candidate.fits.parts().map(f64::from);
            let more = f64::from(u8::from(is_more));
            Sample {
                inputs: [&[1.0], &parts[..], &[more]].concat(),
                is_screen: *is_screen,
            }
        })
        .collect();
    let bias = Term {
        prior: 0.0,
        ridge: BIAS_RIDGE,
        least: -LARGEST,
        most: LARGEST,
    };
    let term = |prior: f64, least: f64, most: f64| Term {
        prior,
        ridge: RIDGE,
        least,
        most,
    };
    let part = |part: &str| match (part, name) {
        ("past", "parted" | "ran") => term(PAST_PARTED_PRIOR, -LARGEST, 0.0),
        ("fresh", _) => term(FRESH_PRIOR, 0.0, LARGEST),
        // Who runs past neither stands nor comes as close as one who stands; he comes up from the hoop to run out again.
        ("still" | "close", "ran") => term(0.0, 0.0, LARGEST),
        ("waited" | "came_up", "ran") => term(RAN_PRIOR, 0.0, LARGEST),
        ("iced", "iced") => term(RAN_PRIOR, 0.0, LARGEST),
        ("iced", _) => term(0.0, 0.0, 0.0),
        ("doubled", "used") => term(PRIOR, 0.0, LARGEST),
        ("doubled", _) => term(0.0, 0.0, 0.0),
        // The screener is not there yet: how he would have stood tells nothing.
        ("came" | "still" | "on_defender" | "close" | "past" | "moved_on" | "prompt", "iced") => {
            term(0.0, 0.0, 0.0)
        }
        ("waited", "used") => term(PRIOR, 0.0, LARGEST),
        ("waited", _) => term(0.0, 0.0, LARGEST),
        // A screen may as well be set from above (a trailer's): nothing is drawn from where he came.
        ("came_up", _) => term(0.0, 0.0, 0.0),
        _ => term(PRIOR, 0.0, LARGEST),
    };
    let more = Term { ridge: RIDGE, ..bias };
    let mut terms = vec![bias];
    terms.extend(ScreenFits::NAMES.map(part));
    terms.push(more);
    let weights = logistic::fit(&samples, &terms).ok_or("the games leave a weight open")?;

    let is_right =
        |sample: &&Sample| (logistic::probability(&sample.inputs, &weights) >= 0.5) == sample.is_screen;
    let screens = samples.iter().filter(|sample| sample.is_screen).count();
    println!(
        "# {} would-be screens, {screens} of them screens; {} told right",
        samples.len(),
        samples.iter().filter(is_right).count(),
    );
    println!("[screens.weights.{name}]");
    println!("bias = {:.3}", weights[0]);
    for (part, weight) in ScreenFits::NAMES.iter().zip(&weights[1..]) {
        println!("{part} = {weight:.3}");
    }
    if let Some(outcome) = more_for {
        println!(
            "# belongs to [screens.weights]: {outcome}_more = {:.3}",
            weights[weights.len() - 1]
        );
    }
    println!();
    Ok(())
}
