//! Fits the correction of a screen model and its limits, holds out, measures, and says whether it helps.

use scrim_actions::{SCREEN_EVIDENCE, ScreenCorrection, ScreenInputs};

use crate::choose::{MeanLoss, nearest_of_best, strongest};
use crate::fit::{BIAS_SHARE, rounded};
use crate::folds::folds;
use crate::judged::{Counts, Family, Judged};
use crate::softmax::{self, Observation};
use crate::{Grouping, Labels, Row, TuneError, TuneParams, Verdict};
use scrim_statistics::{Interval, bootstrap_interval};

/// How screens of one family are decided on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenDecision {
    /// How the model's answers are corrected.
    pub correction: ScreenCorrection,
    /// Rows less sure than this are not written.
    pub min_confidence: f32,
    /// The same where the touches show that the ball has gone from hand to hand.
    pub min_handoff_confidence: f32,
}

impl ScreenDecision {
    fn least(&self, row: &Row) -> f32 {
        if row.is_by_hand {
            self.min_handoff_confidence
        } else {
            self.min_confidence
        }
    }
}

/// What a detector would write against labels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreensMeasured {
    /// Labels that were found.
    pub hits: usize,
    /// Written rows that stand for no label and lie in no zone of doubt.
    pub false_alarms: usize,
    /// Written rows in a zone of doubt: neither right nor wrong.
    pub in_doubt: usize,
    /// hits / (hits + false alarms).
    pub precision: f64,
    /// hits / labels.
    pub recall: f64,
    /// 2·hits / (hits + false alarms + labels).
    pub f1: f64,
    /// Mean of −ln of the probability given to what a candidate is, over those that were fitted to.
    pub log_loss: f64,
}

/// A fitted decision on screens and how it did.
#[derive(Debug, Clone, PartialEq)]
pub struct TunedScreens {
    /// Of which screens.
    pub family: Family,
    /// The decision that was there before.
    pub own: ScreenDecision,
    /// The one fitted to all labels.
    pub decision: ScreenDecision,
    /// How strongly the correction was drawn toward what was there before.
    pub ridge: f64,
    /// Labels that count.
    pub labels: usize,
    /// Those that a candidate stands for.
    pub matched: usize,
    /// Candidates that were fitted to.
    pub candidates: usize,
    /// What was held out together.
    pub grouping: Grouping,
    /// How many folds.
    pub folds: usize,
    /// Games with labels or without: all that were named as labelled and have candidates.
    pub games: usize,
    /// The decision before.
    pub before: ScreensMeasured,
    /// The fitted one, each candidate judged by a fit, and limits, that did not see its fold.
    pub after: ScreensMeasured,
    /// How much higher F1 is, with its interval.
    pub f1_gain: Interval,
    /// How much lower the log loss is, likewise.
    pub log_loss_gain: Interval,
    /// Whether it is worth having.
    pub verdict: Verdict,
}

/// A candidate that the model finds less likely than this is left out of the fit, whatever it is: it is decided. The choice looks
/// at evidence alone, so it bends nothing.
const LEAST_FITTED: f32 = 0.02;
/// Nothing is held to be surer than this: one surprise must not outweigh all else.
const LEAST_LIKELIHOOD: f64 = 1e-3;
/// Limits that are tried: from one twentieth to eighteen.
const LIMITS: std::ops::RangeInclusive<u8> = 1..=18;
/// With fewer labelled handoffs their limit stays.
const MIN_HANDOFFS: usize = 20;

