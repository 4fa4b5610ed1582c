//! How a model is fitted.

/// How a model is fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct FitParams {
    /// Rounds of trees.
    pub rounds: usize,
    /// The share of each step that is taken.
    pub rate: f64,
    /// Most leaves of a tree; more than 32 count as 32.
    pub leaves: usize,
    /// Fewest rows of a leaf.
    pub rows_in_leaf: usize,
    /// How strongly leaves are drawn toward 0: the ridge's factor.
    pub ridge: f64,
    /// A split that gains no more than this is not made.
    pub least_gain: f64,
    /// The share of the evidence that each tree may look at.
    pub share_of_evidence: f64,
    /// The seed of that choice.
    pub seed: u64,
}

impl Default for FitParams {
    fn default() -> Self {
        Self {
            rounds: 200,
            rate: 0.06,
            leaves: 8,
            rows_in_leaf: 12,
            ridge: 3.0,
            least_gain: 1e-6,
            share_of_evidence: 0.5,
            seed: 1,
        }
    }
}
