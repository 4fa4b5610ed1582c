use crate::{FitParams, ModelError, Sample, TreeModel, fit, fit_from};

fn sample(evidence: &[f32], word: usize) -> Sample {
    Sample {
        evidence: evidence.to_vec(),
        word,
        weight: 1.0,
    }
}

/// A grid of 20 by 20 points; the right word is 1 where exactly one of two limits is passed (uneven ones: at even ones no first
/// split gains anything).
fn either_but_not_both() -> Vec<Sample> {
    (0..400)
        .map(|at| {
            let (x, y) = ((at % 20) as f32 / 20.0, (at / 20) as f32 / 20.0);
            sample(&[x, y], usize::from((x >= 0.5) != (y >= 0.3)))
        })
        .collect()
}

fn fitted(samples: &[Sample]) -> TreeModel {
    let params = FitParams {
        share_of_evidence: 1.0,
        ..FitParams::default()
    };
    fit(samples, &["no", "yes"], &["x", "y"], &params)
}

fn yes(model: &TreeModel, evidence: &[f32]) -> f32 {
    let bound = model.bind(&["no", "yes"], &["x", "y"]).unwrap();
    let mut out = [0.0; 2];
    bound.probabilities(evidence, &mut out);
    assert!((out[0] + out[1] - 1.0).abs() < 1e-6);
    out[1]
}

#[test]
fn two_pieces_of_evidence_that_only_speak_together_are_learned() {
    let samples = either_but_not_both();
    let model = fitted(&samples);
    let right = samples
        .iter()
        .filter(|s| (yes(&model, &s.evidence) > 0.5) == (s.word == 1))
        .count();
    assert!(right >= 396, "{right} of 400");
}

#[test]
fn words_get_their_own_shares_where_no_evidence_parts_them() {
    // 30, 15 and 5 rows of three words, evidence the same everywhere: 0.6, 0.3, 0.1.
    let mut samples = vec![sample(&[1.0], 0); 30];
    samples.extend(vec![sample(&[1.0], 1); 15]);
    samples.extend(vec![sample(&[1.0], 2); 5]);
    let model = fit(&samples, &["a", "b", "c"], &["x"], &FitParams::default());
    let mut out = [0.0; 3];
    model
        .bind(&["a", "b", "c"], &["x"])
        .unwrap()
        .probabilities(&[7.0], &mut out);
    for (found, share) in out.iter().zip([0.6, 0.3, 0.1]) {
        // Half a row more each at the start; the rounds after it draw the rest.
        assert!((found - share).abs() < 0.01, "{out:?}");
    }
}

#[test]
fn a_value_that_was_not_seen_goes_the_way_of_those_that_were_not_seen_before() {
    let mut samples: Vec<Sample> = (0..100)
        .map(|at| sample(&[at as f32], usize::from(at >= 50)))
        .collect();
    samples.extend(vec![sample(&[f32::NAN], 1); 50]);
    let model = fit(&samples, &["no", "yes"], &["x"], &FitParams::default());
    let bound = model.bind(&["no", "yes"], &["x"]).unwrap();
    let mut out = [0.0; 2];
    bound.probabilities(&[f32::NAN], &mut out);
    assert!(out[1] > 0.9, "{out:?}");
    bound.probabilities(&[10.0], &mut out);
    assert!(out[1] < 0.1, "{out:?}");
}

#[test]
fn the_same_rows_give_the_same_model_and_a_file_keeps_it_to_the_bit() {
    let samples = either_but_not_both();
    let model = fitted(&samples);
    assert_eq!(model, fitted(&samples));
    let mut read = TreeModel::from_toml(&model.to_toml()).unwrap();
    // Provenance is rounded in the file.
    read.fitted = model.fitted.clone();
    assert_eq!(read, model);
}

#[test]
fn evidence_is_found_by_name_in_whatever_order_the_stage_measures_it() {
    let model = fitted(&either_but_not_both());
    let turned = model.bind(&["no", "yes"], &["y", "more", "x"]).unwrap();
    let mut out = [0.0; 2];
    turned.probabilities(&[0.1, 99.0, 0.9], &mut out);
    assert_eq!(out[1], yes(&model, &[0.9, 0.1]));
}

#[test]
fn a_model_that_does_not_fit_the_stage_or_is_damaged_is_refused_with_the_reason() {
    let model = fitted(&either_but_not_both());
    assert_eq!(
        model.bind(&["no", "yes"], &["x"]),
        Err(ModelError::UnknownEvidence { name: "y".into() })
    );
    assert!(matches!(
        model.bind(&["yes", "no"], &["x", "y"]),
        Err(ModelError::Words { .. })
    ));
    let mut circle = model.clone();
    circle.trees[3].splits[1].2 = 0;
    assert_eq!(
        circle.bind(&["no", "yes"], &["x", "y"]),
        Err(ModelError::Damaged { tree: 3 })
    );
    let mut outside = model.clone();
    outside.trees[0].splits[0].3 = -100;
    assert_eq!(
        outside.bind(&["no", "yes"], &["x", "y"]),
        Err(ModelError::Damaged { tree: 0 })
    );
    let mut endless = model;
    endless.trees[0].leaves[0] = f32::NAN;
    assert_eq!(
        endless.bind(&["no", "yes"], &["x", "y"]),
        Err(ModelError::NotFinite { tree: 0 })
    );
    assert!(matches!(
        TreeModel::from_toml("words = 3"),
        Err(ModelError::Format(_))
    ));
}

#[test]
fn a_fit_from_scores_that_are_right_already_adds_next_to_nothing() {
    // Three words, kept apart by the start alone; the one piece of evidence says nothing.
    let samples: Vec<Sample> = (0..90)
        .map(|row| Sample {
            evidence: vec![(row % 7) as f32],
            word: row % 3,
            weight: 1.0,
        })
        .collect();
    let starts: Vec<Vec<f32>> = (0..90)
        .map(|row| {
            (0..3)
                .map(|word| if word == row % 3 { 12.0 } else { 0.0 })
                .collect()
        })
        .collect();
    let words = ["a", "b", "c"];
    let model = fit_from(&samples, &starts, &words, &["x"], &FitParams::default());
    let bound = model.bind(&words, &["x"]).unwrap();
    let mut out = [0.0; 3];
    bound.probabilities(&[3.0], &mut out);
    // No word's own score moves from 0: each is as likely as the others, before the start is added.
    assert!(out.iter().all(|p| (p - 1.0 / 3.0).abs() < 0.02), "{out:?}");
    // A start that favours one of three equally frequent words is taken back.
    let wrong: Vec<Vec<f32>> = vec![vec![2.0, 0.0, 0.0]; 90];
    let turned = fit_from(&samples, &wrong, &words, &["x"], &FitParams::default());
    let bound = turned.bind(&words, &["x"]).unwrap();
    bound.probabilities(&[3.0], &mut out);
    assert!(out[0] < out[1] && out[0] < out[2], "{out:?}");
}
