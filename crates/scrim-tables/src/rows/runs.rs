//! What made the tables.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::Verdict;

tables! {
    /// One game of one run of the program, or a source or season that it could not do: what it was made from, by which program and
    /// parameters, and what became of it. The only table that holds times: two runs over the same input differ in it, and in
    /// nothing else.
    RunRow = "runs" of Run {
        /// The run: its start and the beginning of a hash.
        run_id: Id,
        /// When the run began, UTC (RFC 3339).
        started: Id,
        /// When the run had written all other tables, UTC (RFC 3339).
        ended: Id,
        /// The program's version.
        program_version: Id,
        /// Version of the tables' columns.
        schema_version: Id,
        /// The pipeline's name.
        pipeline: Id,
        /// All parameters, defaults included, as TOML: a pipeline file that does the same again.
        parameters: Id,
        /// SHA-256 of `parameters`, lower-case hexadecimal; the footer of a season's or a run's file has it as `parameters_hash`.
        parameters_hash: Id,
        /// SHA-256 of those parameters that a game's tables depend on (all but the name, the season's and the reports'), as TOML; the
        /// footer of a game's file has it as `parameters_hash`.
        game_parameters_hash: Id,
        /// The source's name, or what else could not be done. Null: the row is about a season as a whole.
        source: Option<Id>,
        /// SHA-256 of the source's files, one after the other, each before it its name and length. Null: the row is about no source, or
        /// a file could not be read.
        input_hash: Option<Id>,
        /// The season. Null: the source was given up before it was known.
        season: Option<Id>,
        /// The game. Null: the row is about a whole source or season.
        game_id: Option<Id>,
        /// What became of it.
        verdict: Verdict,
        /// Why it is not good, or was skipped. Null: it is good, or the row is about a season.
        reason: Option<String>,
        /// Possessions found. Null: the row is about no game, or it was skipped.
        possessions: Option<u32>,
        /// Ball screens found. Null: the row is about no game, or it was skipped.
        ball_screens: Option<u32>,
        /// Handoffs found. Null: the row is about no game, or it was skipped.
        handoffs: Option<u32>,
        /// Rows of the game that were refused. Null: the row is about no game, or it was skipped.
        rows_quarantined: Option<u64>,
    }
}
