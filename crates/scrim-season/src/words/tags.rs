//! Each tag of the vocabulary in plain words.

use scrim_floor::Zone;
use scrim_tables::tags::{
    Alignment, Coverage, CutKind, Entry, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget,
    ScreenKind, ScreenerAction, UnclearReason,
};

/// `drop`
pub const fn coverage(word: Coverage) -> &'static str {
    match word {
        Coverage::Drop => "drop",
        Coverage::Level => "at the level",
        Coverage::Hedge => "hedge",
        Coverage::Blitz => "blitz",
        Coverage::Switch => "switch",
        Coverage::Ice => "ice",
        Coverage::Unclear => "coverage unclear",
    }
}

/// What the coverage is, for readers who do not use the word.
pub const fn coverage_meaning(word: Coverage) -> &'static str {
    match word {
        Coverage::Drop => "the screener's defender stays below the screen",
        Coverage::Level => "the screener's defender comes up to the level of the screen",
        Coverage::Hedge => "the screener's defender steps out past the screen, then recovers",
        Coverage::Blitz => "both defenders stay on the ball",
        Coverage::Switch => "the two defenders trade assignments",
        Coverage::Ice => "the handler is forced away from the screen",
        Coverage::Unclear => "could not be read",
    }
}

/// Why a coverage is unclear.
pub const fn unclear_reason(word: UnclearReason) -> &'static str {
    match word {
        UnclearReason::NoScreenerDefender => "nobody guards the screener",
        UnclearReason::NoUserDefender => "nobody guards the handler",
        UnclearReason::NotSeen => "a player is not seen",
        UnclearReason::EndedTooSoon => "the play ended too soon",
        UnclearReason::TooClose => "between two coverages",
    }
}

/// How the handler's defender got around the screen; `None` where the coverage says as much.
pub const fn path(word: OnBallPath) -> Option<&'static str> {
    match word {
        OnBallPath::Over => Some("over"),
        OnBallPath::Under => Some("under"),
        OnBallPath::Denied | OnBallPath::Switched | OnBallPath::Unclear => None,
    }
}

/// What the nearest other defender did, after a name.
pub const fn helper(word: HelperAction) -> Option<&'static str> {
    match word {
        HelperAction::Tag => Some("tags the roller"),
        HelperAction::Sag => Some("sags to the lane"),
        HelperAction::Stunt => Some("stunts at the ball"),
        HelperAction::None => None,
    }
}

/// `right wing`
pub fn zone(zone: Zone) -> String {
    match zone {
        Zone::BackCourt => "back court".into(),
        zone => zone.as_str().replace('_', " "),
    }
}

/// `horns`
pub const fn alignment(word: Alignment) -> &'static str {
    match word {
        Alignment::FiveOut => "five out",
        Alignment::FourOutOneIn => "four out, one in",
        Alignment::ThreeOutTwoIn => "three out, two in",
        Alignment::Horns => "horns",
        Alignment::FourHigh => "four high",
        Alignment::Box => "box",
        Alignment::Stack => "stack",
        Alignment::Other => "no named shape",
    }
}

/// `down screen`
pub fn screen(word: ScreenKind) -> &'static str {
    action(word.into())
}

/// `basket cut`
pub fn cut(word: CutKind) -> &'static str {
    action(word.into())
}

/// What a ball screen came out of.
pub const fn entry(word: Entry) -> &'static str {
    match word {
        Entry::None => "straight into it",
        Entry::BallScreen => "another ball screen",
        word => action(word),
    }
}

/// An action of a possession.
pub const fn action(word: Entry) -> &'static str {
    match word {
        Entry::None => "no action",
        Entry::BallScreen => "ball screen",
        Entry::Handoff => "handoff",
        Entry::Down => "down screen",
        Entry::Back => "back screen",
        Entry::Rub => "rub screen",
        Entry::Cross => "cross screen",
        Entry::Flex => "flex screen",
        Entry::Flare => "flare screen",
        Entry::Zipper => "zipper screen",
        Entry::OverTop => "over-the-top screen",
        Entry::Exit => "exit screen",
        Entry::Other => "unnamed off-ball screen",
        Entry::Basket => "basket cut",
        Entry::Backdoor => "backdoor cut",
        Entry::Curl => "curl",
        Entry::Fade => "fade",
        Entry::PopOut => "pop out",
        Entry::Flash => "flash",
        Entry::RubCut => "rub cut",
        Entry::FlexCut => "flex cut",
        Entry::Baseline => "baseline cut",
        Entry::Lift => "lift from the corner",
        Entry::Drift => "drift to the corner",
        Entry::Fill => "fill",
    }
}

/// What became of the screen.
pub const fn outcome(word: Outcome) -> &'static str {
    match word {
        Outcome::Used => "used",
        Outcome::Rejected => "rejected",
        Outcome::Slipped => "slipped",
        Outcome::Ghosted => "ghosted",
        Outcome::Flipped => "flipped",
        Outcome::Unused => "not used",
    }
}

/// What the screener did.
pub const fn screener(word: ScreenerAction) -> Option<&'static str> {
    match word {
        ScreenerAction::Roll => Some("screener rolls"),
        ScreenerAction::ShortRoll => Some("screener short-rolls"),
        ScreenerAction::Pop => Some("screener pops"),
        ScreenerAction::Slip => Some("screener slips"),
        ScreenerAction::Ghost => Some("screener ghosts"),
        ScreenerAction::Rescreen => Some("screener screens again"),
        ScreenerAction::Stay => Some("screener stays"),
        ScreenerAction::Unclear => None,
    }
}

/// What the handler did.
pub const fn handler(word: HandlerAction) -> Option<&'static str> {
    match word {
        HandlerAction::Drive => Some("handler drives"),
        HandlerAction::PullUp => Some("handler pulls up"),
        HandlerAction::StepBack => Some("handler steps back"),
        HandlerAction::Split => Some("handler splits the two defenders"),
        HandlerAction::Reject => Some("handler rejects the screen"),
        HandlerAction::Pass => Some("handler passes"),
        HandlerAction::Reset => Some("handler resets"),
        HandlerAction::Unclear => None,
    }
}

/// Where the handler passed to.
pub const fn target(word: PassTarget) -> &'static str {
    match word {
        PassTarget::Screener => "to the screener",
        PassTarget::WeakSide => "to the weak side",
        PassTarget::StrongSide => "to the strong side",
    }
}

/// A confidence in words. The steps are common practice, no source.
pub fn confidence(confidence: f32) -> &'static str {
    if confidence >= 0.95 {
        "almost certain"
    } else if confidence >= 0.8 {
        "very likely"
    } else if confidence >= 0.65 {
        "likely"
    } else if confidence >= 0.5 {
        "more likely than not"
    } else {
        "doubtful"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn likelihood_grows_with_confidence() {
        let words: Vec<_> = [0.4, 0.5, 0.65, 0.8, 0.95].map(confidence).into();
        let expected = [
            "doubtful",
            "more likely than not",
            "likely",
            "very likely",
            "almost certain",
        ];
        assert_eq!(words, expected);
        assert_eq!(confidence(f32::NAN), "doubtful");
    }

    #[test]
    fn an_action_before_a_ball_screen_has_its_own_words_where_the_plain_ones_mislead() {
        assert_eq!(entry(Entry::BallScreen), "another ball screen");
        assert_eq!(action(Entry::BallScreen), "ball screen");
        assert_eq!(entry(Entry::Down), action(Entry::Down));
    }
}
