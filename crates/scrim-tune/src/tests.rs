//! Whole fits on made-up samples whose answer is known.

use scrim_actions::{COVERAGE_EVIDENCE, CoverageInputs, CoverageModel, ReadParams};
use scrim_tables::tags::Coverage;

use crate::{Grouping, Sample, TuneError, TuneParams, Verdict, tune};

/// Where `stays` stands among the evidence.
const STAYS: usize = 4;

/// No correction of the coverage model.
fn plain() -> ReadParams {
    ReadParams::default()
}

/// A screen on which the model is even between blitz and hedge (0.45 each, the rest 0.025 each), and `stays` is as given.
fn torn(game: usize, possession_id: u32, stays: f32, label: Coverage) -> Sample {
    let mut evidence = [0.0; COVERAGE_EVIDENCE];
    evidence[STAYS] = stays;
    Sample {
        game_id: format!("G{game}").as_str().into(),
        possession_id,
        screen_id: possession_id,
        inputs: Some(CoverageInputs {
            ln_trees: [0.025f32, 0.025, 0.025, 0.45, 0.45, 0.025].map(f32::ln),
            evidence,
        }),
        label,
    }
}

/// Ten screens a game, by turns a blitz whose second defender stays and a hedge whose second defender leaves.
fn blitzes_stay_and_hedges_leave(games: usize) -> Vec<Sample> {
    let screen = |game, place: u32| {
        if place.is_multiple_of(2) {
            torn(game, place, 1.0, Coverage::Blitz)
        } else {
            torn(game, place, -1.0, Coverage::Hedge)
        }
    };
    (0..games)
        .flat_map(|game| (0..10).map(move |place| screen(game, place)))
        .collect()
}

#[test]
fn what_the_evidence_says_and_the_model_does_not_is_learned_and_shows_on_games_held_out() {
    assert_eq!(CoverageInputs::NAMES[STAYS], "stays");
    let tuned = tune(blitzes_stay_and_hedges_leave(8), &plain(), &TuneParams::default()).unwrap();
    assert_eq!(tuned.verdict, Verdict::Gain);
    assert_eq!(
        (tuned.grouping, tuned.folds, tuned.games),
        (Grouping::Games, 5, 8)
    );
    // The model takes the first of two equals, blitz: half are right, F1 of blitz 2/3 and of hedge 0.
    assert!((tuned.before.accuracy - 0.5).abs() < 1e-12, "{tuned}");
    assert!((tuned.before.macro_f1 - 1.0 / 3.0).abs() < 1e-12, "{tuned}");
    assert!((tuned.after.macro_f1 - 1.0).abs() < 1e-12, "{tuned}");
    assert!(
        tuned.model.blitz.stays > 0.1 && tuned.model.hedge.stays < -0.1,
        "{:?}",
        tuned.model
    );
}

#[test]
fn labels_that_no_evidence_separates_give_no_gain() {
    // The label changes with every second possession and the evidence with every one: knowing one says nothing of the other.
    let samples: Vec<_> = (0..8)
        .flat_map(|game| {
            (0..12u32).map(move |place| {
                let label = if (place / 2).is_multiple_of(2) {
                    Coverage::Blitz
                } else {
                    Coverage::Hedge
                };
                torn(
                    game,
                    place,
                    if place.is_multiple_of(2) { 1.0 } else { -1.0 },
                    label,
                )
            })
        })
        .collect();
    let tuned = tune(samples, &plain(), &TuneParams::default()).unwrap();
    assert!(tuned.model.blitz.stays.abs() < 1e-3, "{:?}", tuned.model.blitz);
    // The rare words do get rarer, which is a gain in log loss of its own; no word is decided better.
    assert!(tuned.macro_f1_gain.value <= 1e-12, "{tuned}");
}

