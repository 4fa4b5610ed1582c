//! What looks, next actions and options of a practice season are.

use scrim_floor::Definitions;
use scrim_tables::Id;
use scrim_tables::tags::{Alignment, Coverage, CutKind, HandlerAction, ScreenKind, ScreenerAction};

use crate::measure::exact;

/// Looks of a team.
pub(crate) const LOOKS: usize = 4;

/// One scripted action of a look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Token {
    /// An off-ball screen of this kind, which is used.
    Screen(ScreenKind),
    /// A cut of this kind.
    Cut(CutKind),
}

impl Token {
    /// The word.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Screen(kind) => kind.as_str(),
            Self::Cut(kind) => kind.as_str(),
        }
    }
}

/// What a team runs after the tokens of its look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextAction {
    /// A ball screen.
    BallScreen,
    /// A handoff.
    Handoff,
    /// A down screen away from the ball.
    Down,
    /// Nothing set: the handler goes alone.
    Isolation,
}

impl NextAction {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::BallScreen, Self::Handoff, Self::Down, Self::Isolation];

    /// The word.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::BallScreen => "ball_screen",
            Self::Handoff => "handoff",
            Self::Down => "down",
            Self::Isolation => "isolation",
        }
    }
}

/// Who of the last token's two screens the ball.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screener {
    /// Whoever used the screen, or cut.
    TokenUser,
    /// Whoever set it.
    TokenScreener,
    /// The post player, whatever they did.
    Post,
}

impl Screener {
    /// The word.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::TokenUser => "user",
            Self::TokenScreener => "screener",
            Self::Post => "post",
        }
    }
}

/// Which side had the better of a ball screen, as the table `counters` has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunResult {
    /// The offence: its possession brought points, or the shot that came of the ball screen was open ([`OPEN_M`]).
    Beat,
    /// The defence: anything else.
    Beaten,
}

/// A shot with this much room is open, metres (6 ft; vocabulary, common practice, no source).
pub(crate) const OPEN_M: f64 = exact(Definitions::DEFAULT.open_shot_m);

impl RunResult {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Beat, Self::Beaten];

    /// The word.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Beat => "beat",
            Self::Beaten => "beaten",
        }
    }
}

/// An option: what the screener and the handler do.
pub type PlayOption = (ScreenerAction, HandlerAction);

/// The options that teams run.
pub(crate) const OPTIONS: [PlayOption; 5] = [
    (ScreenerAction::Roll, HandlerAction::Drive),
    (ScreenerAction::Roll, HandlerAction::Pass),
    (ScreenerAction::Pop, HandlerAction::Pass),
    (ScreenerAction::ShortRoll, HandlerAction::PullUp),
    (ScreenerAction::Pop, HandlerAction::Drive),
];

/// The coverages that teams play.
pub(crate) const COVERAGES: [Coverage; 5] = [
    Coverage::Drop,
    Coverage::Level,
    Coverage::Hedge,
    Coverage::Blitz,
    Coverage::Switch,
];

/// A look of a team.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// The shape it begins from.
    pub alignment: Alignment,
    /// What follows, in order.
    pub tokens: &'static [Token],
    /// How often the team takes this one of its looks.
    pub p_look: f64,
    /// Probability of each of [`NextAction::ALL`].
    pub p_next: [f64; 4],
    /// Who screens when a ball screen comes.
    pub screener: Screener,
    /// Probability of each option, when nothing is remembered.
    pub p_option: [f64; 5],
}

/// A half-court possession that ran its look: drawn and played.
#[derive(Debug, Clone, PartialEq)]
pub struct LookRunRow {
    /// The game.
    pub game_id: Id,
    /// Its day.
    pub date: String,
    /// The period.
    pub period: u8,
    /// The possession of the game's labels.
    pub possession_id: u32,
    /// Who attacks.
    pub team_id: Id,
    /// Who defends.
    pub opponent_id: Id,
    /// Number of the look among the team's, from 0.
    pub look: usize,
    /// What came next; `None` when the clock or a turnover ended it before.
    pub next: Option<NextAction>,
    /// Whether it was begun (nobody may stand where a handoff needs them).
    pub is_played: bool,
    /// The label's screen, when a ball screen came and is not in doubt.
    pub screen_id: Option<u32>,
    /// The coverage called.
    pub coverage_called: Option<Coverage>,
    /// The coverage as the labels have it.
    pub coverage_seen: Option<Coverage>,
    /// The option called.
    pub option_called: Option<PlayOption>,
    /// What had come of the last ball screen out of this look in this game.
    pub last_result: Option<RunResult>,
    /// The coverage called then.
    pub last_coverage: Option<Coverage>,
    /// Whether the offence changed its option since then.
    pub offense_changed: Option<bool>,
    /// Whether the defence changed its coverage.
    pub defense_changed: Option<bool>,
    /// What came of this one.
    pub result: Option<RunResult>,
}
