//! When play is live.

/// Whether play is live, frame by frame, from the clock alone; without a clock all is live.
pub(crate) fn find_live(running: &[Option<bool>]) -> Vec<bool> {
    running.iter().map(|runs| runs.unwrap_or(true)).collect()
}
