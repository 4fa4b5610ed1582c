//! What a run needs.

use std::sync::atomic::AtomicBool;

use scrim_tables::{RunInfo, Store};

use crate::inputs::Inputs;
use crate::source_record::Redo;
use crate::summary::SourceSummary;
use crate::{Pipeline, TaggedGame};

/// What a run needs.
pub struct RunPlan<'a> {
    /// What is done.
    pub pipeline: &'a Pipeline,
    /// Where the sources' files come from.
    pub inputs: &'a Inputs,
    /// What the tables' footers say of it.
    pub run: &'a RunInfo,
    /// Where the tables go.
    pub store: &'a dyn Store,
    /// Which sources are done.
    pub redo: Redo,
    /// How many sources are worked on at once, at least 1.
    pub jobs: usize,
    /// Once set, no source and no game is begun.
    pub stop: &'a AtomicBool,
    /// Called with each game that was done, on the worker's thread, in no order.
    pub on_game: &'a (dyn Fn(&TaggedGame) + Sync),
    /// Called with each source that is over, on the worker's thread, in no order.
    pub on_source: &'a (dyn Fn(&SourceSummary) + Sync),
}
