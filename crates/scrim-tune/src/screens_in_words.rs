//! What was fitted of screens and how it did, in words.

use std::fmt;

use crate::in_words::{counted, figure, held_out};
use crate::{Family, TunedScreens, Verdict};

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
        let both = [&self.before, &self.after];
        figure(f, "F1", both.map(|m| m.f1), Some(self.f1_gain))?;
        figure(f, "log loss", both.map(|m| m.log_loss), Some(self.log_loss_gain))?;
        figure(f, "precision", both.map(|m| m.precision), None)?;
        figure(f, "recall", both.map(|m| m.recall), None)?;
        for (name, [before, after]) in [
            ("found", both.map(|m| m.hits)),
            ("false alarms", both.map(|m| m.false_alarms)),
            ("in doubt", both.map(|m| m.in_doubt)),
        ] {
            writeln!(f, "  {name:<18} {before:>7} {after:>7}")?;
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
