//! How well a ball screen was disguised.

/// What the earlier games say about one ball screen.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Disguise {
    /// −log2 of how likely it was to come next; `None` when no game came before.
    pub surprise_bits: Option<f32>,
    /// There is an entry, and the team's own record made another action likelier.
    pub disguised: bool,
    /// How much later than the median of their team in that coverage the screener's defender was in place, s; `None` when one
    /// of the two is not known.
    pub lag_s: Option<f32>,
}
