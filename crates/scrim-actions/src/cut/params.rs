//! The parameters of the cuts.

use serde::{Deserialize, Serialize};

/// What counts as a cut, and as which. Words: vocabulary, "Off-ball motion"; it names the kinds and gives no numbers, so
/// every number is common practice, no source.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CutParams {
    /// What counts as one run.
    pub bout: BoutParams,
    /// How a run is named by where it leads.
    pub naming: NamingParams,
    /// How a run is tied to a screen.
    pub tie: TieParams,
}

/// What counts as one run of an attacker without the ball.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BoutParams {
    /// A run begins and ends where he crosses this speed, m/s. Default 1.0: below it he stands (vocabulary, "Screens").
    pub edge_mps: f32,
    /// It is a run only if he is once as fast as this, m/s. Default 2.0: about where a walk ends.
    pub min_peak_mps: f32,
    /// And only if it leads this far from where it began, m. Default 2.0: less is a step to keep one's spacing.
    pub min_net_m: f32,
    /// A run this much faster than that is one all but surely (the doubt left is 1/e of what it was), m/s. Default 0.4.
    pub peak_scale_mps: f32,
    /// The same for how far it leads, m. Default 0.5.
    pub net_scale_m: f32,
    /// Who has the ball this near, m, ... Default 1.5.
    pub ball_near_m: f32,
    /// ... for more than this share of a run, has it, whatever is told of touches. Default 0.5.
    pub max_ball_share: f32,
    /// Who lets go of the ball while he is this fast carries on his drive: no cut, m/s. Default 2.0.
    pub drive_mps: f32,
    /// A pause up to this does not end a run that goes on the same way, s. Default 0.3.
    pub max_pause_s: f32,
    /// He arrives, and what follows is another run, when he slows down to this share of his highest speed
    /// before and after.
    /// Default 0.5.
    pub stop_speed_share: f32,
    /// The same when he turns there: who curls round a screen keeps his speed. Default 0.7.
    pub turn_speed_share: f32,
    /// What counts as a turn, degrees. Default 60.
    pub turn_deg: f32,
    /// Who comes this near the hoop and turns out again has ended one run there, m. Default 3.0.
    pub rim_m: f32,
    /// What counts as a turn there, from the whole way in to the whole way out, degrees (a way through along the baseline is
    /// straight). Default 30.
    pub rim_turn_deg: f32,
    /// A turn is told from the ways of this long before and after, s. Default 0.6.
    pub turn_reach_s: f32,
}

impl Default for BoutParams {
    fn default() -> Self {
        Self {
            edge_mps: 1.0,
            min_peak_mps: 2.0,
            min_net_m: 2.0,
            peak_scale_mps: 0.4,
            net_scale_m: 0.5,
            ball_near_m: 1.5,
            max_ball_share: 0.5,
            drive_mps: 2.0,
            max_pause_s: 0.3,
            stop_speed_share: 0.5,
            turn_speed_share: 0.7,
            turn_deg: 60.0,
            rim_m: 3.0,
            rim_turn_deg: 30.0,
            turn_reach_s: 0.6,
        }
    }
}

/// How a run is named by where it leads. Places are told in the attack frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NamingParams {
    /// A run that ends this far inside its place bears its name all but surely (the doubt left is 1/e), m. Default 0.4.
    pub margin_scale_m: f32,
    /// A run leads to the rim when it ends this near the hoop, m. Default 3.0 (a roll's limit: vocabulary).
    pub rim_m: f32,
    /// ... and this much nearer than it began, m. Default 2.0.
    pub come_in_m: f32,
    /// The perimeter begins this far inside the three-point line, m. Default 0.6.
    pub perimeter_inside_m: f32,
    /// The baseline's strip, corners included, reaches this far before the hoop, m. Default 3.2.
    pub low_x_m: f32,
    /// A corner's |y| is at least this, m. Default 4.2.
    pub corner_y_m: f32,
    /// A wing's |y| is at least this, m. Default 3.9.
    pub wing_y_m: f32,
    /// A baseline cut begins and ends this far off the middle, m. Default 3.5.
    pub through_y_m: f32,
    /// A flash comes nearer to the ball by this, m. Default 1.5.
    pub flash_closing_m: f32,
    /// He passed the ball at most this long before a rub cut, s. Default 2.5.
    pub after_pass_s: f32,
    /// He passes a screener within this, m. Default 1.6 (vocabulary, "Screens").
    pub pass_by_m: f32,
    /// Speed under which a team-mate may be screening, m/s. Default 1.0 (vocabulary, "Screens").
    pub standing_mps: f32,
    /// A denying defender stands this near to the line from his man to the ball, m. Default 0.6.
    pub denying_lane_m: f32,
    /// ... and this near to his man, m. Default 1.5.
    pub denying_gap_m: f32,
    /// ... and no more than this nearer to the hoop than his man, m. Default 1.3.
    pub denying_depth_m: f32,
}

impl Default for NamingParams {
    fn default() -> Self {
        Self {
            margin_scale_m: 0.4,
            rim_m: 3.0,
            come_in_m: 2.0,
            perimeter_inside_m: 0.6,
            low_x_m: 3.2,
            corner_y_m: 4.2,
            wing_y_m: 3.9,
            through_y_m: 3.5,
            flash_closing_m: 1.5,
            after_pass_s: 2.5,
            pass_by_m: 1.6,
            standing_mps: 1.0,
            denying_lane_m: 0.6,
            denying_gap_m: 1.5,
            denying_depth_m: 1.3,
        }
    }
}

/// How a run is tied to a screen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TieParams {
    /// A screen's use may lie this long before or after the run of its user, s. Default 0.4.
    pub use_slack_s: f32,
    /// A screener leaves his screen: his run begins at most this long before its use, or after its end, s. Default 0.8.
    pub leave_slack_s: f32,
    /// ... and this near to its spot, m. Default 2.0.
    pub leave_spot_m: f32,
    /// A screener comes to his screen: his run ends at most this long before he is set, or after its use, s. Default 0.8.
    pub come_slack_s: f32,
    /// ... and this near to its spot, m. Default 1.5.
    pub come_spot_m: f32,
}

impl Default for TieParams {
    fn default() -> Self {
        Self {
            use_slack_s: 0.4,
            leave_slack_s: 0.8,
            leave_spot_m: 2.0,
            come_slack_s: 0.8,
            come_spot_m: 1.5,
        }
    }
}
