//! The words of the vocabulary. What each means in geometry stands in the project's vocabulary; here is how it is
//! spelled, once.

use crate::column::{Column, Kind};

/// A word that is none of a tag's words.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{found}` is no {tag}; known words are {known:?}")]
pub struct UnknownTag {
    /// Which tag was read.
    pub tag: &'static str,
    /// The word found.
    pub found: String,
    /// The words it could have been.
    pub known: &'static [&'static str],
}

macro_rules! tags {
    ($($(#[$doc:meta])* $name:ident { $($(#[$word_doc:meta])* $word:ident = $text:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $($(#[$word_doc])* $word),+ }

        impl $name {
            /// All words, in the vocabulary's order.
            pub const ALL: &'static [Self] = &[$(Self::$word),+];
            /// All spellings, in the vocabulary's order.
            pub const WORDS: &'static [&'static str] = &[$($text),+];

            /// The word, as the vocabulary spells it.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$word => $text),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.as_str())
            }
        }

        impl std::str::FromStr for $name {
            type Err = UnknownTag;
            fn from_str(word: &str) -> Result<Self, UnknownTag> {
                match word {
                    $($text => Ok(Self::$word),)+
                    _ => Err(UnknownTag { tag: stringify!($name), found: word.into(), known: Self::WORDS }),
                }
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.as_str())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let word = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
                word.parse().map_err(serde::de::Error::custom)
            }
        }

        impl Column for $name {
            const KIND: Kind = Kind::Tag(Self::WORDS);
            fn blank() -> Self {
                Self::ALL[0]
            }
        }
    )+};
}

tags! {
    /// Whether a possession got into its half-court shape.
    Phase {
        /// Ball and at least four attackers have been past half court.
        HalfCourt = "half_court",
        /// Anything before that, or a possession that ended before it.
        Transition = "transition",
    }
    /// How a possession ended.
    EndKind {
        /// A made field goal.
        ShotMade = "shot_made",
        /// A missed field goal, rebounded by the defence.
        ShotMissed = "shot_missed",
        /// The ball was lost.
        Turnover = "turnover",
        /// A foul stopped it.
        Foul = "foul",
        /// The ball went dead for another reason.
        DeadBall = "dead_ball",
        /// The period ended.
        PeriodEnd = "period_end",
        /// It is not known.
        Unknown = "unknown",
    }
    /// How a player's spell of control ended.
    TouchEnd {
        /// A pass.
        Pass = "pass",
        /// A handoff.
        Handoff = "handoff",
        /// A shot.
        Shot = "shot",
        /// The ball was lost.
        Loss = "loss",
        /// The ball went dead.
        DeadBall = "dead_ball",
    }
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
    /// What kind of cut.
    CutKind {
        /// Straight to the rim.
        Basket = "basket",
        /// Behind a denying defender.
        Backdoor = "backdoor",
        /// Tight around a screen, to the rim.
        Curl = "curl",
        /// Off a screen, away from it, to the perimeter.
        Fade = "fade",
        /// A screener leaves their own screen for the perimeter.
        PopOut = "pop_out",
        /// To the ball from the weak side.
        Flash = "flash",
        /// Off a rub screen.
        RubCut = "rub_cut",
        /// Off a flex screen.
        FlexCut = "flex_cut",
        /// Through along the baseline, side to side.
        Baseline = "baseline",
        /// Corner to wing.
        Lift = "lift",
        /// Wing to corner.
        Drift = "drift",
        /// Into a spot that a team-mate left.
        Fill = "fill",
    }
    /// What an off-ball attacker does while a ball screen is on.
    Activity {
        /// Never more than 1.2 m from their mean place.
        Stationary = "stationary",
        /// A spacing move.
        Shift = "shift",
        /// Cuts.
        Cut = "cut",
        /// Sets a screen.
        Screen = "screen",
        /// Uses a screen.
        OffScreen = "off_screen",
    }
    /// Shape of the five when the set begins; mirror images are one.
    Alignment {
        /// All outside.
        FiveOut = "five_out",
        /// One inside.
        FourOutOneIn = "four_out_one_in",
        /// Two inside.
        ThreeOutTwoIn = "three_out_two_in",
        /// Ball at the top, two at the elbows, two in the corners.
        Horns = "horns",
        /// Four along the free-throw line extended or above.
        FourHigh = "four_high",
        /// Two at the elbows, two at the blocks.
        Box = "box",
        /// Three or more in a line.
        Stack = "stack",
        /// None of these.
        Other = "other",
    }
    /// The screener's part in the action that their ball screen came out of.
    EntryRole {
        /// They used the screen, or cut.
        User = "user",
        /// They set it.
        Screener = "screener",
        /// None.
        None = "none",
    }
    /// The action that a ball screen came out of: a kind of screen, a kind of cut, or none.
    Entry {
        /// No action near enough before.
        None = "none",
        /// A ball screen.
        BallScreen = "ball_screen",
        /// A handoff.
        Handoff = "handoff",
        /// A down screen.
        Down = "down",
        /// A back screen.
        Back = "back",
        /// A rub screen.
        Rub = "rub",
        /// A cross screen.
        Cross = "cross",
        /// A flex screen.
        Flex = "flex",
        /// A flare screen.
        Flare = "flare",
        /// A zipper screen.
        Zipper = "zipper",
        /// An over-the-top screen.
        OverTop = "over_top",
        /// An exit screen.
        Exit = "exit",
        /// A screen off the ball that no name fits.
        Other = "other",
        /// A cut straight to the rim.
        Basket = "basket",
        /// A cut behind a denying defender.
        Backdoor = "backdoor",
        /// A curl.
        Curl = "curl",
        /// A fade.
        Fade = "fade",
        /// A pop out.
        PopOut = "pop_out",
        /// A flash.
        Flash = "flash",
        /// A rub cut whose screen was not seen.
        RubCut = "rub_cut",
        /// A flex cut whose screen was not seen.
        FlexCut = "flex_cut",
        /// A cut along the baseline.
        Baseline = "baseline",
        /// Corner to wing.
        Lift = "lift",
        /// Wing to corner.
        Drift = "drift",
        /// Into a spot that a team-mate left.
        Fill = "fill",
    }
    /// Whose track a row of `tracks` is.
    Entity {
        /// An attacker's.
        Offense = "offense",
        /// A defender's.
        Defense = "defense",
        /// The ball's.
        Ball = "ball",
    }
    /// Whether a season row is about what a team does with the ball or against it.
    TeamSide {
        /// With the ball.
        Offense = "offense",
        /// Against it.
        Defense = "defense",
    }
    /// What a season's tendencies are counted by.
    Grouping {
        /// The action that a ball screen came out of.
        Entry = "entry",
        /// Alignment and actions so far, mirror images merged.
        Look = "look",
        /// How a ball screen was covered.
        Coverage = "coverage",
        /// Both together.
        EntryCoverage = "entry_coverage",
        /// Handler and screener.
        Pair = "pair",
        /// Where the screener stood.
        Zone = "zone",
    }
    /// Which side had the better of a run of a set.
    RunResult {
        /// The offence: points, or an open shot.
        Beat = "beat",
        /// The defence: neither.
        Beaten = "beaten",
    }
    /// What disguised and plain ball screens are compared by.
    PayMeasure {
        /// Points of the possession.
        PointsPerPlay = "points_per_play",
        /// Share of the shots that were open.
        OpenShotRate = "open_shot_rate",
        /// How much later than their team's median the screener's defender was in place, s.
        DefenderLag = "defender_lag_s",
    }
    /// Whom a row of `pull` is about.
    PullSubject {
        /// Every attacker of every team.
        League = "league",
        /// The attackers of one team.
        Team = "team",
        /// Five attackers who were on the floor together.
        Lineup = "lineup",
        /// One attacker.
        Player = "player",
    }
    /// Which residual a row of `pull` is about.
    PullMeasure {
        /// The distance of the attacker's own defender from canonical position. One who only reacts is late: that lag is in it.
        OwnDefender = "own_defender",
        /// The same, from canonical position as it was earlier by the defender's lag: what following late does not explain.
        OwnDefenderLate = "own_defender_late",
        /// The distance from canonical position of the other off-ball defenders whose own players stand.
        OtherDefenders = "other_defenders",
        /// How far these are off canonical position toward the attacker; away is negative.
        OtherDefendersToward = "other_defenders_toward",
    }
    /// What a game's data are worth, by measured facts, and what became of it.
    Verdict {
        /// Nothing speaks against its tags.
        Good = "good",
        /// Its tags can be used; some facts fall short.
        Usable = "usable",
        /// It is tagged, and left out of the season tables.
        Poor = "poor",
        /// It was read and is no game that can be tagged: only its `game_quality` and `quarantine` are written, and tables of an earlier run
        /// stay as they are.
        Refused = "refused",
        /// It could not be read or tagged; tables of an earlier run stay as they are.
        Skipped = "skipped",
        /// A season, put together.
        Done = "done",
    }
    /// Why an input row was refused.
    RefusalReason {
        /// A field is missing or empty that must be there.
        MissingField = "missing_field",
        /// A field could not be read as what it should be.
        Unreadable = "unreadable",
        /// A number is outside what can be.
        OutOfRange = "out_of_range",
        /// The same entity at the same instant, again.
        Duplicate = "duplicate",
        /// The entity is not known, or stands for two teams.
        UnknownEntity = "unknown_entity",
        /// The row's instant does not fit its period.
        BadTime = "bad_time",
    }
}

