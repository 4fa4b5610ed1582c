//! Bootstrap intervals of ratios of sums against SciPy's on the same data: exactly, from the same replicates; and within the
//! luck of the draw, from its own.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use scrim_statistics::{RatioPart, bootstrap_ratios, percentile_interval, ratio_of_sums};
use serde::Deserialize;
use serde_json::json;

use crate::python::ask;
use crate::sequence::Sequence;

#[derive(Deserialize)]
struct Answers {
    cases: Vec<Answer>,
}

#[derive(Deserialize)]
struct Answer {
    same: [f64; 2],
    own: [f64; 2],
    own_error: f64,
}

/// Clusters of which weight and value are skewed, and hang together.
fn parts(sequence: &mut Sequence, clusters: usize) -> Vec<RatioPart> {
    (0..clusters)
        .map(|_| {
            let weight = 0.05 - sequence.next_share().max(1e-9).ln();
            let value = sequence.next_share().powi(3) * 2.0 - 0.4 * weight;
            RatioPart {
                above: weight * value,
                below: weight,
            }
        })
        .collect()
}

#[test]
fn intervals_are_scipys() {
    let mut sequence = Sequence::new(11);
    let cases: Vec<(Vec<RatioPart>, Vec<f64>)> = [2, 5, 30, 60, 400, 2_000]
        .into_iter()
        .map(|clusters| {
            let parts = parts(&mut sequence, clusters);
            let mut rng = ChaCha8Rng::seed_from_u64(clusters as u64);
            // Many replicates, so that the luck of the draw is little.
            let replicates = bootstrap_ratios(&parts, 20_000, &mut rng);
            (parts, replicates)
        })
        .collect();
    let asked: Vec<_> = cases
        .iter()
        .map(|(parts, replicates)| {
            json!({
                "above": parts.iter().map(|part| part.above).collect::<Vec<_>>(),
                "below": parts.iter().map(|part| part.below).collect::<Vec<_>>(),
                "replicates": replicates,
            })
        })
        .collect();
    let answers: Answers = ask("bootstrap.py", &json!({ "cases": asked }));
    assert_eq!(answers.cases.len(), cases.len());
    for ((parts, mut replicates), answer) in cases.into_iter().zip(answers.cases) {
        let n = parts.len();
        let ours = percentile_interval(&parts, &mut replicates).unwrap();
        assert_eq!(Some(ours.value), ratio_of_sums(&parts));
        let error = answer.own_error;
        for (ours, same) in [ours.low, ours.high].into_iter().zip(answer.same) {
            assert!(
                (ours - same).abs() <= 1e-6 * error,
                "{n} clusters: ours {ours}, SciPy's {same}"
            );
        }
        // With two or five clusters the distribution has few values, and a bound may jump from one to the next.
        if n < 30 {
            continue;
        }
        // The 2 % point of 20,000 draws of a normal distribution has a standard error of √(0.02 · 0.98/20,000)/0.048 = 0.021
        // standard errors of the statistic. Both sides have it, √2 · 0.021 = 0.03; five times that, and as much again for tails
        // that are longer than the normal's.
        for (ours, own) in [ours.low, ours.high].into_iter().zip(answer.own) {
            assert!(
                (ours - own).abs() <= 0.3 * error,
                "{n} clusters: ours {ours}, SciPy's own {own}"
            );
        }
    }
}
