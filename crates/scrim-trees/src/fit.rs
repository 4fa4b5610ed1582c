//! The fit: round by round, each tree on what the trees before it left.

use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

use crate::bins::Column;
use crate::exits::Exits;
use crate::grow::{Pull, grow};
use crate::model::{Provenance, TreeModel, outputs, softmax};
use crate::params::FitParams;

/// One row to fit to.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// The evidence, in the order of the names; NaN where it was not seen.
    pub evidence: Vec<f32>,
    /// Place of the right word.
    pub word: usize,
    /// How much the row counts: 1 for an ordinary one.
    pub weight: f64,
}

/// Fits a model to rows: log loss, Newton steps. `words` and `evidence` name what the rows hold. The same rows in the same
/// order and the same parameters give the same model.
///
/// # Panics
/// If a row has another number of values than there are names, or a word that is not there.
pub fn fit(samples: &[Sample], words: &[&str], evidence: &[&str], params: &FitParams) -> TreeModel {
    let base = base_scores(samples, words.len());
    let scores = base.iter().map(|&base| vec![base; samples.len()]).collect();
    fit_on(samples, words, evidence, params, base, scores)
}

/// Fits a model that corrects scores which are there already: `starts` holds, a row, each word's score (log-odds when there are two
/// words: one number) before any tree. Who uses the model adds them to the model's own.
///
/// # Panics
/// As [`fit`]; and if a row has not one start a score.
pub fn fit_from(
    samples: &[Sample],
    starts: &[Vec<f32>],
    words: &[&str],
    evidence: &[&str],
    params: &FitParams,
) -> TreeModel {
    assert_eq!(samples.len(), starts.len(), "a start a row");
    let base = vec![0.0; outputs(words.len())];
    let scores = (0..base.len())
        .map(|word| starts.iter().map(|start| start[word]).collect())
        .collect();
    fit_on(samples, words, evidence, params, base, scores)
}

/// Grows the trees; `scores`: what each row has before any, a list a score.
fn fit_on(
    samples: &[Sample],
    words: &[&str],
    evidence: &[&str],
    params: &FitParams,
    base: Vec<f32>,
    mut scores: Vec<Vec<f32>>,
) -> TreeModel {
    for sample in samples {
        assert_eq!(
            sample.evidence.len(),
            evidence.len(),
            "one value a piece of evidence"
        );
        assert!(sample.word < words.len(), "a word of the list");
    }
    let columns: Vec<Column> = (0..evidence.len())
        .map(|at| Column::of(samples.iter().map(move |sample| sample.evidence[at])))
        .collect();
    let outputs = outputs(words.len());
    let mut rng = ChaCha8Rng::seed_from_u64(params.seed);
    let mut trees = Vec::with_capacity(params.rounds * outputs);
    let mut gains = vec![0.0; evidence.len()];
    let used = ((evidence.len() as f64 * params.share_of_evidence).ceil() as usize).clamp(1, evidence.len());
    for _ in 0..params.rounds {
        let pulls = pulls(samples, &scores);
        for (word, pulls) in pulls.iter().enumerate() {
            let mut order: Vec<usize> = (0..evidence.len()).collect();
            order.shuffle(&mut rng);
            order.truncate(used);
            order.sort_unstable();
            let rows = (0..samples.len() as u32).collect();
            let tree = grow(&columns, pulls, rows, &order, word, params, &mut gains);
            let exits = Exits::of(std::slice::from_ref(&tree), |place| place).expect("it has few leaves");
            for (score, sample) in scores[word].iter_mut().zip(samples) {
                exits.each(&sample.evidence, |_, value| *score += value);
            }
            trees.push(tree);
        }
    }
    let total: f64 = gains.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let mut importance: Vec<(String, f64)> = evidence
        .iter()
        .zip(&gains)
        .map(|(name, gain)| ((*name).to_owned(), gain / total))
        .collect();
    importance.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let mut rows = vec![0; words.len()];
    for sample in samples {
        rows[sample.word] += 1;
    }
    TreeModel {
        fitted: Provenance {
            rows,
            importance,
            ..Provenance::default()
        },
        words: words.iter().map(|word| (*word).to_owned()).collect(),
        evidence: evidence.iter().map(|name| (*name).to_owned()).collect(),
        base,
        trees,
    }
}

/// Scores that give each word its own share of the rows; a word without rows has half a row.
fn base_scores(samples: &[Sample], words: usize) -> Vec<f32> {
    let mut weight = vec![0.5; words];
    for sample in samples {
        weight[sample.word] += sample.weight;
    }
    if words == 2 {
        return vec![(weight[1] / weight[0]).ln() as f32];
    }
    let sum: f64 = weight.iter().sum();
    weight.iter().map(|weight| (weight / sum).ln() as f32).collect()
}

/// Slope and curvature of the log loss of every row, a list a score.
fn pulls(samples: &[Sample], scores: &[Vec<f32>]) -> Vec<Vec<Pull>> {
    let mut pulls = vec![Vec::with_capacity(samples.len()); scores.len()];
    let mut probability = vec![0.0_f32; scores.len()];
    for (row, sample) in samples.iter().enumerate() {
        if let [score] = scores {
            probability[0] = 1.0 / (1.0 + (-score[row]).exp());
        } else {
            for (p, score) in probability.iter_mut().zip(scores) {
                *p = score[row];
            }
            softmax(&mut probability);
        }
        for (word, (pulls, &p)) in pulls.iter_mut().zip(&probability).enumerate() {
            let p = f64::from(p);
            let is_right = if scores.len() == 1 {
                sample.word == 1
            } else {
                sample.word == word
            };
            pulls.push(Pull {
                slope: sample.weight * (p - f64::from(u8::from(is_right))),
                curvature: sample.weight * (p * (1.0 - p)).max(1e-6),
            });
        }
    }
    pulls
}
