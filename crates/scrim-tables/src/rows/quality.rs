//! What the source was worth, and what of it was refused.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{RefusalReason, Verdict};

tables! {
    /// A period's tracking: gaps, spikes, the share that can be used, notes.
    GameQualityRow = "game_quality" of Game {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// Instants on the uniform grid.
        frames: u32,
        /// Instants a second of the source.
        hz: f32,
        /// Instants of the grid at which a player on the floor, or the ball, is missing.
        missing_frames: u32,
        /// Samples repaired as spikes.
        spikes_repaired: u32,
        /// Gaps filled.
        gaps_filled: u32,
        /// The longest gap, filled or not.
        #[unit = "s"]
        gap_s_longest: f32,
        /// Rows that repeat an entity's place at an instant.
        duplicate_rows: u32,
        /// Rows refused.
        rows_quarantined: u32,
        /// Whether the ball's height is known.
        ball_height: bool,
        /// Part of live time with ten players and the ball.
        usable_share: f32,
        /// What else is worth knowing.
        notes: String,
        /// Identity swaps repaired.
        swaps_repaired: u32,
        /// What the whole game's data are worth.
        verdict: Verdict,
        /// Why they are not good. Null: they are.
        verdict_reason: Option<String>,
    }
    /// An input row that was refused: where, why, and the row as it was. Rows that name no game have a file a source,
    /// `unknown~~SOURCE.parquet`.
    QuarantineRow = "quarantine" of Game {
        /// The game. Null: it could not be read.
        game_id: Option<Id>,
        /// The file.
        source: Id,
        /// The row in it: lines of a text file from 1 (the header is line 1), rows of a columnar file from 0.
        row: u64,
        /// Why it was refused.
        reason: RefusalReason,
        /// What was found, what was expected, how to fix it.
        detail: String,
        /// The row as it was.
        raw: String,
    }
}
