//! How often tags are right: what a season needs to know before it can tell true rates from seen ones.

use std::collections::BTreeMap;

use scrim_tables::tags::{Coverage, Entry};
use serde::{Deserialize, Serialize};

use crate::SeasonError;
use crate::stats::TagErrors;

/// How tags came out on labelled games. `scrim score --tagging FILE` measures it. Default: nothing is known, and
/// `tendencies.rate_adjusted` stays empty: how often tags are right depends on the league, the cameras and who labels.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TaggingParams {
    /// Whether a half-court possession has a ball screen: what rates of `look` count by.
    pub ball_screen: TagCounts,
    /// Each word of `entries.entry`, over ball screens that were found and whose entry is labelled.
    pub entry: BTreeMap<Entry, TagCounts>,
    /// Each word of `coverages.coverage`, over ball screens that were found, whose coverage is labelled, and which have a clear
    /// one in the tables.
    pub coverage: BTreeMap<Coverage, TagCounts>,
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
    pub(crate) fn errors(self) -> TagErrors {
        TagErrors {
            yes: (self.labelled, self.found),
            no: (self.others, self.passed),
        }
    }

    fn check(self) -> Result<(), SeasonError> {
        if self.found > self.labelled || self.passed > self.others {
            return Err(SeasonError::Parameter {
                key: "tagging",
                found: format!(
                    "found {} of {} labelled, passed {} of {} others",
                    self.found, self.labelled, self.passed, self.others
                ),
                expected: "found at most labelled, and passed at most others",
            });
        }
        Ok(())
    }
}

impl TaggingParams {
    /// Checks that no count is larger than what it is of.
    pub(crate) fn check(&self) -> Result<(), SeasonError> {
        let all = self.entry.values().chain(self.coverage.values());
        all.chain([&self.ball_screen])
            .try_for_each(|counts| counts.check())
    }
}
