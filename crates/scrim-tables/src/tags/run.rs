//! What became of a game, and why a row was refused.

use super::tag::tags;

tags! {
    /// What a game's data are worth, by measured facts, and what became of it.
    Verdict {
        /// Nothing speaks against its tags.
        Good = "good",
        /// Its tags can be used; some facts fall short.
        Usable = "usable",
        /// It is tagged, and left out of the season tables.
        Poor = "poor",
        /// It was read and is no game that can be tagged: only its `game_quality` and `quarantine` are written, and tables of an earlier run
        /// stay as they are.
        Refused = "refused",
        /// It could not be read or tagged; tables of an earlier run stay as they are.
        Skipped = "skipped",
        /// A season, put together.
        Done = "done",
    }
    /// Why an input row was refused.
    RefusalReason {
        /// A field is missing or empty that must be there.
        MissingField = "missing_field",
        /// A field could not be read as what it should be.
        Unreadable = "unreadable",
        /// A number is outside what can be.
        OutOfRange = "out_of_range",
        /// The same entity at the same instant, again.
        Duplicate = "duplicate",
        /// The entity is not known, or stands for two teams.
        UnknownEntity = "unknown_entity",
        /// The row's instant does not fit its period.
        BadTime = "bad_time",
    }
}
