//! What people marked of a game's video: kept in the game's manifest, so that a game that is made again keeps it.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::manifest::FileFacts;

/// What a person saw: at this time of the video the scoreboard turned to this clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct VideoMark {
    /// The period, from 1.
    pub period: u8,
    /// Milliseconds from the beginning of the video.
    pub video_ms: u32,
    /// Whole seconds that the scoreboard shows as left.
    pub clock_s: u32,
}

/// The marks of a game, and what its row of `games` is without them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MarkedVideo {
    /// The marks, of all its periods.
    pub marks: BTreeSet<VideoMark>,
    /// The periods of which the source itself says where the video is; it counts, and their marks do not.
    pub given_periods: BTreeSet<u8>,
    /// The file of `games` as it would be without marks: by it a season knows that nothing has changed that it reads.
    pub unmarked: FileFacts,
}
