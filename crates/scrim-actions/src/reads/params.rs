//! The parameters of the reads: windows to measure in, and borders to decide at.

use serde::{Deserialize, Serialize};

use super::CoverageModel;

/// How coverages and options are read. Words and values: vocabulary, "Coverage of a ball screen" and "What the offence
/// makes of it"; where it is silent, common practice, no source.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ReadParams {
    /// When things are measured.
    pub window: WindowParams,
    /// How the coverage is told.
    pub coverage: CoverageParams,
    /// How the path of the handler's defender is told.
    pub path: PathParams,
    /// How the helper's action is told.
    pub help: HelpParams,
    /// How the options are told.
    pub option: OptionParams,
    /// A correction of the coverage model, fitted to labels of your own; a section a word. Default: none.
    pub coverage_model: CoverageModel,
}

/// When things are measured, around the use.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WindowParams {
    /// With less than this of the possession left after the use, the coverage is `unclear`, s. Default 0.6.
    pub min_after_s: f32,
    /// Another screen on the ball within this of the use belongs to the same action; a later one ends what is read, s.
    /// Default 1.5 (vocabulary, stagger).
    pub stagger_s: f32,
    /// With the four players seen together for less than this share of the time after the use, it is `unclear`, 0 to 1.
    /// Default 0.75.
    pub min_seen_share: f32,
    /// A handler slower than this is not yet on his way to the screen, m/s. Default 1.5.
    pub go_speed_mps: f32,
    /// He is on his way for at most this long before the use, s. Default 1.5.
    pub longest_go_s: f32,
    /// He is past the screen this long after the use, s. Default 0.5.
    pub past_s: f32,
    /// The place of the handler's defender before the screen is the mean over this long before the handler goes, s.
    /// Default 0.4.
    pub before_s: f32,
    /// The screener's defender may show this long before the use, s. Default 0.6.
    pub show_before_s: f32,
    /// ... and this long after it, s. Default 1.5.
    pub show_after_s: f32,
    /// Two on the ball are looked for this long after the use, s. Default 3.0.
    pub both_after_s: f32,
    /// Exchanged matchups are looked for from this long after the use, s: a chaser trails for a moment. Default 0.4.
    pub swap_from_s: f32,
    /// Exchanged matchups are looked for this long after the use, s. Default 4.0.
    pub swap_after_s: f32,
    /// The handler's defender passes the screener at most this long before the use, s. Default 0.8.
    pub path_before_s: f32,
    /// ... and at most this long after it, s. Default 1.6.
    pub path_after_s: f32,
    /// Help comes at most this long after the use, s. Default 2.5.
    pub help_after_s: f32,
    /// The screener's way is looked at this long after the use, s. Default 3.5.
    pub screener_after_s: f32,
    /// The handler's way is looked at this long after the use, s. Default 3.2.
    pub handler_after_s: f32,
    /// The pass that leaves a screen unused may come this long before its end, s. Default 1.2.
    pub unused_before_s: f32,
    /// Space is looked at this long after the use, s. Default 2.0 (tables, `options`).
    pub space_after_s: f32,
    /// A shot belongs to the play up to this long after the use, s. Default 5.0.
    pub shot_after_s: f32,
}

impl Default for WindowParams {
    fn default() -> Self {
        Self {
            min_after_s: 0.6,
            stagger_s: 1.5,
            min_seen_share: 0.75,
            go_speed_mps: 1.5,
            longest_go_s: 1.5,
            past_s: 0.5,
            before_s: 0.4,
            show_before_s: 0.6,
            show_after_s: 1.5,
            both_after_s: 3.0,
            swap_from_s: 0.4,
            swap_after_s: 4.0,
            path_before_s: 0.8,
            path_after_s: 1.6,
            help_after_s: 2.5,
            screener_after_s: 3.5,
            handler_after_s: 3.2,
            unused_before_s: 1.2,
            space_after_s: 2.0,
            shot_after_s: 5.0,
        }
    }
}

/// How the coverage is decided: by the coverage model (`models/coverages.toml`), corrected by [`CoverageModel`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CoverageParams {
    /// Coverages less sure than this are `unclear`, 0 to 1. Default 0.3.
    pub min_confidence: f32,
}

impl Default for CoverageParams {
    fn default() -> Self {
        Self { min_confidence: 0.3 }
    }
}

