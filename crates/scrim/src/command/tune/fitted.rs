//! What `tune` fitted, and what it did not.

use scrim_tune::{Tuned, TunedScreens, Verdict};

/// What was fitted; a part that was not has the reason.
pub(super) struct Fitted {
    pub on_ball: Part<TunedScreens>,
    pub off_ball: Part<TunedScreens>,
    pub coverages: Part<Tuned>,
    /// Rows of labels that give the coverage of a screen that was not found.
    pub coverages_not_found: usize,
}

/// A part of a fit: `Err` says why it was not fitted, `None` that it was not wanted.
pub(super) type Part<T> = Option<Result<T, String>>;

fn kept<T>(part: &Part<T>, verdict: impl Fn(&T) -> Verdict) -> Option<&T> {
    let tuned = part.as_ref()?.as_ref().ok()?;
    (verdict(tuned) == Verdict::Gain).then_some(tuned)
}

impl Fitted {
    /// The decisions that do better than what was there, and are written.
    pub(super) fn screens(&self) -> [Option<&TunedScreens>; 2] {
        [&self.on_ball, &self.off_ball].map(|part| kept(part, |tuned| tuned.verdict))
    }

    /// The same of coverages.
    pub(super) fn coverages(&self) -> Option<&Tuned> {
        kept(&self.coverages, |tuned| tuned.verdict)
    }

    pub(super) fn gains(&self) -> bool {
        self.coverages().is_some() || self.screens().iter().any(Option::is_some)
    }

    /// Why nothing could be fitted; `None` when something was.
    pub(super) fn refused(&self) -> Option<String> {
        let screens = [&self.on_ball, &self.off_ball].map(|part| part.as_ref().map(|of| of.as_ref().err()));
        let coverages = self.coverages.as_ref().map(|of| of.as_ref().err());
        let wanted: Vec<Option<&String>> = screens.into_iter().chain([coverages]).flatten().collect();
        let reasons: Vec<&str> = wanted.iter().flatten().map(|reason| reason.as_str()).collect();
        (reasons.len() == wanted.len()).then(|| reasons.join("\n"))
    }
}

impl std::fmt::Display for Fitted {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for part in [&self.on_ball, &self.off_ball] {
            match part {
                Some(Ok(tuned)) => writeln!(f, "{tuned}")?,
                Some(Err(reason)) => writeln!(f, "Not fitted. {reason}\n")?,
                None => {}
            }
        }
        match &self.coverages {
            Some(Ok(tuned)) => {
                writeln!(f, "{tuned}")?;
                if self.coverages_not_found > 0 {
                    writeln!(
                        f,
                        "{} more label rows give the coverage of a screen that was not found.\n",
                        self.coverages_not_found
                    )?;
                }
            }
            Some(Err(reason)) => writeln!(f, "Not fitted. {reason}\n")?,
            None => {}
        }
        Ok(())
    }
}
