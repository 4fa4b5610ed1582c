//! The detector's parameters.

use scrim_tables::tags::ScreenKind;
use serde::{Deserialize, Serialize};

use crate::ScreenCorrection;

/// When a team-mate away from the ball counts as a screener, and when a screen is over. Words and values: vocabulary,
/// "Screens"; where it is silent, common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OffBallScreenParams {
    /// The user passes the screener within this, m. Default 1.6 (vocabulary).
    pub use_gap_m: f32,
    /// Who has stood longer than this at the use, stood there anyway: `set` is not known, s. Default 4.0.
    pub longest_set_s: f32,
    /// A user who passed the ball this long before the use, or less, may have come off a rub, s. Default 4.0.
    pub after_pass_s: f32,
    /// A screen whose way fits no kind so well is `other`, 0 to 1. Default 0.2: the highest at which no kind that was right on
    /// labelled real possessions is lost (0.35 loses 2 of 63, 0.5 loses 4).
    pub min_kind_fit: f32,
    /// By so much a broader kind must fit better than a narrower one inside it: rub, cross, flex, zipper and over_top come
    /// before exit, flare, back and down. Default 0.35.
    pub narrow_kind_lead: f32,
    /// The screen is over this long after the use, s. Default 2.5 (vocabulary).
    pub end_after_use_s: f32,
    /// The screen is over when both are this far from its spot, m. Default 2.5 (vocabulary).
    pub end_apart_m: f32,
    /// Two screens for one user within this are a stagger, s. Default 1.5 (vocabulary).
    pub stagger_s: f32,
    /// Two tellings of the same two within this are one screen, s. Default 2.5.
    pub same_s: f32,
    /// Two screeners for one user within this of each other, m ... Default 1.5.
    pub same_spot_m: f32,
    /// ... and this soon after each other are one screen, and the surer stands, s; else they are a stagger. Default 1.0.
    pub same_spot_s: f32,
    /// Of two screens of the same two in turned roles within this only the surer is one, s: a screener on his way to his
    /// spot runs by the man he will screen for. Default 4.0.
    pub reversed_s: f32,
    /// A defender who was hit had the screener this near, or nearer, m ... Default 1.0.
    pub hit_gap_m: f32,
    /// ... and is this far behind the user 0.8 s after the use, or farther, m. Default 1.8.
    pub hit_behind_m: f32,
    /// When a screen that nobody used is one.
    pub parted: PartedParams,
    /// Rows less sure than this are not written. Default 0.2: where two of three plain screens of labelled real possessions are
    /// found (cross-validated).
    pub min_confidence: f32,
    /// The same for screens over the top, exits and those without a name: no label of a real possession is called so, and there
    /// is much that looks like one. Default 0.7: with less, simulated games that
    /// this project did not make had more of them than they hold.
    pub min_rare_confidence: f32,
    /// How the model's answers are corrected; `scrim tune` fits it to labels. Default: not at all.
    pub correction: ScreenCorrection,
}

impl Default for OffBallScreenParams {
    fn default() -> Self {
        Self {
            use_gap_m: 1.6,
            longest_set_s: 4.0,
            after_pass_s: 4.0,
            min_kind_fit: 0.2,
            narrow_kind_lead: 0.35,
            end_after_use_s: 2.5,
            end_apart_m: 2.5,
            stagger_s: 1.5,
            same_s: 2.5,
            same_spot_m: 1.5,
            same_spot_s: 1.0,
            reversed_s: 4.0,
            hit_gap_m: 1.0,
            hit_behind_m: 1.8,
            parted: PartedParams::default(),
            min_confidence: 0.2,
            min_rare_confidence: 0.7,
            correction: ScreenCorrection::PLAIN,
        }
    }
}

impl OffBallScreenParams {
    /// How sure a screen of this kind must be.
    pub(super) const fn least_confidence(&self, kind: ScreenKind) -> f32 {
        match kind {
            ScreenKind::OverTop | ScreenKind::Exit | ScreenKind::Other => self.min_rare_confidence,
            ScreenKind::Down
            | ScreenKind::Back
            | ScreenKind::Rub
            | ScreenKind::Cross
            | ScreenKind::Flex
            | ScreenKind::Flare
            | ScreenKind::Zipper
            | ScreenKind::BallScreen
            | ScreenKind::Handoff => self.min_confidence,
        }
    }
}

/// When a screen that nobody used (rejected, slipped or unused) is one: team-mates stand near each other all the time, so
/// nothing short of a man who comes a long way, stops where a screen of some kind would be, and has a waiting team-mate
/// with his defender there counts. Limits are chosen on practice games that no accuracy figure uses (seeds 8002, 8003).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PartedParams {
    /// The screener came this far in the 1.5 s before, m. Default 3.2.
    pub min_arrival_m: f32,
    /// The user's defender is this near the screener when he is set, m ... Default 4.0.
    pub defender_near_m: f32,
    /// ... and comes, or is, this near before the two part, m. Default 2.8.
    pub beside_defender_m: f32,
    /// The user is this near the screener when he is set, m ... Default 3.9.
    pub user_near_m: f32,
    /// ... and comes, or is, this near before the two part, m. Default 2.3.
    pub beside_user_m: f32,
    /// A user who goes away after he was nearer than this has come off the screen, not rejected it, m. Default 1.5.
    pub past_gap_m: f32,
    /// He has his defender this near when the screener is set, m. Default 3.2.
    pub guarded_m: f32,
    /// Slower than this the user waits, m/s. Default 1.3.
    pub waiting_speed_mps: f32,
    /// The handler is at least so far from the screener, else it is a matter of the ball, m. Default 5.5.
    pub handler_away_m: f32,
    /// A user who goes covers this in 0.8 s, m. Default 1.6.
    pub go_m: f32,
    /// He rejects the screen when he goes at least at this angle from the direction to the screener, degrees. Default 100.
    pub reject_angle_deg: f32,
    /// A screener who has left is this far from his spot, m. Default 0.8.
    pub leave_m: f32,
    /// A screener who leaves earlier than this slips, if it is to the rim, s. Default 3.0.
    pub slip_within_s: f32,
    /// He is this much nearer the hoop 0.8 s later, m. Default 1.2.
    pub slip_toward_hoop_m: f32,
    /// An unused screen stood at least so long, s. Default 1.2.
    pub min_unused_s: f32,
    /// Nobody waits longer than this, s. Default 3.0.
    pub longest_wait_s: f32,
    /// The spot is at least so far from the hoop: nearer to it everyone stands beside someone, m. Default 4.0.
    pub from_hoop_m: f32,
    /// A way past the screener would fit a kind at least so well, 0 to 1. Default 0.95.
    pub min_kind_fit: f32,
    /// How sure such a row is: one value for all, the share of them that were right on those games. Default 0.75.
    pub confidence: f32,
}

impl Default for PartedParams {
    fn default() -> Self {
        Self {
            min_arrival_m: 3.2,
            defender_near_m: 4.0,
            beside_defender_m: 2.8,
            user_near_m: 3.9,
            beside_user_m: 2.3,
            past_gap_m: 1.5,
            guarded_m: 3.2,
            waiting_speed_mps: 1.3,
            handler_away_m: 5.5,
            go_m: 1.6,
            reject_angle_deg: 100.0,
            leave_m: 0.8,
            slip_within_s: 3.0,
            slip_toward_hoop_m: 1.2,
            min_unused_s: 1.2,
            longest_wait_s: 3.0,
            from_hoop_m: 4.0,
            min_kind_fit: 0.95,
            confidence: 0.75,
        }
    }
}