/// How the path of the handler's defender is told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PathParams {
    /// Softness of the height at which he passes the screener (the border is the screener himself), m. Default 0.3.
    pub above_softness_m: f32,
}

impl Default for PathParams {
    fn default() -> Self {
        Self {
            above_softness_m: 0.3,
        }
    }
}

/// How the helper's action is told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct HelpParams {
    /// A tag: into the roller's path within this, m. Default 1.5 (vocabulary).
    pub tag_m: f32,
    /// A tag: the helper came this much nearer the roller, m. Default 0.6.
    pub tag_came_m: f32,
    /// A tag: the screener is on his way to the hoop, this much nearer it, m. Default 1.1.
    pub roll_came_m: f32,
    /// A sag: this far off his canonical position, m. Default 1.5 (vocabulary).
    pub sag_m: f32,
    /// A stunt: a step toward the handler of this, and as far back, m. Default 0.5.
    pub stunt_step_m: f32,
    /// A stunt is over within this, s each way. Default 1.0 (vocabulary).
    pub stunt_within_s: f32,
    /// A stunt reaches to within this of the handler, m; farther away, nobody feels it. Default 5.0.
    pub stunt_reach_m: f32,
    /// Softness of these distances, m. Default 0.25.
    pub softness_m: f32,
}

impl Default for HelpParams {
    fn default() -> Self {
        Self {
            tag_m: 1.5,
            tag_came_m: 0.6,
            roll_came_m: 1.1,
            sag_m: 1.5,
            stunt_step_m: 0.5,
            stunt_within_s: 1.0,
            stunt_reach_m: 5.0,
            softness_m: 0.25,
        }
    }
}

/// How the options are told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OptionParams {
    /// A roll: to within this of the hoop, m. Default 3.0 (vocabulary).
    pub roll_m: f32,
    /// A short roll: to within this of the hoop, but not so far as a roll, m. Default 5.0 (a free-throw line's end is 4.9 m
    /// from the hoop on a FIBA court).
    pub short_roll_m: f32,
    /// A roll of either kind leads at least this much nearer the hoop, m. Default 1.1.
    pub roll_came_m: f32,
    /// A screener who stays moves less than this, m. Default 1.4.
    pub stay_m: f32,
    /// What the screener did is `unclear` when less than this was seen of it, s. Default 0.8.
    pub min_seen_s: f32,
    /// A shot from within this of the hoop ends a drive, m. Default 2.8.
    pub drive_shot_m: f32,
    /// A drive leads to within this of the hoop, m. Default 4.0.
    pub drive_m: f32,
    /// A pull-up comes within this of the use, s. Default 2.5 (vocabulary).
    pub pull_up_s: f32,
    /// A step-back leads at least this much farther from the hoop in the second before the shot, m. Default 0.5.
    pub step_back_m: f32,
    /// Softness of that, m. Default 0.15.
    pub step_back_softness_m: f32,
    /// A split comes within this of the use, s. Default 1.8.
    pub split_s: f32,
    /// A split needs the screener's defender less than this below the screen, m: past a deep one it is a drive. Default 1.5.
    pub split_depth_m: f32,
    /// A pass belongs to the play up to this long after the use, s. Default 3.2.
    pub pass_s: f32,
    /// A handler who backs out keeps the ball at least this long before he passes, s; else the pass was his answer.
    /// Default 1.9.
    pub reset_s: f32,
    /// He backs out by at least this, m. Default 1.0.
    pub reset_back_m: f32,
    /// A pass later than this after an unused screen does not belong to it, s. Default 0.6.
    pub unused_pass_s: f32,
    /// Softness of distances, m. Default 0.4.
    pub softness_m: f32,
    /// Softness of times, s. Default 0.2.
    pub softness_s: f32,
}

impl Default for OptionParams {
    fn default() -> Self {
        Self {
            roll_m: 3.0,
            short_roll_m: 5.0,
            roll_came_m: 1.1,
            stay_m: 1.4,
            min_seen_s: 0.8,
            drive_shot_m: 2.8,
            drive_m: 4.0,
            pull_up_s: 2.5,
            step_back_m: 0.5,
            step_back_softness_m: 0.15,
            split_s: 1.8,
            split_depth_m: 1.5,
            pass_s: 3.2,
            reset_s: 1.9,
            reset_back_m: 1.0,
            unused_pass_s: 0.6,
            softness_m: 0.4,
            softness_s: 0.2,
        }
    }
}
