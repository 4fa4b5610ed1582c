//! What a user may set of reading.

scrim_floor::parameters! {
    /// How sources are read, and what is refused.
    pub struct IngestParams {
        /// The court of a game whose `games` side table and mapping name none.
        court: String = "fiba".into(), either ["fiba", "nba", "ncaa"];
        /// A game is refused as a whole when a larger share of its rows is refused.
        max_refused_share: f64 = 0.5, in 0.0..=1.0;
        /// Places of players and ball that a source may hold in memory at once, in games that have begun and not ended, 24 bytes each; a game that goes beyond it is refused. 75 minutes at 25 Hz are 1.24 million.
        max_held_places: u64 = 40_000_000, in 1..=4_000_000_000;
        fixed {
            /// Refused rows kept a game, one by one; more are counted by reason, in a row of their own.
            max_quarantine_rows: usize = 100_000;
        }
    }
}
