//! How good answers are, against labels.

use std::collections::BTreeMap;

use scrim_actions::COVERAGE_WORDS;
use scrim_tables::tags::Coverage;

/// One answer: how likely each word is; `None` where the evidence is too thin to say.
pub(crate) type Answer = Option<[f32; 6]>;

/// Answers against labels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Labelled screens.
    pub n: usize,
    /// Share of them with the right word; `unclear` is wrong.
    pub accuracy: f64,
    /// Mean over the labels' words of each word's F1.
    pub macro_f1: f64,
    /// Mean of −ln of the likelihood given to the right word, over screens with enough evidence: 0 is best. It pays for
    /// right words and for honest confidence alike (logarithmic score: I. J. Good, "Rational decisions", Journal of the
    /// Royal Statistical Society B 14(1), 1952).
    pub log_loss: f64,
    /// Expected calibration error in tenths of confidence, over the screens that got a word (M. P. Naeini, G. F. Cooper &
    /// M. Hauskrecht, "Obtaining well calibrated probabilities using Bayesian binning", AAAI 2015).
    pub calibration_error: f64,
    /// Screens that got no word.
    pub unclear: usize,
}

/// No answer is held to be surer than this that a word is wrong: one surprise must not outweigh all else.
const LEAST_LIKELIHOOD: f64 = 1e-3;
/// Bins of confidence.
const BINS: usize = 10;

/// The word of an answer, and its confidence; `None` is `unclear`.
pub(crate) fn word_of(answer: &Answer, min_confidence: f32) -> Option<(Coverage, f32)> {
    let likelihoods = answer.as_ref()?;
    let mut best = 0;
    for (place, likelihood) in likelihoods.iter().enumerate() {
        if *likelihood > likelihoods[best] {
            best = place;
        }
    }
    (likelihoods[best] >= min_confidence).then_some((COVERAGE_WORDS[best], likelihoods[best]))
}

/// −ln of the likelihood of the right word; `None` without an answer, or of a label that no answer can give.
pub(crate) fn log_loss(label: Coverage, answer: &Answer) -> Option<f64> {
    let place = crate::fit::place_of(label)?;
    let likelihood = f64::from(answer.as_ref()?[place]);
    Some(-likelihood.max(LEAST_LIKELIHOOD).ln())
}

/// Measures answers to labels, one each.
pub(crate) fn measure(labels: &[Coverage], answers: &[&Answer], min_confidence: f32) -> Measured {
    let mut counts: BTreeMap<Coverage, (usize, usize, usize)> = BTreeMap::new();
    let mut bins = [(0usize, 0.0f64, 0usize); BINS];
    let (mut right, mut unclear, mut loss, mut judged) = (0, 0, 0.0, 0);
    for (&label, answer) in labels.iter().zip(answers) {
        counts.entry(label).or_default().0 += 1;
        match word_of(answer, min_confidence) {
            Some((word, confidence)) => {
                let is_right = word == label;
                right += usize::from(is_right);
                let decided = counts.entry(word).or_default();
                decided.1 += 1;
                decided.2 += usize::from(is_right);
                let bin = ((f64::from(confidence) * BINS as f64) as usize).min(BINS - 1);
                bins[bin].0 += 1;
                bins[bin].1 += f64::from(confidence);
                bins[bin].2 += usize::from(is_right);
            }
            None => unclear += 1,
        }
        if let Some(one) = log_loss(label, answer) {
            loss += one;
            judged += 1;
        }
    }
    let n = labels.len();
    let share = |part: f64, whole: usize| if whole > 0 { part / whole as f64 } else { 0.0 };
    let f1s: Vec<f64> = counts
        .values()
        .filter(|(labelled, _, _)| *labelled > 0)
        .map(|&(labelled, decided, right)| share(2.0 * right as f64, labelled + decided))
        .collect();
    let committed: usize = bins.iter().map(|bin| bin.0).sum();
    let off: f64 = bins.iter().map(|bin| (bin.1 - bin.2 as f64).abs()).sum();
    Measured {
        n,
        accuracy: share(right as f64, n),
        macro_f1: share(f1s.iter().sum(), f1s.len()),
        log_loss: share(loss, judged),
        calibration_error: share(off, committed),
        unclear,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// An answer that is `confidence` sure of one word and shares the rest out evenly.
    fn sure(word: Coverage, confidence: f32) -> Answer {
        let rest = (1.0 - confidence) / 5.0;
        Some(COVERAGE_WORDS.map(|other| if other == word { confidence } else { rest }))
    }

    #[test]
    fn measures_are_those_worked_out_by_hand() {
        let labels = [Coverage::Drop, Coverage::Drop, Coverage::Ice, Coverage::Hedge];
        let answers = [
            sure(Coverage::Drop, 0.95),
            sure(Coverage::Ice, 0.75),
            sure(Coverage::Ice, 0.75),
            None,
        ];
        let found = measure(&labels, &answers.iter().collect::<Vec<_>>(), 0.3);
        // Right: drop and ice, of four. drop: 1 right, 2 labelled, 1 decided: 2/3. ice: 1, 1, 2: 2/3. hedge: 0.
        assert_abs_diff_eq!(found.accuracy, 0.5);
        assert_abs_diff_eq!(found.macro_f1, 4.0 / 9.0, epsilon = 1e-12);
        // −ln 0.95, −ln 0.05, −ln 0.75 over three.
        let loss = -(0.95f64.ln() + 0.05f64.ln() + 0.75f64.ln()) / 3.0;
        assert_abs_diff_eq!(found.log_loss, loss, epsilon = 1e-6);
        // Bin 0.9: |0.95 − 1|; bin 0.7: |1.5 − 1|; over three.
        assert_abs_diff_eq!(found.calibration_error, 0.55 / 3.0, epsilon = 1e-6);
        assert_eq!(found.unclear, 1);
    }

    #[test]
    fn below_the_least_confidence_there_is_no_word() {
        assert_eq!(word_of(&sure(Coverage::Drop, 0.29), 0.3), None);
        assert_eq!(
            word_of(&sure(Coverage::Drop, 0.31), 0.3),
            Some((Coverage::Drop, 0.31))
        );
    }
}