/// Fits the correction of the model of one family's screens, and the least confidence of a row, to labels. The ridge and the limits are
/// chosen inside each fold's own training candidates, so that nothing held out has a say in its own answer.
///
/// # Errors
/// [`TuneError`] when there are too few labels with a candidate, or nothing to hold out.
pub fn tune_screens(
    mut rows: Vec<Row>,
    labels: &Labels,
    family: Family,
    own: &ScreenDecision,
    how: &TuneParams,
) -> Result<TunedScreens, TuneError> {
    rows.sort_by(|a, b| {
        (&a.game_id, a.possession)
            .cmp(&(&b.game_id, b.possession))
            .then(a.t_s.total_cmp(&b.t_s))
            .then((&a.user, &a.screener).cmp(&(&b.user, &b.screener)))
    });
    let judged = Judged::new(&rows, labels, family);
    let matched = judged.matched();
    if matched < how.min_labels {
        return Err(TuneError::TooFewScreens {
            family,
            found: matched,
            labelled: judged.labels,
            needed: how.min_labels,
        });
    }
    let keys = keys(&rows, 0..rows.len());
    let (grouping, fold_of) = folds(&keys, how.folds);
    let fold_count = fold_of.iter().max().map_or(0, |most| most + 1);
    if fold_count < 2 {
        return Err(TuneError::OnePossession);
    }
    let job = Job {
        judged: &judged,
        own,
        how,
    };
    let before: Vec<f32> = rows
        .iter()
        .map(|row| own.correction.probability(&row.inputs))
        .collect();
    let mut after = vec![0.0; rows.len()];
    let mut least = vec![0.0; rows.len()];
    for fold in 0..fold_count {
        let (held, seen): (Vec<usize>, Vec<usize>) = (0..rows.len()).partition(|&row| fold_of[row] == fold);
        let fitted = job.fitted_to(&seen);
        for row in held {
            after[row] = fitted.decision.correction.probability(&rows[row].inputs);
            least[row] = fitted.decision.least(&rows[row]);
        }
    }
    let everything: Vec<usize> = (0..rows.len()).collect();
    let fitted = job.fitted_to(&everything);
    let counts_before = judged.by_possession(
        &before,
        (0..rows.len()).filter(|&row| before[row] >= own.least(&rows[row])),
    );
    let counts_after = judged.by_possession(&after, (0..rows.len()).filter(|&row| after[row] >= least[row]));
    let losses = |sure: &[f32]| -> Vec<(f64, u32)> {
        let mut by_group = vec![(0.0, 0); judged.groups];
        for &row in everything.iter().filter(|&&row| job.is_fitted_to(row)) {
            let group = &mut by_group[judged.row_group[row]];
            group.0 += job.loss(row, sure[row]);
            group.1 += 1;
        }
        by_group
    };
    let (losses_before, losses_after) = (losses(&before), losses(&after));
    let all: Vec<usize> = (0..judged.groups).collect();
    let log_loss_gain = |draw: &[usize]| mean(&losses_before, draw) - mean(&losses_after, draw);
    let f1_gain = |draw: &[usize]| sum(&counts_after, draw).f1() - sum(&counts_before, draw).f1();
    let measured = |counts: &[Counts], losses: &[(f64, u32)]| {
        let counts = sum(counts, &all);
        ScreensMeasured {
            hits: counts.hits,
            false_alarms: counts.false_alarms,
            in_doubt: counts.in_doubt,
            precision: counts.precision(),
            recall: counts.recall(),
            f1: counts.f1(),
            log_loss: mean(losses, &all),
        }
    };
    let drawn = |statistic: &dyn Fn(&[usize]) -> f64| {
        bootstrap_interval(judged.groups, how.draws, how.seed, statistic)
    };
    let (f1_gain, log_loss_gain) = (drawn(&f1_gain), drawn(&log_loss_gain));
    // A lower log loss alone is no gain: it may be the mere confidence of a model that is shown what it was fitted to, and it
    // changes no row.
    let helps = f1_gain.low > 0.0 || (f1_gain.value >= LEAST_F1_GAIN && log_loss_gain.low > 0.0);
    let mut games: Vec<&str> = keys.iter().map(|(game, _)| *game).collect();
    games.dedup();
    Ok(TunedScreens {
        family,
        own: *own,
        decision: fitted.decision,
        ridge: fitted.ridge,
        labels: judged.labels,
        matched,
        candidates: everything.iter().filter(|&&row| job.is_fitted_to(row)).count(),
        grouping,
        folds: fold_count,
        games: games.len(),
        before: measured(&counts_before, &losses_before),
        after: measured(&counts_after, &losses_after),
        f1_gain,
        log_loss_gain,
        verdict: if helps { Verdict::Gain } else { Verdict::NoGain },
    })
}

/// Where only the log loss is better for sure, F1 must be better by at least this: less is no gain that anybody sees.
const LEAST_F1_GAIN: f64 = 0.005;

fn keys(rows: &[Row], of: impl IntoIterator<Item = usize>) -> Vec<(&str, u32)> {
    of.into_iter()
        .map(|row| (rows[row].game_id.as_ref(), rows[row].possession as u32))
        .collect()
}

fn sum(counts: &[Counts], groups: &[usize]) -> Counts {
    let mut all = Counts::default();
    for &group in groups {
        all.add(&counts[group]);
    }
    all
}

fn mean(losses: &[(f64, u32)], groups: &[usize]) -> f64 {
    let (mut loss, mut rows) = (0.0, 0);
    for &group in groups {
        loss += losses[group].0;
        rows += losses[group].1;
    }
    if rows > 0 { loss / f64::from(rows) } else { 0.0 }
}

/// What a fit gives.
struct Fitted {
    decision: ScreenDecision,
    ridge: f64,
}

/// What all fits of one run share.
struct Job<'a> {
    judged: &'a Judged<'a>,
    own: &'a ScreenDecision,
    how: &'a TuneParams,
}

