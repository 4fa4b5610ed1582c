//! Fits, holds out, measures, and says whether it helps.

use std::collections::BTreeMap;

use scrim_actions::{COVERAGE_WORDS, CoverageModel, ReadParams};
use scrim_tables::tags::Coverage;

use crate::choose::{MeanLoss, strongest};
use crate::fit::{fit_model, place_of};
use crate::folds::folds;
use crate::measure::{Answer, log_loss, measure};
use crate::{Family, Grouping, Measured, Sample};
use scrim_statistics::{Interval, bootstrap_interval};

/// A smaller gain in log loss is none that anybody sees, however sure it is: the words of hardly any screen change by it. Common
/// practice, no source.
const LEAST_LOG_LOSS_GAIN: f64 = 0.01;

/// How a decision is fitted and judged. No source but where one is named.
#[derive(Debug, Clone, PartialEq)]
pub struct TuneParams {
    /// Fewer labels with enough evidence than this are refused. Default 60: of coverages, ten a word.
    pub min_labels: usize,
    /// A word with fewer labels than this keeps its weights. Default 6.
    pub min_word_labels: usize,
    /// How strongly the weights may be drawn toward what was there before; which of these does best is found by holding out.
    /// Default 3, 10, 30, 100, 300.
    pub ridges: Vec<f64>,
    /// Folds at most. Default 5.
    pub folds: usize,
    /// Draws of the bootstrap. Default 2000.
    pub draws: usize,
    /// Its seed. Default 1.
    pub seed: u64,
}

impl Default for TuneParams {
    fn default() -> Self {
        Self {
            min_labels: 60,
            min_word_labels: 6,
            ridges: vec![3.0, 10.0, 30.0, 100.0, 300.0],
            folds: 5,
            draws: 2000,
            seed: 1,
        }
    }
}

/// Why nothing can be fitted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TuneError {
    /// Too few labels.
    #[error(
        "Coverages: {found} labels belong to screens that were found and seen well enough, and a fit needs {needed}; \
         label more ball screens (those of one more game are worth more than more of the same)"
    )]
    TooFewLabels {
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Too few labelled screens that a candidate stands for.
    #[error(
        "{}: {found} of {labelled} labels have a candidate (the same two players within 1 s), and a fit needs {needed}; \
         {}",
        family.name(),
        if *found * 2 < *labelled {
            "look first why the others have none: do period, times and players of the labels fit the tracking?"
        } else {
            "label more (one more game is worth more than more of the same)"
        }
    )]
    TooFewScreens {
        /// Of which screens.
        family: Family,
        /// How many labels have a candidate.
        found: usize,
        /// How many labels there are.
        labelled: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Fewer than two words with enough labels.
    #[error(
        "Coverages: only `{word}` has {needed} labels or more; there is nothing to distinguish: label ball screens of other coverages too"
    )]
    OneWord {
        /// The word, or `no word`.
        word: String,
        /// How many labels a word needs.
        needed: usize,
    },
    /// All labels lie in one possession.
    #[error("all labels lie in one possession; nothing can be held out: label more of the game")]
    OnePossession,
}

/// Whether the fitted decision is worth having.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// On what it was not fitted on it did better, beyond chance. Coverages: the interval of the log loss's gain lies above 0, the gain
    /// is large enough to be seen, and macro-F1 did not fall. Screens: F1 rose, and the interval of its gain or of the log loss's lies above 0.
    Gain,
    /// It did not.
    NoGain,
}

/// How often a word was labelled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WordCount {
    /// The word.
    pub word: Coverage,
    /// Labelled screens with enough evidence.
    pub labels: usize,
    /// Whether its weights were fitted.
    pub is_fitted: bool,
}

/// A fitted decision and how it did.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuned {
    /// The model, fitted on all samples.
    pub model: CoverageModel,
    /// How strongly it was drawn toward what was there before.
    pub ridge: f64,
    /// The words of [`COVERAGE_WORDS`].
    pub words: Vec<WordCount>,
    /// Labelled screens whose evidence is too thin for any decision.
    pub thin: usize,
    /// What was held out together.
    pub grouping: Grouping,
    /// How many folds.
    pub folds: usize,
    /// Games and possessions with labels.
    pub games: usize,
    /// See `games`.
    pub possessions: usize,
    /// The decision that was there before.
    pub before: Measured,
    /// The fitted one, each screen answered by a fit that did not see its fold.
    pub after: Measured,
    /// How much lower the log loss is, with its interval.
    pub log_loss_gain: Interval,
    /// How much higher macro-F1 is, likewise.
    pub macro_f1_gain: Interval,
    /// Whether it is worth having.
    pub verdict: Verdict,
}

