//! Each tag of the vocabulary in plain words.

use scrim_floor::Zone;
use scrim_tables::tags::{
    Alignment, Coverage, CutKind, Entry, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget,
    ScreenKind, ScreenerAction, UnclearReason,
};

use super::translation::Words;
use crate::ball_screens::Before;

impl Words {
    /// `drop`
    pub fn coverage(&self, word: Coverage) -> &str {
        self.text(&format!("coverage-{word}"))
    }

    /// `a hedge`, `a coverage at the level of the screen`, `ice`.
    pub fn noun(&self, word: Coverage) -> &str {
        self.text(&format!("coverage-{word}.a"))
    }

    /// What the coverage is, for readers who do not use the word.
    pub fn coverage_meaning(&self, word: Coverage) -> &str {
        self.text(&format!("coverage-{word}.meaning"))
    }

    /// The coverage as a rule, because it gave up least; `None` of an unclear one.
    pub fn coverage_rule(&self, word: Coverage) -> Option<&str> {
        (word != Coverage::Unclear).then(|| self.text(&format!("coverage-{word}.rule")))
    }

    /// The way around the screen as a rule, because it gave up least; `None` where [`path`](Self::path) has none.
    pub fn path_rule(&self, word: OnBallPath) -> Option<&str> {
        self.path(word).map(|_| self.text(&format!("path-{word}.rule")))
    }

    /// Why a coverage is unclear.
    pub fn unclear_reason(&self, word: UnclearReason) -> &str {
        self.text(&format!("unclear-{word}"))
    }

    /// How the handler's defender got around the screen; `None` where the coverage says as much.
    pub fn path(&self, word: OnBallPath) -> Option<&str> {
        match word {
            OnBallPath::Over => Some(self.text("path-over")),
            OnBallPath::Under => Some(self.text("path-under")),
            OnBallPath::Denied | OnBallPath::Switched | OnBallPath::Unclear => None,
        }
    }

    /// What the nearest other defender did, without a name.
    pub fn helper(&self, word: HelperAction) -> Option<&str> {
        (word != HelperAction::None).then(|| self.text(&format!("helper-{word}")))
    }

    /// `right wing`
    pub fn zone(&self, zone: Zone) -> &str {
        self.text(&format!("zone-{}", zone.as_str()))
    }

    /// `left`; the middle, and what is no side, stands as it is.
    pub(super) fn side<'t>(&'t self, side: &'t str) -> &'t str {
        match side {
            "left" => self.text("side-left"),
            "right" => self.text("side-right"),
            side => side,
        }
    }

    /// `on the left`, `in the middle`; what is no side stands as it is.
    pub(super) fn on_side<'t>(&'t self, side: &'t str) -> &'t str {
        match side {
            "left" => self.text("side-left.on"),
            "middle" => self.text("side-middle.on"),
            "right" => self.text("side-right.on"),
            side => side,
        }
    }

    /// `horns`
    pub fn alignment(&self, word: Alignment) -> &str {
        self.text(&format!("alignment-{word}"))
    }

    /// `down screen`
    pub fn screen(&self, word: ScreenKind) -> &str {
        self.action(word.into())
    }

    /// `basket cut`
    pub fn cut(&self, word: CutKind) -> &str {
        self.action(word.into())
    }

    /// What a ball screen came out of.
    pub fn entry(&self, word: Entry) -> &str {
        match word {
            Entry::BallScreen => self.text("action-ball_screen.entry"),
            word => self.action(word),
        }
    }

    /// The same with its article, where it takes one: `a flash`, `an exit screen`, `another ball screen`.
    pub fn a(&self, word: Entry) -> &str {
        match word {
            Entry::None => self.text("action-none"),
            word => self.text(&format!("action-{word}.a")),
        }
    }

    /// What came before a ball screen: `out of a flash`, `a flash first`, `straight into it`.
    pub fn before(&self, before: Before) -> String {
        let (key, action) = match before {
            Before::OutOf(action) => ("before-out-of", action),
            Before::First(action) => ("before-first", action),
            Before::Nothing => return self.text("before-nothing").into(),
        };
        self.say(key, &[("action", self.a(action).into())])
    }

    /// An action of a possession.
    pub fn action(&self, word: Entry) -> &str {
        self.text(&format!("action-{word}"))
    }