impl From<ScreenKind> for Entry {
    fn from(kind: ScreenKind) -> Self {
        match kind {
            ScreenKind::BallScreen => Self::BallScreen,
            ScreenKind::Handoff => Self::Handoff,
            ScreenKind::Down => Self::Down,
            ScreenKind::Back => Self::Back,
            ScreenKind::Rub => Self::Rub,
            ScreenKind::Cross => Self::Cross,
            ScreenKind::Flex => Self::Flex,
            ScreenKind::Flare => Self::Flare,
            ScreenKind::Zipper => Self::Zipper,
            ScreenKind::OverTop => Self::OverTop,
            ScreenKind::Exit => Self::Exit,
            ScreenKind::Other => Self::Other,
        }
    }
}

impl From<CutKind> for Entry {
    fn from(kind: CutKind) -> Self {
        match kind {
            CutKind::Basket => Self::Basket,
            CutKind::Backdoor => Self::Backdoor,
            CutKind::Curl => Self::Curl,
            CutKind::Fade => Self::Fade,
            CutKind::PopOut => Self::PopOut,
            CutKind::Flash => Self::Flash,
            CutKind::RubCut => Self::RubCut,
            CutKind::FlexCut => Self::FlexCut,
            CutKind::Baseline => Self::Baseline,
            CutKind::Lift => Self::Lift,
            CutKind::Drift => Self::Drift,
            CutKind::Fill => Self::Fill,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_flows_out_of_a_screen_is_called_as_the_screen_is() {
        for &kind in ScreenKind::ALL {
            assert_eq!(Entry::from(kind).as_str(), kind.as_str());
        }
        assert!(Entry::WORDS.contains(&"over_top") && Entry::WORDS.contains(&"exit"));
    }
}
