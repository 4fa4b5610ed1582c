//! Tags in plain words of the trade.

use scrim_floor::Zone;
use scrim_tables::tags::{
    Alignment, Coverage, CutKind, Entry, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget,
    ScreenKind, ScreenerAction,
};

/// `drop`
pub(crate) const fn coverage(word: Coverage) -> &'static str {
    match word {
        Coverage::Drop => "drop",
        Coverage::Level => "at the level",
        Coverage::Hedge => "hedge",
        Coverage::Blitz => "blitz",
        Coverage::Switch => "switch",
        Coverage::Ice => "ice",
        Coverage::Unclear => "not clear",
    }
}

/// What the coverage is, for one who does not use the word.
pub(crate) const fn coverage_meaning(word: Coverage) -> &'static str {
    match word {
        Coverage::Drop => "the screener's man stays below the screen",
        Coverage::Level => "he comes up to the height of the screen",
        Coverage::Hedge => "he steps out past the screen, then gets back",
        Coverage::Blitz => "two on the ball, neither leaves",
        Coverage::Switch => "the two trade men",
        Coverage::Ice => "the handler is sent away from the screen",
        Coverage::Unclear => "could not be read",
    }
}

/// What the handler's man did, as the end of "his man goes …"; nothing where that adds nothing.
pub(crate) const fn path(word: OnBallPath) -> Option<&'static str> {
    match word {
        OnBallPath::Over => Some("over"),
        OnBallPath::Under => Some("under"),
        // The coverage says as much.
        OnBallPath::Denied | OnBallPath::Switched | OnBallPath::Unclear => None,
    }
}

/// What the third defender did.
pub(crate) const fn helper(word: HelperAction) -> Option<&'static str> {
    match word {
        HelperAction::Tag => Some("help tags the roller"),
        HelperAction::Sag => Some("help sags to the lane"),
        HelperAction::Stunt => Some("help stunts at the ball"),
        HelperAction::None => None,
    }
}

/// `right wing`
pub(crate) fn zone(zone: Zone) -> String {
    match zone {
        Zone::BackCourt => "back court".into(),
        Zone::Rim => "rim".into(),
        zone => zone.as_str().replace('_', " "),
    }
}

/// `horns`
pub(crate) const fn alignment(word: Alignment) -> &'static str {
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
pub(crate) fn screen(word: ScreenKind) -> &'static str {
    if word == ScreenKind::BallScreen {
        "ball screen"
    } else {
        entry(word.into())
    }
}

/// `basket cut`
pub(crate) fn cut(word: CutKind) -> &'static str {
    entry(word.into())
}

/// What a ball screen came out of.
pub(crate) const fn entry(word: Entry) -> &'static str {
    match word {
        Entry::None => "straight into it",
        Entry::BallScreen => "another ball screen",
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
        Entry::Other => "off-ball screen without a name",
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
pub(crate) const fn outcome(word: Outcome) -> &'static str {
    match word {
        Outcome::Used => "used",
        Outcome::Rejected => "rejected",
        Outcome::Slipped => "slipped",
        Outcome::Ghosted => "run through without stopping",
        Outcome::Flipped => "turned to the other side",
        Outcome::Unused => "not used",
    }
}

/// What the screener did.
pub(crate) const fn screener(word: ScreenerAction) -> Option<&'static str> {
    match word {
        ScreenerAction::Roll => Some("screener rolls"),
        ScreenerAction::ShortRoll => Some("screener short-rolls"),
        ScreenerAction::Pop => Some("screener pops"),
        ScreenerAction::Slip => Some("screener slips"),
        ScreenerAction::Ghost => Some("screener runs through"),
        ScreenerAction::Rescreen => Some("screener screens again"),
        ScreenerAction::Stay => Some("screener stays"),
        ScreenerAction::Unclear => None,
    }
}

/// What the handler did.
pub(crate) const fn handler(word: HandlerAction) -> Option<&'static str> {
    match word {
        HandlerAction::Drive => Some("handler drives"),
        HandlerAction::PullUp => Some("handler pulls up"),
        HandlerAction::StepBack => Some("handler steps back"),
        HandlerAction::Split => Some("handler splits the two"),
        HandlerAction::Reject => Some("handler rejects it"),
        HandlerAction::Pass => Some("handler passes"),
        HandlerAction::Reset => Some("handler starts again"),
        HandlerAction::Unclear => None,
    }
}

/// Whom the handler passed to.
pub(crate) const fn target(word: PassTarget) -> &'static str {
    match word {
        PassTarget::Screener => "to the screener",
        PassTarget::WeakSide => "to the weak side",
        PassTarget::StrongSide => "to the strong side",
    }
}

/// A look or a set key in words: `horns down:left rub:right` becomes `horns; down screen (left); rub screen (right)`.
/// A piece that is no word of the vocabulary stands as it is.
pub(crate) fn look(text: &str) -> String {
    let mut pieces = text.split_whitespace();
    let mut words: Vec<String> = Vec::new();
    if let Some(first) = pieces.next() {
        words.push(match first.parse::<Alignment>() {
            Ok(known) => alignment(known).into(),
            Err(_) => token(first),
        });
    }
    words.extend(pieces.map(token));
    words.join("; ")
}

fn token(piece: &str) -> String {
    let (word, side) = piece.split_once(':').unwrap_or((piece, ""));
    let Ok(known) = word.parse::<Entry>() else {
        return piece.replace('_', " ");
    };
    match side {
        "" | "middle" => entry(known).into(),
        side => format!("{} ({side})", entry(known)),
    }
}

/// An option as `sequences` has it, in words: `roll+pass` becomes `handler passes, screener rolls`. What is no word of the
/// vocabulary stands as it is.
pub(crate) fn option(text: &str) -> String {
    let told = text.split_once('+').and_then(|(screener_word, handler_word)| {
        let by_handler = handler_word.parse().ok().and_then(handler)?;
        let by_screener = screener_word.parse().ok().and_then(screener)?;
        Some(format!("{by_handler}, {by_screener}"))
    });
    told.unwrap_or_else(|| text.replace('_', " "))
}

/// The text with its first letter large.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `1 game`, `3 games`
pub(crate) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n}\u{a0}{}", if n == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_look_is_told_in_words_and_what_is_no_word_stands() {
        assert_eq!(
            look("horns down:left rub:middle"),
            "horns; down screen (left); rub screen"
        );
        assert_eq!(look("five_out"), "five out");
        assert_eq!(look("<b> my_thing:left"), "<b>; my thing:left");
        assert_eq!(look(""), "");
    }

    #[test]
    fn an_option_is_told_in_words_and_what_is_no_option_stands() {
        assert_eq!(
            option("short_roll+pull_up"),
            "handler pulls up, screener short-rolls"
        );
        assert_eq!(option("unclear+pass"), "unclear+pass");
        assert_eq!(option("any_thing"), "any thing");
    }

    #[test]
    fn a_sentence_begins_large() {
        assert_eq!(sentence("élan"), "Élan");
        assert_eq!(sentence(""), "");
    }
}
