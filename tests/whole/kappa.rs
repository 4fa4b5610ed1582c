//! Cohen's kappa against scikit-learn's, and its bounds against things drawn again.

use scrim_statistics::{Z_95, cohens_kappa};
use serde::Deserialize;
use serde_json::json;

use crate::python::ask;
use crate::sequence::Sequence;

#[derive(Deserialize)]
struct Answers {
    kappas: Vec<f64>,
    errors: Vec<f64>,
}

#[test]
fn kappa_is_scikit_learns_and_its_bounds_are_those_of_many_draws() {
    let mut sequence = Sequence::new(11);
    // The textbook's hundred patients; two words; none better than chance; then tables of 3 to 6 words that agree more or less.
    let mut tables = vec![
        vec![vec![75_u64, 1, 4], vec![5, 4, 1], vec![0, 0, 10]],
        vec![vec![20, 5], vec![10, 15]],
        vec![vec![100, 100], vec![100, 100]],
    ];
    for words in 3..=6_usize {
        for agreed in [20.0, 80.0, 200.0] {
            let mut cell = |most: f64| (sequence.next_share() * most) as u64;
            let row = |a: usize, cell: &mut dyn FnMut(f64) -> u64| -> Vec<u64> {
                (0..words)
                    .map(|b| cell(if a == b { agreed } else { 12.0 }) + 1)
                    .collect()
            };
            tables.push((0..words).map(|a| row(a, &mut cell)).collect());
        }
    }
    let answers: Answers = ask("kappa.py", &json!({ "tables": tables }));
    for ((table, theirs), error) in tables.iter().zip(&answers.kappas).zip(&answers.errors) {
        let agreement = cohens_kappa(table).unwrap();
        let kappa = agreement.kappa.unwrap();
        assert!(
            (kappa.value - theirs).abs() < 1e-12,
            "{table:?}: ours {}, theirs {theirs}",
            kappa.value
        );
        // 20,000 draws know a standard error to 0.5 %; that of many things and that of these few differ by some per cent.
        let ours = (kappa.high - kappa.low) / (2.0 * Z_95);
        assert!(
            (ours / error - 1.0).abs() < 0.06,
            "{table:?}: ours {ours}, drawn {error}"
        );
    }
}
