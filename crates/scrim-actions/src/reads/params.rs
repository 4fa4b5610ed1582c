//! What a user may set of the reads.

use super::CoverageModel;

scrim_floor::parameters! {
    /// How coverages and options are read. Where one word ends and the next begins is in `[definitions]`.
    pub struct ReadParams {
        /// Coverages less sure than this are `unclear`.
        min_confidence: f32 = 0.3, in 0.0..=1.0;
        /// A correction of the coverage model, fitted to labels of your own; a section a word. Plain: the model as it is.
        coverage_model: CoverageModel;
    }
}
