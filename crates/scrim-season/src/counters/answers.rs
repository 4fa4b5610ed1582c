//! What the runs of a set were answered with.

use std::collections::{BTreeMap, BTreeSet};

use scrim_tables::Id;
use scrim_tables::tags::{Coverage, RunResult, TeamSide};

/// What a run was answered with is counted by this.
pub(super) type Situation = (Option<Id>, TeamSide, Coverage, String, RunResult);

/// How often, in which games, and by what.
#[derive(Debug, Default)]
pub(super) struct Answers {
    pub n: u32,
    pub games: BTreeSet<u32>,
    pub by_word: BTreeMap<String, u32>,
}
