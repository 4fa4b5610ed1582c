//! What one ball screen flowed out of.

use crate::{Cost, FoundEntry};

/// What one ball screen or handoff flowed out of.
#[derive(Debug, Clone, PartialEq)]
pub struct ScreenFlow {
    /// Alignment and chain before it.
    pub look: String,
    /// The look, mirror images merged.
    pub set_key: String,
    /// The action it came out of.
    pub entry: FoundEntry,
    /// What that cost the defence.
    pub cost: Cost,
}
