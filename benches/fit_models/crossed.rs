//! Figures on scenes that a fit has not seen.

use std::collections::BTreeSet;

use scrim_actions::{
    FLIP_WORDS, LIKELY_FLIP, OUTCOME_WORDS, OffBallScreenParams, PairEvidence, SAME_SCREEN_S, SCREEN_WORDS,
    ScreenParams, flip_evidence_names, off_ball_evidence_names, outcome_and_use_s,
};
use scrim_trees::{BoundModel, FitParams, fit};
use scrim_tune::{Labels, Row, Rows, detected};

use crate::folds::{FOLDS, Folds};
use crate::{
    ADDED_M, off_ball_evidence, off_ball_samples, on_ball_samples, outcome_evidence, outcome_samples,
    screen_samples,
};

/// Precision, recall and F1 of ball screens for each copy of the labelled scenes, and how often the outcome is right. Practice
/// rows are in every fit and never judged. Empty without labelled scenes.
pub fn cross_validate(
    all: &Rows,
    labels: &Labels,
    [screens, outcomes, flips, off_ball]: [FitParams; 4],
) -> Vec<(String, f64)> {
    let rows = &all.on_ball;
    let folds = Folds::of(
        rows.iter()
            .filter(|row| !row.is_practice())
            .map(|row| &row.game_id),
    );
    if folds.is_empty() {
        return Vec::new();
    }
    let mut sure = vec![0.0; rows.len()];
    let mut outcome = vec![None; rows.len()];
    // As a detector with the held-out models would write them.
    let mut written = rows.clone();
    let mut sure_off = vec![0.0; all.off_ball.len()];
    let mut sure_flip = vec![0.0; all.flips.len()];
    let off_names = off_ball_evidence_names();
    let flip_names = flip_evidence_names();
    for fold in 0..FOLDS {
        hold_out(
            rows,
            &folds,
            fold,
            |seen| {
                let samples = on_ball_samples(seen);
                let names = &PairEvidence::NAMES;
                bound(fit(&samples, &SCREEN_WORDS, names, &screens).bind(&SCREEN_WORDS, names))
            },
            &mut sure,
        );
        let seen: Vec<&Row> = rows
            .iter()
            .filter(|row| row.is_practice() || folds.of_game(&row.game_id) != fold)
            .collect();
        let words = OUTCOME_WORDS.map(|word| word.as_str());
        let names = &PairEvidence::NAMES;
        let outcome_model = bound(
            fit(
                &outcome_samples(seen.iter().copied()),
                &words,
                &outcome_evidence(),
                &outcomes,
            )
            .bind(&words, names),
        );
        for (at, row) in rows.iter().enumerate() {
            if !row.is_practice() && folds.of_game(&row.game_id) == fold {
                let mut five = [0.0; OUTCOME_WORDS.len()];
                outcome_model.probabilities(&row.evidence, &mut five);
                outcome[at] = (0..five.len()).max_by(|&a, &b| five[a].total_cmp(&five[b]));
                if !row.is_by_hand {
                    let (_, after_s) = outcome_and_use_s(&five, (row.t_part_s - row.t_s) as f32);
                    written[at].t_use_s = row.t_s + f64::from(after_s);
                }
            }
        }
        hold_out(
            &all.flips,
            &folds,
            fold,
            |seen| {
                let samples = screen_samples(seen);
                bound(fit(&samples, &FLIP_WORDS, &flip_names, &flips).bind(&FLIP_WORDS, &flip_names))
            },
            &mut sure_flip,
        );
        hold_out(
            &all.off_ball,
            &folds,
            fold,
            |seen| {
                let samples = off_ball_samples(seen);
                let fitted = fit(&samples, &SCREEN_WORDS, &off_ball_evidence(), &off_ball);
                bound(fitted.bind(&SCREEN_WORDS, &off_names))
            },
            &mut sure_off,
        );
        eprintln!("fold {} of {FOLDS}", fold + 1);
    }
    let mut scores = Vec::new();
    for (copy, added_m) in ADDED_M.iter().enumerate() {
        let detected_from = |least: f32| {
            let sure_enough = (0..rows.len()).filter(|&at| rows[at].copy == copy && sure[at] >= least);
            detected(&written, &sure, sure_enough)
        };
        let (hits, false_alarms) = detected_from(ScreenParams::default().min_confidence);
        // A flip's first side is found from its second; where a candidate stands for it, too, it is one row.
        let mut found: BTreeSet<usize> = hits.iter().filter_map(|&at| written[at].label).collect();
        let flips = found_flips(all, copy, &sure_flip, LIKELY_FLIP);
        let labelled = labels.ball_screens() as f64;
        let f1 = |hits: f64, false_alarms: f64| 2.0 * hits / (hits + false_alarms + labelled);
        for (what, value) in [("found", flips.hits.len()), ("false", flips.false_alarms)] {
            scores.push((format!("flips, {added_m} m added, {what}"), value as f64));
        }
        found.extend(&flips.hits);
        let (hits, false_alarms) = (
            found.len() as f64,
            (false_alarms.len() + flips.false_alarms) as f64,
        );
        // For whoever chooses the least confidence of a row.
        for least in OTHER_CONFIDENCES {
            let (hits, false_alarms) = detected_from(least);
            let f1 = f1(hits.len() as f64, false_alarms.len() as f64);
            eprintln!("{added_m} m added, without flips, from confidence {least} on: F1 {f1:.3}");
        }
        let (precision, recall) = (hits / (hits + false_alarms), hits / labelled);
        let f1 = f1(hits, false_alarms);
        for (what, value) in [("precision", precision), ("recall", recall), ("F1", f1)] {
            scores.push((format!("ball screens, {added_m} m added, {what}"), value));
        }
    }
    let judged = rows
        .iter()
        .zip(&outcome)
        .filter(|(row, _)| row.copy == 0 && !row.is_handoff);
    let (mut right, mut judged_rows) = (0.0, 0.0);
    for (row, outcome) in judged {
        if let Some(place) = OUTCOME_WORDS.iter().position(|word| Some(*word) == row.outcome) {
            judged_rows += 1.0;
            right += f64::from(u8::from(*outcome == Some(place)));
        }
    }
    scores.push((
        "outcome right, of ball screens with a candidate".into(),
        right / judged_rows,
    ));
    {
        let least = OffBallScreenParams::default().min_confidence;
        let found = |row: &&(&Row, &f32)| row.0.copy == 0 && *row.1 >= least;
        let kept: Vec<_> = all.off_ball.iter().zip(&sure_off).collect();
        let hits = kept
            .iter()
            .filter(found)
            .filter(|row| row.0.label.is_some())
            .count() as f64;
        let rows = kept.iter().filter(found).count() as f64;
        scores.push((
            "off the ball, plain screens found".to_owned(),
            hits / labels.plain_off_ball_screens() as f64,
        ));
        scores.push((
            "off the ball, candidates sure enough a scene".to_owned(),
            rows / folds.len() as f64,
        ));
    }
    scores
}