#[test]
fn a_decision_that_is_right_already_gives_no_gain() {
    let before = tune(blitzes_stay_and_hedges_leave(8), &plain(), &TuneParams::default()).unwrap();
    let mut params = plain();
    params.coverage_model = before.model;
    // Contradicted in one of ten, as often as its confidence says or more.
    let mut samples = blitzes_stay_and_hedges_leave(8);
    for (place, sample) in samples.iter_mut().enumerate() {
        if place % 10 == 3 {
            sample.label = Coverage::Blitz;
        }
        if place % 10 == 4 {
            sample.label = Coverage::Hedge;
        }
    }
    let tuned = tune(samples, &params, &TuneParams::default()).unwrap();
    assert!(tuned.macro_f1_gain.value.abs() < 1e-12, "{tuned}");
}

#[test]
fn a_word_that_was_hardly_labelled_keeps_its_weights() {
    let mut samples = blitzes_stay_and_hedges_leave(7);
    samples.push(torn(0, 90, 0.0, Coverage::Ice));
    let tuned = tune(samples, &plain(), &TuneParams::default()).unwrap();
    assert_eq!(tuned.model.ice, CoverageModel::PLAIN.ice);
    assert_eq!(tuned.model.drop, CoverageModel::PLAIN.drop);
    let of = |word| tuned.words.iter().find(|count| count.word == word).unwrap();
    assert_eq!(
        (of(Coverage::Ice).labels, of(Coverage::Ice).is_fitted),
        (1, false)
    );
    assert_eq!(
        (of(Coverage::Blitz).labels, of(Coverage::Blitz).is_fitted),
        (35, true)
    );
    let text = tuned.to_string();
    assert!(
        text.contains("too few") && text.contains("never labelled"),
        "{text}"
    );
}

#[test]
fn the_order_of_the_samples_does_not_matter() {
    let forward = blitzes_stay_and_hedges_leave(7);
    let backward: Vec<_> = forward.iter().rev().cloned().collect();
    let fit = |samples| tune(samples, &plain(), &TuneParams::default()).unwrap();
    assert_eq!(fit(forward), fit(backward));
}

#[test]
fn one_game_is_split_by_possessions_and_that_is_reported() {
    let samples: Vec<_> = blitzes_stay_and_hedges_leave(8)
        .into_iter()
        .enumerate()
        .map(|(place, sample)| Sample {
            game_id: "G".into(),
            possession_id: place as u32,
            ..sample
        })
        .collect();
    let tuned = tune(samples, &plain(), &TuneParams::default()).unwrap();
    assert_eq!(tuned.grouping, Grouping::PossessionBlocks);
    let text = tuned.to_string();
    assert!(text.contains("One game only"), "{text}");
}

#[test]
fn what_cannot_be_fitted_is_refused_with_the_numbers() {
    let how = TuneParams::default();
    let few = tune(blitzes_stay_and_hedges_leave(5), &plain(), &how).unwrap_err();
    assert_eq!(
        few,
        TuneError::TooFewLabels {
            found: 50,
            needed: 60
        }
    );
    assert!(few.to_string().contains("Coverages: 50 labels"), "{few}");
    let alike: Vec<_> = (0..60)
        .map(|k| torn(k % 4, k as u32, 0.0, Coverage::Drop))
        .collect();
    let one = tune(alike, &plain(), &how).unwrap_err();
    assert!(
        matches!(&one, TuneError::OneWord { word, .. } if word == "drop"),
        "{one}"
    );
    let mut together = blitzes_stay_and_hedges_leave(6);
    together
        .iter_mut()
        .for_each(|sample| (sample.game_id, sample.possession_id) = ("G".into(), 0));
    assert_eq!(tune(together, &plain(), &how), Err(TuneError::OnePossession));
    let thin: Vec<_> = blitzes_stay_and_hedges_leave(8)
        .into_iter()
        .map(|s| Sample { inputs: None, ..s })
        .collect();
    assert_eq!(
        tune(thin, &plain(), &how),
        Err(TuneError::TooFewLabels { found: 0, needed: 60 })
    );
}
