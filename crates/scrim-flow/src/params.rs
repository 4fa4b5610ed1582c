//! The parameters of the flow. Words and values: vocabulary, "Alignment, entry, disguise, sequence"; where it is silent,
//! common practice, no source.

use scrim_tables::tags::{CutKind, Outcome};
use serde::{Deserialize, Serialize};

/// How alignments, chains, entries and their cost are found.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FlowParams {
    /// When the set begins, and the shape of the five then.
    pub alignment: AlignmentParams,
    /// What stands in a chain.
    pub chain: ChainParams,
    /// What counts as the entry of a ball screen.
    pub entry: EntryParams,
    /// What the entry cost the defence.
    pub cost: CostParams,
}

/// When the set begins, and which shape the five have then. Chosen on labelled real possessions and practice games.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct AlignmentParams {
    /// The last player comes past half court at most this long after the ball and four others, s; and at most this long is
    /// waited for players who are still far outside the three-point line. Default 6.0.
    pub longest_wait_s: f32,
    /// The set begins at most this long after all have come, s. Default 3.0.
    pub longest_look_s: f32,
    /// A screener is on the way this long before the screen is set, s. Default 1.25.
    pub under_way_s: f32,
    /// In the middle of the floor, at the free-throw line or above, a player is inside from this far inside the three-point
    /// line, m. Default 0.5.
    pub step_inside_m: f32,
    /// Anywhere else a player is inside from this far inside the three-point line, m. Default 2.0.
    pub well_inside_m: f32,
    /// How roughly players keep a shape, m: a rule that is kept or broken by so much more makes its shape e times more or less
    /// likely. Default 0.6.
    pub slack_m: f32,
}

impl Default for AlignmentParams {
    fn default() -> Self {
        Self {
            longest_wait_s: 6.0,
            longest_look_s: 3.0,
            under_way_s: 1.25,
            step_inside_m: 0.5,
            well_inside_m: 2.0,
            slack_m: 0.6,
        }
    }
}

/// What stands in a token chain.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ChainParams {
    /// Cuts that are no tokens. Default the spacing cuts `lift`, `drift` and `fill`: they say where the floor was empty, not
    /// what was run.
    pub left_out: Vec<CutKind>,
    /// Outcomes of off-ball screens that are no actions, neither in chains nor as entries. Default `unused` and `rejected`: nobody
    /// came off them, and men who stand beside each other before the set begins look like them (no source).
    pub left_out_outcomes: Vec<Outcome>,
    /// An off-ball screen less sure than this is no action either. Default 0.4: its row may still be of use, but what a team ran
    /// is reported only where it was seen (chosen on labelled real possessions and practice games).
    pub min_confidence: f32,
    /// Half-width of the strip in the middle of the floor that is neither left nor right, m. Default 1.2 (as `screens.side`).
    pub middle_m: f32,
    /// A cut by the user of a screen counts as that screen when the use lies in the cut's time, give or take this, s; so does
    /// one that begins this soon after the end of such a cut. Default 0.4.
    pub off_screen_slack_s: f32,
    /// A cut by a man who sets an off-ball screen within this after its end is his way to that screen, s. Default 1.5.
    pub to_screen_s: f32,
}

impl Default for ChainParams {
    fn default() -> Self {
        Self {
            left_out: vec![CutKind::Lift, CutKind::Drift, CutKind::Fill],
            left_out_outcomes: vec![Outcome::Unused, Outcome::Rejected],
            min_confidence: 0.4,
            middle_m: 1.2,
            off_screen_slack_s: 0.4,
            to_screen_s: 1.5,
        }
    }
}

/// What counts as the entry of a ball screen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct EntryParams {
    /// The action's instant lies at most this long before the set, s. Default 5.0 (vocabulary).
    pub longest_gap_s: f32,
    /// Cuts that are no entries. Default the spacing cuts `lift`, `drift` and `fill`, as in chains: they answer a team-mate's
    /// move, and who walks up to screen the ball, or lifts to catch it, makes one on the way.
    pub left_out: Vec<CutKind>,
}

impl Default for EntryParams {
    fn default() -> Self {
        Self {
            longest_gap_s: 5.0,
            left_out: vec![CutKind::Lift, CutKind::Drift, CutKind::Fill],
        }
    }
}

/// What the entry cost the defence.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CostParams {
    /// The screener's defender bumps the entry's user within this, m. Default 1.0 (vocabulary).
    pub bump_m: f32,
    /// ... at some instant of this long before the set, s. Default 2.0 (vocabulary).
    pub bump_before_s: f32,
    /// The entry's screen is passed within this of its use, s. Default 1.2.
    pub under_within_s: f32,
    /// Who passes it goes from this far on one side of it to this far on the other, m. Default 0.5.
    pub under_across_m: f32,
    /// ... and within this of it, toward the hoop, m. Default 3.0.
    pub under_reach_m: f32,
    /// When the screener's defender is where his coverage wants him.
    pub late: LateParams,
}

impl Default for CostParams {
    fn default() -> Self {
        Self {
            bump_m: 1.0,
            bump_before_s: 2.0,
            under_within_s: 1.2,
            under_across_m: 0.5,
            under_reach_m: 3.0,
            late: LateParams::default(),
        }
    }
}

/// When the screener's defender is where his coverage wants him. Depth is how much nearer the hoop than the screener he
/// is; his lane is the line from the handler to the hoop. Values: vocabulary, "Coverage of a ball screen"; the widths and
/// times: common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LateParams {
    /// He is there when he has been for this long, s. Default 0.2.
    pub hold_s: f32,
    /// He is looked for until this long after the use, s. Default 2.0.
    pub after_use_s: f32,
    /// `drop`: at least this deep, m. Default 1.5.
    pub drop_depth_m: f32,
    /// `drop`, `ice`: within this of the lane, m. Default 1.5.
    pub lane_m: f32,
    /// `ice`: at least this deep, m. Default 0.8.
    pub ice_depth_m: f32,
    /// `level`: no deeper (and no higher) than this, m. Default 1.5.
    pub level_depth_m: f32,
    /// `level`, `hedge`: within this of the screener, m. Default 3.0.
    pub reach_m: f32,
    /// `hedge`: at least this far beyond the screener, m. Default 0.6.
    pub hedge_beyond_m: f32,
    /// `blitz`, `switch`: within this of the handler, m. Default 1.8.
    pub on_ball_m: f32,
}

impl Default for LateParams {
    fn default() -> Self {
        Self {
            hold_s: 0.2,
            after_use_s: 2.0,
            drop_depth_m: 1.5,
            lane_m: 1.5,
            ice_depth_m: 0.8,
            level_depth_m: 1.5,
            reach_m: 3.0,
            hedge_beyond_m: 0.6,
            on_ball_m: 1.8,
        }
    }
}