impl Job<'_> {
    fn is_fitted_to(&self, row: usize) -> bool {
        self.judged.rows[row].inputs.probability >= LEAST_FITTED && !self.judged.in_doubt[row]
    }

    fn loss(&self, row: usize, sure: f32) -> f64 {
        let of_screen = f64::from(sure);
        let likelihood = if self.judged.is_screen[row] {
            of_screen
        } else {
            1.0 - of_screen
        };
        -likelihood.max(LEAST_LIKELIHOOD).ln()
    }

    /// Chooses ridge and limits by holding out of `seen`, and fits to all of it.
    fn fitted_to(&self, seen: &[usize]) -> Fitted {
        let rows = self.judged.rows;
        let (_, fold_of) = folds(&keys(rows, seen.iter().copied()), self.how.folds);
        let tried: Vec<(f64, Vec<f32>)> = self
            .how
            .ridges
            .iter()
            .map(|&ridge| (ridge, self.held_out(seen, &fold_of, ridge)))
            .collect();
        let losses: Vec<(f64, MeanLoss)> = tried
            .iter()
            .map(|(ridge, sure)| {
                let fitted_to = seen.iter().filter(|&&row| self.is_fitted_to(row));
                let losses: Vec<f64> = fitted_to.map(|&row| self.loss(row, sure[row])).collect();
                (*ridge, MeanLoss::of(&losses))
            })
            .collect();
        let ridge = strongest(&losses);
        let sure = tried.into_iter().find(|(tried, _)| *tried == ridge);
        let mut decision = match sure {
            Some((_, sure)) => self.limits(seen, &sure),
            None => *self.own,
        };
        decision.correction = self.corrected(seen, ridge);
        Fitted { decision, ridge }
    }

    /// How sure each of `seen` is by a fit that has not seen it; a place a row, 0 for those that are not `seen`.
    fn held_out(&self, seen: &[usize], fold_of: &[usize], ridge: f64) -> Vec<f32> {
        let mut sure = vec![0.0; self.judged.rows.len()];
        let fold_count = fold_of.iter().max().map_or(0, |most| most + 1);
        for fold in 0..fold_count {
            let of_fold = |is_held: bool| {
                let both = seen.iter().zip(fold_of);
                both.filter(move |(_, of)| (**of == fold) == is_held)
                    .map(|(row, _)| *row)
            };
            let correction = self.corrected(&of_fold(false).collect::<Vec<_>>(), ridge);
            for row in of_fold(true) {
                sure[row] = correction.probability(&self.judged.rows[row].inputs);
            }
        }
        sure
    }

    /// The correction fitted to `seen`, drawn toward the own one.
    fn corrected(&self, seen: &[usize], ridge: f64) -> ScreenCorrection {
        let none = vec![0.0; INPUTS];
        let observations: Vec<Observation> = seen
            .iter()
            .filter(|&&row| self.is_fitted_to(row))
            .map(|&row| Observation {
                inputs: vec![none.clone(), inputs_of(&self.judged.rows[row].inputs)],
                right: usize::from(self.judged.is_screen[row]),
            })
            .collect();
        let own = self.own.correction;
        let mut prior = vec![f64::from(own.bias), f64::from(own.trees)];
        prior.extend(own.evidence().map(f64::from));
        let mut ridges = vec![ridge; INPUTS];
        ridges[0] = ridge * BIAS_SHARE;
        // `none` has no inputs, so that its weights stay 0.
        let weights = softmax::fit(&observations, &[none.clone(), prior], &ridges);
        let weights = &weights[1];
        let mut evidence = [0.0; SCREEN_EVIDENCE];
        for (to, weight) in evidence.iter_mut().zip(&weights[2..]) {
            *to = rounded(*weight);
        }
        ScreenCorrection::of(rounded(weights[0]), rounded(weights[1]).max(0.0), evidence)
    }

    /// The limits that give the best F1 on `seen`, given how sure each is by a fit that has not seen it.
    fn limits(&self, seen: &[usize], sure: &[f32]) -> ScreenDecision {
        let rows = self.judged.rows;
        let mut groups: Vec<usize> = seen.iter().map(|&row| self.judged.row_group[row]).collect();
        groups.dedup();
        let counts = |decision: &ScreenDecision| {
            let sure_enough = seen
                .iter()
                .copied()
                .filter(|&row| sure[row] >= decision.least(&rows[row]));
            sum(&self.judged.by_possession(sure, sure_enough), &groups)
        };
        let tried = |own: f32| LIMITS.map(|twentieth| f32::from(twentieth) / 20.0).chain([own]);
        let mut best = *self.own;
        let plain = tried(best.min_confidence).map(|min_confidence| {
            let decision = ScreenDecision {
                min_confidence,
                ..best
            };
            (min_confidence, counts(&decision))
        });
        best.min_confidence = nearest_of_best(plain.collect(), best.min_confidence);
        let handoffs = seen
            .iter()
            .filter(|&&row| self.judged.is_screen[row] && rows[row].is_by_hand);
        if handoffs.count() >= MIN_HANDOFFS {
            let by_hand = tried(best.min_handoff_confidence).map(|min_handoff_confidence| {
                let decision = ScreenDecision {
                    min_handoff_confidence,
                    ..best
                };
                (min_handoff_confidence, counts(&decision))
            });
            best.min_handoff_confidence = nearest_of_best(by_hand.collect(), best.min_handoff_confidence);
        }
        best
    }
}

/// Inputs of a fit: 1 for the bias, the model's log-odds, the evidence.
const INPUTS: usize = 2 + SCREEN_EVIDENCE;

fn inputs_of(inputs: &ScreenInputs) -> Vec<f64> {
    let mut all = vec![1.0, f64::from(inputs.ln_odds)];
    all.extend(inputs.evidence.map(f64::from));
    all
}
