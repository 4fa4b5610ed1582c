//! What `scrim sweep` writes.

use crate::column::Id;
use crate::rows::declare::tables;

tables! {
    /// One measure of one varied parameter in one cell of a sweep's grid: how large it is over the sample of games, and how much of
    /// what was counted is other than by the pipeline's own values. Written by `scrim sweep` alone, never by a run. In a grid of several
    /// parameters each cell has its rows once for each of them.
    ///
    /// | measure | `measured` | what can change |
    /// |---|---|---|
    /// | `TABLE` | its rows a game | a row appears or vanishes |
    /// | `TABLE.COLUMN` | null | a row appears, vanishes, or has another word |
    /// | `TABLE.COLUMN.WORD` | share of the table's rows that have the word | a row with the word appears or vanishes, or a row gains or loses the word |
    SweepRow = "sweep" of Run {
        /// Number of the cell in the grid, from 0; the last parameter varies fastest.
        cell: u32,
        /// The key of the varied parameter.
        parameter: Id,
        /// Its value in the cell.
        #[unit = "of the parameter"]
        value: f64,
        /// Its value in the pipeline.
        #[unit = "of the parameter"]
        own_value: f64,
        /// What is counted.
        measure: Id,
        /// How large it is. Null: of all words of a column together, or a share of no rows.
        #[unit = "rows a game, or share, 0 to 1"]
        measured: Option<f64>,
        /// The same with all parameters as the pipeline has them. Null: as `measured`.
        #[unit = "rows a game, or share, 0 to 1"]
        own_measured: Option<f64>,
        /// Of the rows that the measure is about in the cell or with the pipeline's own values, the part that is not the same in both.
        /// Null: there are none.
        changed_share: Option<f64>,
        /// Rows that the measure counts in the cell.
        rows: u64,
        /// Games in the sample.
        games: u32,
    }
}
