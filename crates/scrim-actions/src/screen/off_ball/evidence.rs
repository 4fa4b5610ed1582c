//! What the model off the ball looks at: the evidence of the four, and what the user's run adds to it.

use crate::PairEvidence;
use crate::screen::declare::{evidence, joined};

evidence! {
    /// The evidence of a run past a team-mate. Distances m, speeds m/s, angles degrees, times s; NaN where it was not seen.
    RunEvidence;
    /// How far the user came.
    came_m,
    /// How far the user went.
    went_m,
    /// From where the run began to the screener's spot.
    from_spot_m,
    /// The user's highest speed.
    run_mps,
    /// How far the screener moved just before.
    drift_m,
    /// How far the screener came to the spot.
    arrival_m,
    /// How long the screener has stood; 0 for one who never stood.
    settled_there_s,
    /// How far the user's direction from the screener turned.
    past_deg,
    /// The user's defender to the screener, least.
    defender_least_m,
    /// The user's defender to the user, least before the screen.
    guarded_m,
    /// How many others are near the screener.
    crowd_there,
    /// Time since the half-court part began.
    half_court_s,
    /// How far before the hoop the user last stood.
    runs_in_from_m,
    /// Since the user had the ball; 9 when that is long ago.
    since_user_touch_s,
    /// Since the possession's last shot; 9 when there was none.
    since_shot_s,
    /// 1 when the user comes from a ball screen that they set.
    user_rolls,
    /// 1 when the user is on the way to set one.
    user_comes_up,
    /// 1 when the screener is setting one.
    screener_busy,
    /// How well the first of the names fits, 0 to 1; 0 when none fits at all.
    kind_fit,
    /// The ball to the spot.
    ball_from_spot_m,
    /// How much nearer the hoop the run leads.
    run_toward_hoop_m,
    /// How much nearer the ball the run leads.
    run_toward_ball_m,
}

/// How many pieces of evidence the model off the ball has.
const EVIDENCE: usize = PairEvidence::NAMES.len() + RunEvidence::NAMES.len();

/// The evidence off the ball: that of the four, then that of the run.
pub type OffBallEvidence = [f32; EVIDENCE];

/// The names of [`OffBallEvidence`], in its order.
pub fn off_ball_evidence_names() -> [&'static str; EVIDENCE] {
    joined(&PairEvidence::NAMES, &RunEvidence::NAMES)
}

/// The two parts of the evidence, put together.
pub(super) fn evidence_of(four: &PairEvidence, run: &RunEvidence) -> OffBallEvidence {
    joined(&four.values(), &run.values())
}