/// Fits the correction of the coverage model in `params` to `samples`. Which strength of ridge serves best is chosen inside each fold's
/// own training samples, so that no held-out screen has a say in its own answer.
///
/// # Errors
/// [`TuneError`] when there are too few labels, too few words, or nothing to hold out.
pub fn tune(mut samples: Vec<Sample>, params: &ReadParams, how: &TuneParams) -> Result<Tuned, TuneError> {
    samples.sort_by(|a, b| a.key().cmp(&b.key()));
    // A label that says `unclear` has no word to match.
    samples.retain(|sample| place_of(sample.label).is_some());
    let mut counts = [0; 6];
    for sample in samples.iter().filter(|sample| sample.inputs.is_some()) {
        if let Some(place) = place_of(sample.label) {
            counts[place] += 1;
        }
    }
    let words = counts.map(|labels| labels >= how.min_word_labels);
    refuse(&samples, counts, words, how)?;
    let prior = params.coverage_model.clone();
    let keys: Vec<(&str, u32)> = samples.iter().map(Sample::place).collect();
    let (grouping, fold_of) = folds(&keys, how.folds);
    let fold_count = fold_of.iter().max().map_or(0, |most| most + 1);
    let job = Job {
        words,
        prior: &prior,
        how,
    };
    let all: Vec<&Sample> = samples.iter().collect();
    let before: Vec<Answer> = samples
        .iter()
        .map(|sample| sample.inputs.as_ref().map(|inputs| prior.likelihoods(inputs)))
        .collect();
    let mut after: Vec<Answer> = vec![None; samples.len()];
    for fold in 0..fold_count {
        let seen: Vec<&Sample> = all
            .iter()
            .zip(&fold_of)
            .filter(|(_, of)| **of != fold)
            .map(|(sample, _)| *sample)
            .collect();
        let ridge = job.best_ridge(&seen);
        let model = fit_model(&seen, words, &prior, ridge);
        for ((sample, answer), _) in samples
            .iter()
            .zip(&mut after)
            .zip(&fold_of)
            .filter(|(_, of)| **of == fold)
        {
            *answer = sample.inputs.as_ref().map(|inputs| model.likelihoods(inputs));
        }
    }
    let ridge = job.best_ridge(&all);
    let model = fit_model(&all, words, &prior, ridge);
    let labels: Vec<Coverage> = samples.iter().map(|sample| sample.label).collect();
    let min_confidence = params.min_confidence;
    let of = |answers: &[Answer]| measure(&labels, &answers.iter().collect::<Vec<_>>(), min_confidence);
    let (before_measured, after_measured) = (of(&before), of(&after));
    let groups = possessions(&samples);
    let pair = Pair {
        labels: &labels,
        before: &before,
        after: &after,
        groups: &groups,
        min_confidence,
    };
    let gain = |of: &dyn Fn(&[usize]) -> f64| bootstrap_interval(groups.len(), how.draws, how.seed, of);
    let log_loss_gain = gain(&|draw| pair.log_loss_gain(draw));
    let macro_f1_gain = gain(&|draw| pair.macro_f1_gain(draw));
    let helps =
        log_loss_gain.low > 0.0 && log_loss_gain.value >= LEAST_LOG_LOSS_GAIN && macro_f1_gain.value >= 0.0;
    let mut games: Vec<&str> = samples.iter().map(|sample| sample.game_id.as_ref()).collect();
    games.dedup();
    Ok(Tuned {
        model,
        ridge,
        words: COVERAGE_WORDS
            .into_iter()
            .zip(counts)
            .zip(words)
            .map(|((word, labels), is_fitted)| WordCount {
                word,
                labels,
                is_fitted,
            })
            .collect(),
        thin: samples.iter().filter(|sample| sample.inputs.is_none()).count(),
        grouping,
        folds: fold_count,
        games: games.len(),
        possessions: groups.len(),
        before: before_measured,
        after: after_measured,
        log_loss_gain,
        macro_f1_gain,
        verdict: if helps { Verdict::Gain } else { Verdict::NoGain },
    })
}