    /// What became of the screen.
    pub fn outcome(&self, word: Outcome) -> &str {
        self.text(&format!("outcome-{word}"))
    }

    /// What the screener did.
    pub fn screener(&self, word: ScreenerAction) -> Option<&str> {
        (word != ScreenerAction::Unclear).then(|| self.text(&format!("screener-{word}")))
    }

    /// What the handler did.
    pub fn handler(&self, word: HandlerAction) -> Option<&str> {
        (word != HandlerAction::Unclear).then(|| self.text(&format!("handler-{word}")))
    }

    /// Where the handler passed to.
    pub fn target(&self, word: PassTarget) -> &str {
        self.text(&format!("target-{word}"))
    }

    /// A confidence in words. The steps are common practice, no source.
    pub fn confidence(&self, confidence: f32) -> &str {
        self.text(if confidence >= 0.95 {
            "confidence-almost-certain"
        } else if confidence >= 0.8 {
            "confidence-very-likely"
        } else if confidence >= 0.65 {
            "confidence-likely"
        } else if confidence >= 0.5 {
            "confidence-more-likely"
        } else {
            "confidence-doubtful"
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn likelihood_grows_with_confidence() {
        let english = Words::english();
        let words: Vec<_> = [0.4, 0.5, 0.65, 0.8, 0.95]
            .map(|confidence| english.confidence(confidence))
            .into();
        let expected = [
            "doubtful",
            "more likely than not",
            "likely",
            "very likely",
            "almost certain",
        ];
        assert_eq!(words, expected);
        assert_eq!(english.confidence(f32::NAN), "doubtful");
    }

    #[test]
    fn an_action_before_a_ball_screen_has_its_own_words_where_the_plain_ones_mislead() {
        let words = Words::english();
        assert_eq!(words.entry(Entry::BallScreen), "another ball screen");
        assert_eq!(words.action(Entry::BallScreen), "ball screen");
        assert_eq!(words.entry(Entry::Down), words.action(Entry::Down));
    }

    #[test]
    fn straight_into_it_is_said_only_where_nothing_came_before() {
        let words = Words::english();
        let said = [
            Before::OutOf(Entry::Zipper),
            Before::First(Entry::Zipper),
            Before::First(Entry::BallScreen),
            Before::Nothing,
        ];
        assert_eq!(
            said.map(|before| words.before(before)),
            [
                "out of a zipper screen",
                "a zipper screen first",
                "another ball screen first",
                "straight into it"
            ]
        );
        assert_eq!(words.entry(Entry::None), "no action");
    }

    #[test]
    fn every_tag_has_its_words() {
        let words = Words::english();
        // A tag without a message stops the test where it is looked up.
        for word in Coverage::ALL {
            assert_ne!(words.coverage(*word), "");
            assert_ne!(words.noun(*word), "");
            assert_ne!(words.coverage_meaning(*word), "");
            assert_eq!(words.coverage_rule(*word).is_none(), *word == Coverage::Unclear);
        }
        for zone in Zone::ALL {
            assert_ne!(words.zone(zone), "");
        }
        for word in UnclearReason::ALL {
            assert_ne!(words.unclear_reason(*word), "");
        }
        for word in Entry::ALL {
            assert!(!words.action(*word).is_empty() && !words.entry(*word).is_empty());
            assert_ne!(words.a(*word), "");
        }
        for word in Alignment::ALL {
            assert_ne!(words.alignment(*word), "");
        }
        for word in Outcome::ALL {
            assert_ne!(words.outcome(*word), "");
        }
        for word in ScreenerAction::ALL {
            assert_eq!(words.screener(*word).is_none(), *word == ScreenerAction::Unclear);
        }
        for word in HandlerAction::ALL {
            assert_eq!(words.handler(*word).is_none(), *word == HandlerAction::Unclear);
        }
        for word in HelperAction::ALL {
            assert_eq!(words.helper(*word).is_none(), *word == HelperAction::None);
        }
        for word in PassTarget::ALL {
            assert_ne!(words.target(*word), "");
        }
        for word in OnBallPath::ALL {
            let has_words = matches!(word, OnBallPath::Over | OnBallPath::Under);
            assert_eq!(words.path(*word).is_some(), has_words);
            assert_eq!(words.path_rule(*word).is_some(), has_words);
        }
    }
}
