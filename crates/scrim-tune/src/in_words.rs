//! What was fitted of coverages and how it did, in words.

use std::fmt;

use scrim_statistics::Interval;

use crate::{Grouping, Tuned, Verdict};

impl fmt::Display for Tuned {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "Coverages, fitted to {} labelled ball screens of {} and {}",
            self.before.n,
            counted(self.games, "game"),
            counted(self.possessions, "possession"),
        )?;
        if self.thin > 0 {
            writeln!(
                f,
                "  {} of them are seen too thinly: `unclear` before and after",
                self.thin
            )?;
        }
        writeln!(f, "\n  word      labels")?;
        for word in &self.words {
            let note = match (word.labels, word.is_fitted) {
                (_, true) => "",
                (0, false) => "  never labelled: its weights stay, and how well it is read is not known",
                (_, false) => "  too few: its weights stay",
            };
            writeln!(f, "  {:<8} {:>7}{note}", word.word, word.labels)?;
        }
        held_out(f, self.grouping, self.folds, self.ridge)?;
        let both = [&self.before, &self.after];
        figure(f, "log loss", both.map(|m| m.log_loss), Some(self.log_loss_gain))?;
        figure(f, "macro-F1", both.map(|m| m.macro_f1), Some(self.macro_f1_gain))?;
        figure(f, "accuracy", both.map(|m| m.accuracy), None)?;
        figure(f, "calibration error", both.map(|m| m.calibration_error), None)?;
        writeln!(
            f,
            "  unclear            {:>7} {:>7}",
            self.before.unclear, self.after.unclear
        )?;
        writeln!(
            f,
            "  Log loss pays for right words and honest confidence alike; less is better, and its gain counts upward."
        )?;
        match self.verdict {
            Verdict::Gain => writeln!(
                f,
                "Gain: the fitted decision does better on what it has not seen."
            ),
            Verdict::NoGain => writeln!(
                f,
                "No gain: on what it has not seen the fitted decision does no better beyond chance, or macro-F1 is lower. The \
                 model stays as it is."
            ),
        }
    }
}

/// What was held out, and the head of a table of figures.
pub(crate) fn held_out(
    f: &mut fmt::Formatter<'_>,
    grouping: Grouping,
    folds: usize,
    ridge: f64,
) -> fmt::Result {
    let apart = match grouping {
        Grouping::Games => "whole games",
        Grouping::PossessionBlocks => "stretches of possessions of the one game",
    };
    writeln!(
        f,
        "  Cross-validated: on what was held out ({apart}, {folds} folds; ridge {ridge}, which holds the weights back, chosen apart \
         from what is held out)"
    )?;
    if grouping == Grouping::PossessionBlocks {
        writeln!(
            f,
            "  One game only: its players and schemes are on both sides, so another game may gain less. Label a second one."
        )?;
    }
    writeln!(
        f,
        "                      before   after    gain [95 %, by possession]"
    )
}

/// A figure before and after, and what was gained where that is known.
pub(crate) fn figure(
    f: &mut fmt::Formatter<'_>,
    name: &str,
    [before, after]: [f64; 2],
    gain: Option<Interval>,
) -> fmt::Result {
    write!(f, "  {name:<18} {before:>7.3} {after:>7.3}")?;
    if let Some(gain) = gain {
        write!(f, " {:>+7.3} [{:+.3}, {:+.3}]", gain.value, gain.low, gain.high)?;
    }
    writeln!(f)
}

pub(crate) fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}
