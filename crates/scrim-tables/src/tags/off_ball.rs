//! Off the ball: cuts, shapes, and the action that a ball screen came out of.

use super::screens::ScreenKind;
use super::tag::tags;

tags! {
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
}

/// A screen or cut is called the same when a ball screen comes out of it.
macro_rules! entry_of {
    ($kind:ident: $($word:ident)+) => {
        impl From<$kind> for Entry {
            fn from(kind: $kind) -> Self {
                match kind { $($kind::$word => Self::$word),+ }
            }
        }
    };
}

entry_of!(ScreenKind: BallScreen Handoff Down Back Rub Cross Flex Flare Zipper OverTop Exit Other);
entry_of!(CutKind: Basket Backdoor Curl Fade PopOut Flash RubCut FlexCut Baseline Lift Drift Fill);

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
