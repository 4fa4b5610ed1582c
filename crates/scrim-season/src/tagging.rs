//! How often tags are right: what a season needs to know before it can correct the rates that it sees.

use std::collections::BTreeMap;

use scrim_floor::parameter::fitted;
use scrim_floor::{Parameter, ParameterError, Parameters};
use scrim_tables::tags::{Coverage, Entry};
use serde::{Deserialize, Serialize};

use scrim_statistics::{Misread, TagErrors};

/// How tags came out on labelled games. `scrim score --tagging FILE` measures it. Default: nothing is known, and
/// `rate_adjusted` of `tendencies` and `counters` stays empty: how often tags are right depends on the league, the cameras and who labels.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TaggingParams {
    /// Whether a half-court possession has a ball screen: what rates of `look` count by.
    pub ball_screen: TagCounts,
    /// Each word of `entries.entry`, over ball screens that were found and whose entry is labelled.
    pub entry: BTreeMap<Entry, TagCounts>,
    /// Each labelled word of `coverages.coverage`, and how often the tables have which word then: over ball screens that were found,
    /// whose coverage is labelled, and which have a clear one in the tables. A word with fewer than 10 labels is not adjusted for in
    /// `counters`; when one with more is read right in no more than 6 of 10 cases, reading says too little and none is.
    pub coverage: BTreeMap<Coverage, BTreeMap<Coverage, u32>>,
}

/// Labelled cases, and how the tables tagged them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TagCounts {
    /// Cases that the labels call so. Default 0: not measured.
    pub labelled: u32,
    /// Those of them that the tables call so too: with `labelled`, the tag's sensitivity. Default 0.
    pub found: u32,
    /// Cases that the labels call otherwise. Default 0: not measured.
    pub others: u32,
    /// Those of them that the tables call otherwise too: with `others`, the tag's specificity. Default 0.
    pub passed: u32,
}

impl TagCounts {
    /// One word against all others, from how often each labelled word has which word in the tables.
    pub fn of<W: Ord>(read: &BTreeMap<W, BTreeMap<W, u32>>, word: W) -> Self {
        let mut counts = Self::default();
        for (labelled, seen) in read {
            let all = seen.values().fold(0_u32, |sum, count| sum.saturating_add(*count));
            let so = seen.get(&word).copied().unwrap_or(0);
            if *labelled == word {
                (counts.labelled, counts.found) = (all, so);
            } else {
                counts.others = counts.others.saturating_add(all);
                counts.passed = counts.passed.saturating_add(all.saturating_sub(so));
            }
        }
        counts
    }

    pub(crate) fn errors(self) -> TagErrors {
        TagErrors {
            yes: (self.labelled, self.found),
            no: (self.others, self.passed),
        }
    }
}

impl Parameters for TaggingParams {
    /// Checks that no count is larger than what it is of, and that coverages are words, not the lack of one.
    fn check_in(&self, section: &str) -> Result<(), ParameterError> {
        let unclear = Coverage::Unclear;
        let mut words = self.coverage.iter();
        if words.any(|(labelled, read)| *labelled == unclear || read.contains_key(&unclear)) {
            let expected = "coverages that labels and tables commit themselves to, as `scrim score --tagging` writes them";
            return Err(ParameterError::new(section, "coverage", &unclear, expected));
        }
        for counts in self.entry.values().chain([&self.ball_screen]) {
            if counts.found > counts.labelled || counts.passed > counts.others {
                let found = format!(
                    "found {} of {} labelled, passed {} of {} others",
                    counts.found, counts.labelled, counts.passed, counts.others
                );
                let expected = "found at most labelled, and passed at most others";
                return Err(ParameterError::new(section, "entry", &found, expected));
            }
        }
        Ok(())
    }

    fn list_in(section: &str, list: &mut Vec<Parameter>) {
        list.push(Parameter {
            values: "what `scrim score --tagging` writes".into(),
            source: "measured on labelled games",
            ..fitted(
                section,
                "How often tags are right. Empty: not known, and rates are not adjusted.",
            )
        });
    }
}

impl TaggingParams {
    /// One coverage against all others; `None` when it was never labelled.
    pub(crate) fn coverage_counts(&self, word: Coverage) -> Option<TagCounts> {
        self.coverage
            .get(&word)
            .map(|_| TagCounts::of(&self.coverage, word))
    }

    /// How coverages are read; `None` when too little is known of it. Words by their place in [`Coverage::ALL`].
    pub(crate) fn coverage_misread(&self) -> Option<Misread> {
        let count = |labelled, seen| {
            let read = self.coverage.get(labelled);
            read.and_then(|read: &BTreeMap<Coverage, u32>| read.get(seen))
                .copied()
                .unwrap_or(0)
        };
        let counts: Vec<Vec<u32>> = Coverage::ALL
            .iter()
            .map(|labelled| Coverage::ALL.iter().map(|seen| count(labelled, seen)).collect())
            .collect();
        Misread::of(&counts)
    }
}
