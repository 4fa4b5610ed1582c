//! One tag: accuracy, F1 of each word, and which word was taken for which.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::rate::f1;
use crate::{Judged, Rate};

/// The word that vocabulary keeps for evidence too thin.
const UNCLEAR: &str = "unclear";
/// How a confusion matrix calls an empty cell of the tables. No word of the vocabulary is in brackets.
pub(crate) const NO_ANSWER: &str = "(none)";

/// How well one word was predicted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClassScore {
    /// The word.
    pub word: String,
    /// How often the labels say it.
    pub labelled: usize,
    /// How often the tables do, over the same rows.
    pub predicted: usize,
    /// How often both do.
    pub right: usize,
    /// 2·right / (labelled + predicted).
    pub f1: f64,
}

/// Which word the tables had for which word of the labels.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Confusion {
    /// Words of the labels: one row each, sorted.
    pub labelled: Vec<String>,
    /// Words of the tables: one column each, sorted; an empty cell is `(none)`.
    pub predicted: Vec<String>,
    /// `counts[row][column]`.
    pub counts: Vec<Vec<usize>>,
}

/// How well one tag was predicted, over matched rows whose label has it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TagScore {
    /// The tag's column.
    pub tag: String,
    /// The judged rows, of the label rows that could have been: the others leave it empty, or were not found.
    pub judged: Option<Judged>,
    /// Share of the judged rows with the right word.
    pub accuracy: Rate,
    /// Mean over the words of the labels of each word's F1, every word counting the same.
    pub macro_f1: f64,
    /// Rows on which the tables had `unclear`.
    pub unclear: usize,
    /// Rows on which the tables were empty.
    pub no_answer: usize,
    /// Each word of the labels, sorted.
    pub classes: Vec<ClassScore>,
    /// Which was taken for which.
    pub confusion: Confusion,
}

impl TagScore {
    /// Judges pairs of (label, table), out of `label_rows`; `None` when the labels say nothing.
    pub(crate) fn of<'a>(
        tag: &str,
        label_rows: usize,
        pairs: impl IntoIterator<Item = (Option<&'a str>, Option<&'a str>)>,
    ) -> Option<Self> {
        let mut counts: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for (label, predicted) in pairs {
            if let Some(label) = label {
                *counts.entry((label, predicted.unwrap_or(NO_ANSWER))).or_default() += 1;
            }
        }
        let labelled: BTreeSet<&str> = counts.keys().map(|(label, _)| *label).collect();
        let predicted: BTreeSet<&str> = counts.keys().map(|(_, predicted)| *predicted).collect();
        let count = |label: &str, predicted: &str| counts.get(&(label, predicted)).copied().unwrap_or(0);
        let predicted_in_all = |word: &str| labelled.iter().map(|label| count(label, word)).sum::<usize>();

        let classes: Vec<ClassScore> = labelled
            .iter()
            .map(|word| {
                let right = count(word, word);
                let of_label: usize = predicted.iter().map(|other| count(word, other)).sum();
                let of_predicted = predicted_in_all(word);
                ClassScore {
                    word: (*word).to_owned(),
                    labelled: of_label,
                    predicted: of_predicted,
                    right,
                    f1: f1(right, of_label - right, of_predicted - right).unwrap_or(0.0),
                }
            })
            .collect();
        let n = classes.iter().map(|class| class.labelled).sum();
        let accuracy = Rate::of(classes.iter().map(|class| class.right).sum(), n)?;
        Some(Self {
            tag: tag.to_owned(),
            judged: Judged::of(n, label_rows),
            accuracy,
            macro_f1: classes.iter().map(|class| class.f1).sum::<f64>() / classes.len() as f64,
            unclear: predicted_in_all(UNCLEAR),
            no_answer: predicted_in_all(NO_ANSWER),
            confusion: Confusion {
                labelled: labelled.iter().map(|word| (*word).to_owned()).collect(),
                predicted: predicted.iter().map(|word| (*word).to_owned()).collect(),
                counts: labelled
                    .iter()
                    .map(|l| predicted.iter().map(|t| count(l, t)).collect())
                    .collect(),
            },
            classes,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn score(labels: &[&'static str], predicted: &[&'static str]) -> TagScore {
        let pairs = labels.iter().zip(predicted).map(|(l, t)| {
            let full = |word: &&'static str| (!word.is_empty()).then_some(*word);
            (full(l), full(t))
        });
        TagScore::of("tag", 5, pairs).unwrap()
    }

    #[test]
    fn macro_f1_is_that_of_the_printed_example() {
        // Documentation of scikit-learn's `f1_score`: y_true 0 1 2 0 1 2, y_pred 0 2 1 0 0 1, macro average 0.2666….
        // By hand: word 0 has 2 right of 2 labelled and 3 predicted, F1 = 4/5; words 1 and 2 have none right; 0.8 / 3.
        let score = score(&["0", "1", "2", "0", "1", "2"], &["0", "2", "1", "0", "0", "1"]);
        assert_abs_diff_eq!(score.macro_f1, 0.8 / 3.0, epsilon = 1e-12);
        assert_abs_diff_eq!(score.accuracy.share, 2.0 / 6.0, epsilon = 1e-12);
        assert_eq!(
            score.confusion.counts,
            vec![vec![2, 0, 0], vec![1, 0, 1], vec![0, 2, 0]]
        );
    }

    #[test]
    fn an_empty_label_is_not_judged_and_an_empty_answer_is_wrong() {
        let score = score(&["drop", "", "drop", "ice"], &["drop", "drop", "", "unclear"]);
        assert_eq!((score.accuracy.hits, score.accuracy.n), (1, 3));
        assert_eq!((score.no_answer, score.unclear), (1, 1));
        assert_eq!(score.judged, Judged::of(3, 5));
        assert_eq!(score.confusion.predicted, vec!["(none)", "drop", "unclear"]);
        // drop: 1 right, 2 labelled, 1 predicted: 2/3. ice: 0. Mean 1/3.
        assert_abs_diff_eq!(score.macro_f1, 1.0 / 3.0, epsilon = 1e-12);
    }

    #[test]
    fn labels_that_tell_nothing_give_no_score() {
        assert_eq!(TagScore::of("tag", 1, [(None, Some("drop"))]), None);
    }
}
