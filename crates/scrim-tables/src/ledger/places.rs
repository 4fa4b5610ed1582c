//! Where all that is no table is.

/// The folder of all that is not a table.
pub const LEDGER: &str = "ledger";

/// Who writes.
pub const LOCK: &str = "ledger/lock";

/// Files on their way, each under its part's name, the beginning of its manifest's hash, and its table.
pub const STAGED: &str = "ledger/staged";
