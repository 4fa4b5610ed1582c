//! The committed models are what the fit gives.

use std::path::{Path, PathBuf};

use super::*;

/// How likely a model finds a word may differ by this much from the committed one: rounding.
const ROUNDING: f32 = 1e-3;

/// What to fit again from; `None` where the real scenes are not.
fn args() -> Option<Args> {
    let input = root().join("../shared/real/scenes");
    if !input.is_dir() {
        println!(
            "skipped: the real scenes are not here (tests/reference/real/README.md says where they are from)"
        );
        return None;
    }
    Some(Args {
        input: Some(input),
        labels: Some(root().join("tests/reference/real")),
        ..Args::default()
    })
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn committed(file: &str) -> TreeModel {
    let text = std::fs::read_to_string(root().join(format!("models/{file}.toml"))).unwrap();
    TreeModel::from_toml(&text).unwrap()
}

#[test]
fn the_committed_model_of_coverages_is_what_its_data_give() {
    let Some(args) = args() else { return };
    let (rows, _) = read_all_coverages(&args).unwrap();
    let apart = coverages::most_apart(&rows, &coverages::fit_all(&rows), &committed(coverages::FILE));
    assert!(apart < ROUNDING, "coverages: {apart} apart; fit the model again");
}

#[test]
fn the_committed_models_of_screens_are_what_their_data_give() {
    let Some(args) = args() else { return };
    let (rows, _) = read_all(&args).unwrap();
    for (file, _, model) in fit_all(&rows) {
        let committed = committed(file);
        let words: Vec<&str> = model.words.iter().map(String::as_str).collect();
        // What the rows hold; a model may take less.
        let (names, of) = match file {
            "off_ball_screens" => (off_ball_evidence_names().to_vec(), &rows.off_ball),
            "flips" => (flip_evidence_names().to_vec(), &rows.flips),
            _ => (PairEvidence::NAMES.to_vec(), &rows.on_ball),
        };
        let [fitted, committed] = [&model, &committed].map(|model| model.bind(&words, &names).unwrap());
        let (mut one, mut other) = (vec![0.0; words.len()], vec![0.0; words.len()]);
        for row in of {
            fitted.probabilities(&row.evidence, &mut one);
            committed.probabilities(&row.evidence, &mut other);
            for (one, other) in one.iter().zip(&other) {
                assert!(
                    (one - other).abs() < ROUNDING,
                    "{file}: {one} and {other}; fit the models again"
                );
            }
        }
    }
}