fn refuse(
    samples: &[Sample],
    counts: [usize; 6],
    words: [bool; 6],
    how: &TuneParams,
) -> Result<(), TuneError> {
    let found = counts.iter().sum();
    if found < how.min_labels {
        return Err(TuneError::TooFewLabels {
            found,
            needed: how.min_labels,
        });
    }
    let enough: Vec<Coverage> = COVERAGE_WORDS
        .into_iter()
        .zip(words)
        .filter(|(_, is_enough)| *is_enough)
        .map(|(word, _)| word)
        .collect();
    if enough.len() < 2 {
        return Err(TuneError::OneWord {
            word: enough.first().map_or("no word".into(), ToString::to_string),
            needed: how.min_word_labels,
        });
    }
    if possessions(samples).len() < 2 {
        return Err(TuneError::OnePossession);
    }
    Ok(())
}

/// What all fits of one run share.
struct Job<'a> {
    words: [bool; 6],
    prior: &'a CoverageModel,
    how: &'a TuneParams,
}

impl Job<'_> {
    /// The ridge that serves best on folds held out of `samples`.
    fn best_ridge(&self, samples: &[&Sample]) -> f64 {
        let keys: Vec<(&str, u32)> = samples.iter().map(|sample| sample.place()).collect();
        let (_, fold_of) = folds(&keys, self.how.folds);
        let ridges = self.how.ridges.iter();
        let tried: Vec<(f64, MeanLoss)> = ridges
            .map(|&ridge| (ridge, self.held_out_loss(samples, &fold_of, ridge)))
            .collect();
        strongest(&tried)
    }

    fn held_out_loss(&self, samples: &[&Sample], fold_of: &[usize], ridge: f64) -> MeanLoss {
        let fold_count = fold_of.iter().max().map_or(0, |most| most + 1);
        let mut losses = Vec::with_capacity(samples.len());
        for fold in 0..fold_count {
            let is_out = |(_, of): &(&&Sample, &usize)| **of == fold;
            let seen: Vec<&Sample> = samples
                .iter()
                .zip(fold_of)
                .filter(|pair| !is_out(pair))
                .map(|(sample, _)| *sample)
                .collect();
            let model = fit_model(&seen, self.words, self.prior, ridge);
            losses.extend(
                samples
                    .iter()
                    .zip(fold_of)
                    .filter(is_out)
                    .filter_map(|(sample, _)| {
                        let answer = sample.inputs.as_ref().map(|inputs| model.likelihoods(inputs));
                        log_loss(sample.label, &answer)
                    }),
            );
        }
        MeanLoss::of(&losses)
    }
}

/// The samples of each possession, by place.
fn possessions(samples: &[Sample]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<(&str, u32), Vec<usize>> = BTreeMap::new();
    for (place, sample) in samples.iter().enumerate() {
        groups
            .entry((&sample.game_id, sample.possession_id))
            .or_default()
            .push(place);
    }
    groups.into_values().collect()
}

/// Answers before and after, to the same labels.
struct Pair<'a> {
    labels: &'a [Coverage],
    before: &'a [Answer],
    after: &'a [Answer],
    groups: &'a [Vec<usize>],
    min_confidence: f32,
}

impl Pair<'_> {
    fn drawn(&self, draw: &[usize]) -> impl Iterator<Item = usize> {
        draw.iter().flat_map(|&group| self.groups[group].iter().copied())
    }

    fn log_loss_gain(&self, draw: &[usize]) -> f64 {
        let (mut sum, mut n) = (0.0, 0);
        for place in self.drawn(draw) {
            let label = self.labels[place];
            if let (Some(before), Some(after)) = (
                log_loss(label, &self.before[place]),
                log_loss(label, &self.after[place]),
            ) {
                sum += before - after;
                n += 1;
            }
        }
        if n > 0 { sum / f64::from(n) } else { 0.0 }
    }

    fn macro_f1_gain(&self, draw: &[usize]) -> f64 {
        let places: Vec<usize> = self.drawn(draw).collect();
        let labels: Vec<Coverage> = places.iter().map(|&place| self.labels[place]).collect();
        let of = |answers: &[Answer]| {
            let answers: Vec<&Answer> = places.iter().map(|&place| &answers[place]).collect();
            measure(&labels, &answers, self.min_confidence).macro_f1
        };
        of(self.after) - of(self.before)
    }
}
