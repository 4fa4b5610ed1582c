//! Screens: their kinds, how they were used, how they were defended.

use super::tag::tags;

/// The coverages that a decision chooses from, in the order of every list of six.
pub const COVERAGE_WORDS: [Coverage; 6] = [
    Coverage::Ice,
    Coverage::Switch,
    Coverage::Drop,
    Coverage::Blitz,
    Coverage::Hedge,
    Coverage::Level,
];

tags! {
    /// What kind of screen a row is.
    ScreenKind {
        /// On the ball.
        BallScreen = "ball_screen",
        /// The user takes the ball from the screener.
        Handoff = "handoff",
        /// From low up toward the perimeter.
        Down = "down",
        /// From the perimeter toward the rim.
        Back = "back",
        /// From top or slot straight to the rim past the high post.
        Rub = "rub",
        /// Across the lane.
        Cross = "cross",
        /// Along the baseline past the near block.
        Flex = "flex",
        /// Away from the ball toward the sideline.
        Flare = "flare",
        /// Up the lane line to receive.
        Zipper = "zipper",
        /// From wing to wing over one or two screeners near the free-throw line.
        OverTop = "over_top",
        /// From the paint out to the corner past a screener at the block.
        Exit = "exit",
        /// A plain screen off the ball that none of these names fits.
        Other = "other",
    }
    /// What became of a screen.
    Outcome {
        /// The user came off it.
        Used = "used",
        /// The user went away from the screen's side.
        Rejected = "rejected",
        /// The screener left for the rim before the user came.
        Slipped = "slipped",
        /// The screener ran through to the perimeter without stopping.
        Ghosted = "ghosted",
        /// Abandoned: the same pair screened again on the user's other side.
        Flipped = "flipped",
        /// Set, and nothing came of it.
        Unused = "unused",
    }
    /// What the screener's defender did.
    Coverage {
        /// Stayed below the screen.
        Drop = "drop",
        /// At the height of the screen.
        Level = "level",
        /// Stepped out past the screen, then recovered.
        Hedge = "hedge",
        /// Two on the ball, neither leaves.
        Blitz = "blitz",
        /// The two defenders changed matchups.
        Switch = "switch",
        /// The handler was sent away from the screen.
        Ice = "ice",
        /// Evidence too thin.
        Unclear = "unclear",
    }
    /// What the handler's defender did.
    OnBallPath {
        /// Chased between handler and screener.
        Over = "over",
        /// Went on the hoop side of the screener.
        Under = "under",
        /// Kept the handler from using it.
        Denied = "denied",
        /// Left the handler.
        Switched = "switched",
        /// Evidence too thin.
        Unclear = "unclear",
    }
    /// What the nearest other defender did.
    HelperAction {
        /// Into the roller's path.
        Tag = "tag",
        /// Toward the lane.
        Sag = "sag",
        /// A step at the handler and back.
        Stunt = "stunt",
        /// Nothing.
        None = "none",
    }
    /// What pulled a helper off their place during a ball screen.
    PulledBy {
        /// The handler with the ball.
        Drive = "drive",
        /// The screener on the way to the rim.
        Roll = "roll",
        /// The screener anywhere else.
        Pop = "pop",
        /// A cut.
        Cut = "cut",
        /// The user of an off-ball screen.
        OffBallScreen = "off_ball_screen",
        /// Nothing that has a name, or they were not pulled far enough.
        None = "none",
    }
    /// What a defender has to do at a ball screen, by the floor when it is set. Common practice, no source.
    Duty {
        /// To guard the user.
        OnBall = "on_ball",
        /// To guard the screener.
        OnScreener = "on_screener",
        /// Nearest to the hoop on the side away from the ball: to meet whoever comes to the rim.
        LowMan = "low_man",
        /// Nearest to the middle of the free-throw line: to meet whoever comes through the middle.
        Nail = "nail",
        /// To guard the corner on the ball's side.
        StrongCorner = "strong_corner",
        /// Anything else.
        Other = "other",
    }
    /// Whether something began before a ball screen was used, at the use (within 0.2 s), or after it.
    Begun {
        /// Before.
        Before = "before",
        /// At it.
        At = "at",
        /// After.
        After = "after",
    }
    /// What the screener did after the screen.
    ScreenerAction {
        /// To the rim.
        Roll = "roll",
        /// Stopped between 3 m and the free-throw line.
        ShortRoll = "short_roll",
        /// To the perimeter.
        Pop = "pop",
        /// Left early for the rim.
        Slip = "slip",
        /// Ran through to the perimeter.
        Ghost = "ghost",
        /// Screened again.
        Rescreen = "rescreen",
        /// Stayed.
        Stay = "stay",
        /// Evidence too thin.
        Unclear = "unclear",
    }
    /// What the handler did with the screen.
    HandlerAction {
        /// Drove.
        Drive = "drive",
        /// Shot off the dribble.
        PullUp = "pull_up",
        /// Stepped back.
        StepBack = "step_back",
        /// Went between the two defenders.
        Split = "split",
        /// Went away from the screen.
        Reject = "reject",
        /// Passed.
        Pass = "pass",
        /// Began again.
        Reset = "reset",
        /// Evidence too thin.
        Unclear = "unclear",
    }
    /// Whom the handler passed to.
    PassTarget {
        /// The screener.
        Screener = "screener",
        /// A team-mate on the weak side.
        WeakSide = "weak_side",
        /// A team-mate on the strong side.
        StrongSide = "strong_side",
    }
    /// Why a coverage is `unclear`.
    UnclearReason {
        /// Nobody is known to guard the screener.
        NoScreenerDefender = "no_screener_defender",
        /// Nobody is known to guard the handler.
        NoUserDefender = "no_user_defender",
        /// Handler, screener or one of their defenders is not seen when it matters.
        NotSeen = "not_seen",
        /// The play ended too soon after the use.
        EndedTooSoon = "ended_too_soon",
        /// No word is likely enough.
        TooClose = "too_close",
    }
    /// How the user's defender met an off-ball screen.
    ScreenMeeting {
        /// Ran into it, and came behind.
        Hit = "hit",
        /// Went on the hoop side of the screener.
        Under = "under",
        /// Stayed on the user's heels, around the screen.
        Trailed = "trailed",
        /// Left the user to a team-mate.
        Switched = "switched",
    }
}
