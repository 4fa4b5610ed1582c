//! What was fitted of screens and how it did, in words.

use std::fmt;

use crate::in_words::{counted, held_out};
use crate::{Family, ScreensMeasured, TunedScreens, Verdict};

/// With fewer labels a caution is printed: the interval of F1 is then some hundredths wide either way.
const FEW_LABELS: usize = 200;

impl fmt::Display for TunedScreens {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{}, fitted to {} candidates of {}",
            self.family.name(),
            self.candidates,
            counted(self.games, "game"),
        )?;
        let share = 100.0 * self.matched as f64 / self.labels.max(1) as f64;
        writeln!(
            f,
            "  {} of {} labels ({share:.0} %) have a candidate: the same two players within 1 s",
            self.matched, self.labels
        )?;
        if self.labels < FEW_LABELS {
            writeln!(
                f,
                "  Caution: fewer than {FEW_LABELS} labels. Take the figures as a first look, and label another game."
            )?;
        }
        held_out(f, self.grouping, self.folds, self.ridge)?;
        let line = |f: &mut fmt::Formatter<'_>, name, of: fn(&ScreensMeasured) -> f64| {
            writeln!(
                f,
                "  {name:<18} {:>7.3} {:>7.3}",
                of(&self.before),
                of(&self.after)
            )
        };
        for (name, of, interval) in [
            ("F1", (|m| m.f1) as fn(&ScreensMeasured) -> f64, self.f1_gain),
            ("log loss", |m| m.log_loss, self.log_loss_gain),
        ] {
            writeln!(
                f,
                "  {name:<18} {:>7.3} {:>7.3} {:>+7.3} [{:+.3}, {:+.3}]",
                of(&self.before),
                of(&self.after),
                interval.value,
                interval.low,
                interval.high
            )?;
        }
        line(f, "precision", |m| m.precision)?;
        line(f, "recall", |m| m.recall)?;
        for (name, of) in [
            ("found", (|m| m.hits) as fn(&ScreensMeasured) -> usize),
            ("false alarms", |m| m.false_alarms),
            ("in doubt", |m| m.in_doubt),
        ] {
            writeln!(f, "  {name:<18} {:>7} {:>7}", of(&self.before), of(&self.after))?;
        }
        let limit = |f: &mut fmt::Formatter<'_>, name, before: f32, after: f32| {
            writeln!(f, "  {name:<22} {before:>7} {after:>7}")
        };
        writeln!(f, "  Limits, fitted to all labels:")?;
        limit(
            f,
            "min_confidence",
            self.own.min_confidence,
            self.decision.min_confidence,
        )?;
        if self.family == Family::OnBall {
            limit(
                f,
                "min_handoff_confidence",
                self.own.min_handoff_confidence,
                self.decision.min_handoff_confidence,
            )?;
        }
        match self.verdict {
            Verdict::Gain => writeln!(
                f,
                "Gain: the fitted decision does better on what it has not seen."
            ),
            Verdict::NoGain => writeln!(
                f,
                "No gain: on what it has not seen the fitted decision finds screens no better, or not beyond chance. The model \
                 and its limits stay as they are."
            ),
        }
    }
}
