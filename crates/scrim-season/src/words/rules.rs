//! What to do about what sets a team apart, in the imperative, for the players who meet it.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{
    Coverage, Entry, HandlerAction, OnBallPath, Outcome, Question, ScreenerAction, TeamSide,
};

use super::pay::{fails, succeeds};
use super::players::Names;
use super::said::Arg;
use super::standing::said;
use super::translation::Words;

impl Words {
    /// The rule that the row supports: an instruction for the players who meet the team. `None` where it supports none: what they do less than
    /// others, what only a count says, and what the points say does not work for the offence. What a rule says to do follows from what the row
    /// counts (who does what, where, when); that it helps is common practice, no source.
    pub fn rule(&self, names: &Names, row: &AgainstLeagueRow) -> Option<String> {
        // How they cover is met whether it works or not.
        if row.question != Question::Coverage && fails(row) {
            return None;
        }
        let (key, args) = self.rule_parts(names, row)?;
        Some(self.say(key, &args))
    }

    /// The rule's message, and its arguments.
    fn rule_parts(
        &self,
        names: &Names,
        row: &AgainstLeagueRow,
    ) -> Option<(&'static str, Vec<(&'static str, Arg)>)> {
        let is_more = row.effect > 0.0;
        let of = |coverage: Coverage| ("coverage", self.noun(coverage).into());
        let met = || row.coverage.map(of);
        Some(match (row.question, row.side, is_more) {
            (Question::Entry, TeamSide::Offense, true) => match said(row)? {
                Entry::None => ("rule-straight", vec![]),
                Entry::BallScreen => ("rule-ball-screen", vec![]),
                entry => ("rule-entry", vec![("entry", self.a(entry).into())]),
            },
            (Question::EntrySide, TeamSide::Offense, true) => {
                let (entry, place) = self.entry_and_place(row)?;
                (
                    "rule-entry-side",
                    vec![("entry", entry.into()), ("place", place.into())],
                )
            }
            (Question::Side, TeamSide::Offense, true) => {
                let place = self.on_side(row.answer.as_deref()?);
                ("rule-side", vec![("place", place.into())])
            }
            (Question::Coverage, TeamSide::Defense, true) => ("rule-coverage", vec![of(said(row)?)]),
            (Question::ScreenerAction, TeamSide::Offense, true) => (
                "rule-watch",
                vec![met()?, ("watch", self.watch(said(row)?)?.into())],
            ),
            // That others do it is no reason to; that it brought more is.
            (Question::ScreenerAction, TeamSide::Defense, true) if succeeds(row) => {
                ("rule-copy", vec![met()?, ("copy", self.copy(said(row)?)?.into())])
            }
            (Question::HandlerAction, TeamSide::Offense, true) => (
                "rule-watch",
                vec![met()?, ("watch", self.stop(said(row)?)?.into())],
            ),
            (Question::CoverageBeat | Question::CoveragePoints, TeamSide::Defense, true) => {
                ("rule-attack", vec![met()?])
            }
            (Question::CoverageBeat | Question::CoveragePoints, TeamSide::Offense, true) => {
                ("rule-play-else", vec![met()?])
            }
            (Question::CoverageBeat | Question::CoveragePoints, TeamSide::Offense, false) => {
                ("rule-play", vec![met()?])
            }
            (Question::CoverageScreenerAtRim, TeamSide::Offense, true) => ("rule-rim-keep", vec![met()?]),
            (Question::CoverageScreenerAtRim, TeamSide::Defense, true) => ("rule-rim-throw", vec![met()?]),
            (Question::CoverageCornerThree, TeamSide::Offense, true) => ("rule-corner-keep", vec![met()?]),
            (Question::CoverageCornerThree, TeamSide::Defense, true) => ("rule-corner-throw", vec![met()?]),
            (Question::PairOutcome, TeamSide::Offense, true) => {
                let key = match said(row)? {
                    Outcome::Flipped => "rule-pair-flipped",
                    Outcome::Slipped => "rule-pair-slipped",
                    Outcome::Ghosted => "rule-pair-ghosted",
                    Outcome::Rejected => "rule-pair-rejected",
                    Outcome::Used | Outcome::Unused => return None,
                };
                (
                    key,
                    vec![
                        ("screener", names.called(row.screener_id.as_ref()?).into()),
                        ("handler", names.called(row.handler_id.as_ref()?).into()),
                    ],
                )
            }
            (Question::DefenderPath, TeamSide::Defense, true) => {
                let key = match said(row)? {
                    OnBallPath::Under => "rule-path-under",
                    OnBallPath::Over => "rule-path-over",
                    OnBallPath::Denied => "rule-path-denied",
                    OnBallPath::Switched => "rule-path-switched",
                    OnBallPath::Unclear => return None,
                };
                (
                    key,
                    vec![("defender", names.called(row.defender_id.as_ref()?).into())],
                )
            }
            (Question::DefenderLate | Question::DefenderGap, TeamSide::Defense, true) => {
                let why = match row.question {
                    Question::DefenderLate => "late",
                    _ => "gap",
                };
                let defender = names.called(row.defender_id.as_ref()?);
                let mut args = vec![("defender", defender.into()), ("why", Arg::Word(why))];
                match row.entry? {
                    Entry::None => ("rule-defender-straight", args),
                    entry => {
                        args.push(("entry", self.a(entry).into()));
                        ("rule-defender-entry", args)
                    }
                }
            }
            _ => return None,
        })
    }

    /// The rule about what their screeners do most.
    pub fn after_rule(&self, action: ScreenerAction) -> Option<String> {
        let watch = self.watch(action)?;
        Some(self.say("rule-after", &[("watch", watch.into())]))
    }

    fn watch(&self, action: ScreenerAction) -> Option<&str> {
        let is_met = !matches!(action, ScreenerAction::Stay | ScreenerAction::Unclear);
        is_met.then(|| self.text(&format!("screener-{action}.watch")))
    }

    fn copy(&self, action: ScreenerAction) -> Option<&str> {
        let is_copied = !matches!(action, ScreenerAction::Stay | ScreenerAction::Unclear);
        is_copied.then(|| self.text(&format!("screener-{action}.copy")))
    }

    fn stop(&self, action: HandlerAction) -> Option<&str> {
        let is_met = !matches!(action, HandlerAction::Reset | HandlerAction::Unclear);
        is_met.then(|| self.text(&format!("handler-{action}.stop")))
    }
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;
    use crate::words::every_row::every_row;

    fn row(side: TeamSide, question: Question, answer: &str, effect: f32) -> AgainstLeagueRow {
        AgainstLeagueRow {
            side,
            question,
            answer: Some(answer.into()),
            effect,
            ..Row::blank()
        }
    }

    #[test]
    fn a_rule_says_what_to_do() {
        let names = Names::default();
        let slips = AgainstLeagueRow {
            coverage: Some(Coverage::Hedge),
            points_gain_low: Some(0.1),
            points_gain_high: Some(0.6),
            ..row(TeamSide::Defense, Question::ScreenerAction, "slip", 0.7)
        };
        assert_eq!(
            Words::english().rule(&names, &slips).unwrap(),
            "Against a hedge, slip the screen: it has paid."
        );
        // That others do it is no reason to.
        let unclear = AgainstLeagueRow {
            points_gain_low: Some(-0.1),
            ..slips
        };
        assert_eq!(Words::english().rule(&names, &unclear), None);
        let flips = AgainstLeagueRow {
            handler_id: Some("4".into()),
            screener_id: Some("16".into()),
            ..row(TeamSide::Offense, Question::PairOutcome, "flipped", 0.5)
        };
        assert_eq!(
            Words::english().rule(&names, &flips).unwrap(),
            "When 16 screens for 4, the first side is not the real one: stay with 16 and call the flip."
        );
    }

    #[test]
    fn what_they_do_less_than_others_gives_no_rule() {
        assert_eq!(
            Words::english().rule(
                &Names::default(),
                &row(TeamSide::Offense, Question::Side, "left", -0.5)
            ),
            None
        );
    }

    #[test]
    fn what_the_points_say_does_not_work_gives_no_rule() {
        let slips = AgainstLeagueRow {
            coverage: Some(Coverage::Hedge),
            points_gain_low: Some(-0.6),
            points_gain_high: Some(-0.1),
            ..row(TeamSide::Defense, Question::ScreenerAction, "slip", 0.7)
        };
        assert_eq!(Words::english().rule(&Names::default(), &slips), None);
        // A coverage that works for them is met all the same.
        let hedges = AgainstLeagueRow {
            coverage: None,
            question: Question::Coverage,
            answer: Some("hedge".into()),
            ..slips
        };
        assert!(Words::english().rule(&Names::default(), &hedges).is_some());
    }

    #[test]
    fn no_rule_reads_badly_whatever_the_question() {
        let words = Words::english();
        let answers = [
            "rub", "rub/left", "middle", "hedge", "slip", "split", "flipped", "under",
        ];
        for row in every_row(&answers, |side, question, answer| {
            row(side, question, answer, 0.4)
        }) {
            let Some(rule) = words.rule(&Names::default(), &row) else {
                continue;
            };
            assert!(rule.ends_with('.'), "{rule}");
            assert!(!rule.contains("at at") && !rule.contains(" an ice"), "{rule}");
            // An instruction, not a warning.
            let warns = ["Know", "Expect", "ready", "watch"]
                .iter()
                .any(|word| rule.contains(word));
            assert!(!warns, "{rule}");
            assert!(
                rule.starts_with(char::is_uppercase) || rule.starts_with("21"),
                "{rule}"
            );
        }
    }
}
