//! What the scripts meant: possessions, screens and matchups as they were played, to be measured afterwards.

use scrim_tables::tags::{
    Alignment, Coverage, CutKind, EndKind, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget,
    ScreenKind, ScreenerAction,
};

use crate::record::Frame;
use crate::season::LookRun;
use crate::vec2::Vec2;

/// A possession as it was played.
#[derive(Debug, Clone)]
pub(crate) struct PossessionPlan {
    pub period: u8,
    pub t_start_s: f64,
    pub t_end_s: f64,
    pub offense: usize,
    pub end_kind: Option<EndKind>,
    pub points: u8,
    /// A possession that is no play (free throws): a zone of doubt in the labels.
    pub is_doubtful: bool,
    /// The shape that the five stood in when the set began, if they did.
    pub alignment: Option<Alignment>,
}

/// A cut as it was scripted.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CutPlan {
    pub period: u8,
    pub possession: usize,
    pub slot: usize,
    /// What it is meant to be; `None` for a run that has no plain name.
    pub kind: Option<CutKind>,
    /// The order to go.
    pub t_go_s: f64,
    /// The screen (index in the log) it comes off.
    pub screen: Option<usize>,
}

/// A matchup from an instant on, within a possession.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MatchupChange {
    pub period: u8,
    pub t_s: f64,
    /// For each slot of the defence's five: the attacker's slot.
    pub guards: [usize; 10],
    pub offense: usize,
}

/// A screen as it was scripted. Slots, not players: the frames say who stood in a slot.
#[derive(Debug, Clone)]
pub(crate) struct ScreenPlan {
    pub period: u8,
    pub possession: usize,
    pub on_ball: bool,
    pub kind: ScreenKind,
    pub outcome: Outcome,
    pub screener: usize,
    pub user: usize,
    pub screener_defender: usize,
    pub user_defender: usize,
    /// The screener sets out.
    pub t_call_s: f64,
    /// The order to stand (no set for ghosts, handoffs on the move, early denial).
    pub t_planted_s: Option<f64>,
    /// The user goes, or one of the two leaves; infinite while nobody has.
    pub t_go_s: f64,
    /// The user turns back, to come off the same screener the other way.
    pub t_turn_s: Option<f64>,
    /// The direction the user goes (attack frame), unit length.
    pub out: Vec2,
    pub early_denial: bool,
    pub previous: Option<usize>,
    pub coverage: Option<Coverage>,
    pub on_ball_path: Option<OnBallPath>,
    /// The coverage is one of those that are easily taken for another.
    pub hard: Option<HardCoverage>,
    pub helper: Option<usize>,
    pub helper_action: Option<HelperAction>,
    pub screener_action: Option<ScreenerAction>,
    pub handler_action: Option<HandlerAction>,
    pub pass_target: Option<PassTarget>,
    pub receiver: Option<usize>,
    pub t_pass_s: Option<f64>,
    pub shot: Option<ShotPlan>,
}

/// A ball screen at which a shooter could lift out of the weak corner while the screener rolled.
#[derive(Debug, Clone)]
pub(crate) struct LiftPlan {
    /// Index into the log's screens.
    pub screen: usize,
    pub shooter: usize,
    pub low_man: usize,
    /// What the defence called: a hedge may become a switch later.
    pub called: Coverage,
    /// How likely the lift was, whether it came, and whether the low man is one whom a lift holds.
    pub p_lift: f64,
    pub lifts: bool,
    pub would_hold: bool,
    /// When the ways part: with the lift and without it.
    pub t_s: f64,
    /// What the other way would have brought, frame by frame from then on, while the possession lasted.
    pub other: Vec<Room>,
}

/// The room of a screener at one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Room {
    /// To the nearest defender, metres.
    pub space_m: f64,
    /// To the low man, metres.
    pub low_man_gap_m: f64,
}

impl Room {
    pub fn at(frame: &Frame, screener: usize, low_man: usize) -> Self {
        let gap_m = |defender: usize| {
            let [a, b] = [screener, defender].map(|slot| frame.xy_m[slot].map(f64::from));
            (a[0] - b[0]).hypot(a[1] - b[1])
        };
        let rivals = (1 - screener / 5) * 5;
        Self {
            space_m: (rivals..rivals + 5).map(gap_m).fold(f64::INFINITY, f64::min),
            low_man_gap_m: gap_m(low_man),
        }
    }
}

/// A coverage that is easily taken for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HardCoverage {
    /// Both chase the handler, then they exchange their players: a switch.
    LateSwitch,
    /// The screener's defender comes out as in a hedge, and nobody gets back to their own player: a switch.
    HedgeToSwitch,
    /// The screener's defender takes a step out at the screen's height and is back at once: level, no hedge.
    SoftShow,
    /// The handler's defender goes under and is held up there beside the screener while the screener's defender has the handler:
    /// drop and under, no switch.
    CaughtUnder,
}

impl HardCoverage {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::LateSwitch,
        Self::HedgeToSwitch,
        Self::SoftShow,
        Self::CaughtUnder,
    ];
}

/// A shot that came of a screen.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShotPlan {
    /// Nearest defender at the release, metres.
    pub space_m: f64,
    pub t_s: f64,
    pub shooter: usize,
    pub spot: Vec2,
    pub value: u8,
    pub points: u8,
}

/// A scripted closeness that is no ball screen: the scan for doubtful ones leaves it alone.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Negative {
    pub period: u8,
    pub handler: usize,
    pub mate: usize,
    pub t_start_s: f64,
    pub t_end_s: f64,
    pub kind: NegativeKind,
}

/// Which hard negative it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NegativeKind {
    /// A team-mate passes behind the handler on the way elsewhere.
    WalkBy,
    /// A post player stands beside a handler whom nobody guards closely.
    LooseHandler,
    /// The handler dribbles past a team-mate who stands, far from any defender.
    PastStander,
    /// A post player backs their defender down; the passer cuts by.
    PostUp,
    /// Team-mates cross at a throw-in.
    InboundTraffic,
    /// The ball is loose and several go for it.
    Scramble,
    /// Lanes cross on the way up.
    TransitionCross,
    /// The handler dribbles at a team-mate, who leaves.
    ClearOut,
    /// Away from the ball two team-mates pass each other and change places.
    MatesPass,
    /// Away from the ball a post player stands at the elbow and a team-mate walks round them at a distance.
    PostStands,
}

impl NegativeKind {
    /// All kinds.
    pub const ALL: [Self; 10] = [
        Self::WalkBy,
        Self::LooseHandler,
        Self::PastStander,
        Self::PostUp,
        Self::InboundTraffic,
        Self::Scramble,
        Self::TransitionCross,
        Self::ClearOut,
        Self::MatesPass,
        Self::PostStands,
    ];
}

/// Everything the scripts noted in a game.
#[derive(Debug, Clone, Default)]
pub(crate) struct Log {
    pub possessions: Vec<PossessionPlan>,
    pub matchups: Vec<MatchupChange>,
    pub screens: Vec<ScreenPlan>,
    pub cuts: Vec<CutPlan>,
    pub negatives: Vec<Negative>,
    /// In a game with lifts: the ball screens at which one could come.
    pub lifts: Vec<LiftPlan>,
    /// In a season: the half-court possessions that ran their look.
    pub look_runs: Vec<LookRun>,
}
