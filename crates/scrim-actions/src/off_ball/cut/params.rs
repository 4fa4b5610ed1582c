//! What a user may set of the cuts.

scrim_floor::parameters! {
    /// What counts as a cut.
    pub struct CutParams {
        /// A run is a cut only if the player is once as fast as this: about where a walk ends.
        min_peak_mps: f32 = 2.0, in 0.0..=15.0;
        /// A run is a cut only if it leads this far from where it began: less is a step to keep spacing.
        min_net_m: f32 = 2.0, in 0.0..=20.0;
    }
}