/// Least confidences to compare.
const OTHER_CONFIDENCES: [f32; 6] = [0.25, 0.3, 0.35, 0.4, 0.45, 0.5];

/// The labels of flips that are found, and how many are found where none is labelled or in doubt.
struct FoundFlips {
    hits: BTreeSet<usize>,
    false_alarms: usize,
}

fn found_flips(all: &Rows, copy: usize, sure: &[f32], least: f32) -> FoundFlips {
    let mut found = FoundFlips {
        hits: BTreeSet::new(),
        false_alarms: 0,
    };
    let mut counted: Vec<&Row> = Vec::new();
    for (row, &sure) in all.flips.iter().zip(sure) {
        if row.copy != copy || sure < least {
            continue;
        }
        // Two finds of one second side lead back to the same first one.
        let is_counted = |other: &&Row| {
            (&row.game_id, row.period, &row.user, &row.screener)
                == (&other.game_id, other.period, &other.user, &other.screener)
                && (row.t_s - other.t_s).abs() < SAME_SCREEN_S
        };
        match row.label {
            Some(label) => {
                found.hits.insert(label);
            }
            None if !row.in_doubt && !counted.iter().any(is_counted) => {
                found.false_alarms += 1;
                counted.push(row);
            }
            None => {}
        }
    }
    found
}

/// How sure a model that has not seen this fold is of the second word, for each row of the fold.
fn hold_out(
    rows: &[Row],
    folds: &Folds<'_>,
    fold: usize,
    fitted: impl Fn(Vec<&Row>) -> BoundModel,
    sure: &mut [f32],
) {
    let is_held_out = |row: &Row| !row.is_practice() && folds.of_game(&row.game_id) == fold;
    let model = fitted(rows.iter().filter(|row| !is_held_out(row)).collect());
    for (sure, row) in sure.iter_mut().zip(rows) {
        if is_held_out(row) {
            let mut two = [0.0; 2];
            model.probabilities(&row.evidence, &mut two);
            *sure = two[1];
        }
    }
}

fn bound(model: Result<BoundModel, scrim_trees::ModelError>) -> BoundModel {
    model.unwrap_or_else(|error| panic!("a model that was just fitted fits: {error}"))
}
