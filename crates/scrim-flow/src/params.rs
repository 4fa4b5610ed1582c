//! What a user may set of the flow.

use scrim_tables::tags::{CutKind, Outcome};

scrim_floor::parameters! {
    /// How chains and entries are found.
    pub struct FlowParams {
        /// Cuts that are neither tokens of a chain nor entries. The spacing cuts say where the floor was empty, not what was run: they
        /// answer a team-mate's move, and who walks up to screen the ball, or lifts to catch it, makes one on the way.
        left_out_cuts: Vec<CutKind> = vec![CutKind::Lift, CutKind::Drift, CutKind::Fill], words "a list of cut kinds";
        /// An off-ball screen less sure than this is no action either: its row may still be of use, but what a team ran is reported
        /// only where it was seen.
        min_confidence: f32 = 0.3, in 0.0..=1.0, source "chosen on labelled real possessions and practice games";
        fixed {
            /// Outcomes of off-ball screens that are no actions, neither in chains nor as entries: nobody came off them, and players who
            /// stand beside each other before the set begins look like them.
            left_out_outcomes: Vec<Outcome> = vec![Outcome::Unused, Outcome::Rejected];
        }
    }
}
