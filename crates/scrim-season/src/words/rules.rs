//! What to do about what sets a team apart, in the imperative, for the players who meet it.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{
    Coverage, Entry, HandlerAction, OnBallPath, Outcome, Question, ScreenerAction, TeamSide,
};

use super::grammar::a;
use super::players::Names;
use super::standing::{entry_and_place, on_side, said};
use super::tags;

/// The rule that the row supports; `None` where it supports none: what they do less than others, or what only a count says. What a rule says to
/// do is common practice, no source.
pub fn rule(names: &Names, row: &AgainstLeagueRow) -> Option<String> {
    let is_more = row.effect > 0.0;
    match (row.question, row.side, is_more) {
        (Question::Entry, TeamSide::Offense, true) => match said(row)? {
            Entry::None => Some("Be ready for the ball screen at once: nothing comes before it.".into()),
            entry => Some(format!(
                "Know this way into the ball screen: out of {}.",
                a(tags::entry(entry))
            )),
        },
        (Question::EntrySide, TeamSide::Offense, true) => {
            let (entry, place) = entry_and_place(row)?;
            Some(format!(
                "Know this way into the ball screen {place}: out of {entry}."
            ))
        }
        (Question::Side, TeamSide::Offense, true) => Some(format!(
            "Be ready for the ball screen {}.",
            on_side(row.answer.as_deref()?)
        )),
        (Question::Coverage, TeamSide::Defense, true) => {
            Some(format!("Expect {} when you use a ball screen.", noun(said(row)?)))
        }
        (Question::ScreenerAction, TeamSide::Offense, true) => {
            Some(format!("In {}, {}.", noun(row.coverage?), watch(said(row)?)?))
        }
        (Question::ScreenerAction, TeamSide::Defense, true) => Some(format!(
            "Against {}, others {}: know that option.",
            noun(row.coverage?),
            do_more(said(row)?)?
        )),
        (Question::HandlerAction, TeamSide::Offense, true) => {
            Some(format!("In {}, {}.", noun(row.coverage?), stop(said(row)?)?))
        }
        (Question::CoverageBeat | Question::CoveragePoints, TeamSide::Defense, true) => Some(format!(
            "Attack {}: it gives up more than other teams’.",
            noun(row.coverage?)
        )),
        (Question::CoverageBeat | Question::CoveragePoints, TeamSide::Offense, _) => {
            let (advice, what) = if is_more {
                ("Be sharp in", "they get more from it than other teams")
            } else {
                ("Trust", "they get less from it than other teams")
            };
            Some(format!("{advice} {}: {what}.", noun(row.coverage?)))
        }
        (Question::CoverageScreenerAtRim, TeamSide::Offense, true) => Some(format!(
            "In {}, keep the screener from the rim.",
            noun(row.coverage?)
        )),
        (Question::CoverageScreenerAtRim, TeamSide::Defense, true) => Some(format!(
            "Against {}, find the screener at the rim.",
            noun(row.coverage?)
        )),
        (Question::CoverageCornerThree, TeamSide::Offense, true) => {
            Some(format!("In {}, do not leave the corners.", noun(row.coverage?)))
        }
        (Question::CoverageCornerThree, TeamSide::Defense, true) => {
            Some(format!("Against {}, look at the corners.", noun(row.coverage?)))
        }
        (Question::PairOutcome, TeamSide::Offense, true) => {
            let [handler, screener] = [&row.handler_id, &row.screener_id].map(Option::as_ref);
            let becomes = match said(row)? {
                Outcome::Flipped => "be ready for the flip to the other side",
                Outcome::Slipped => "be ready for the slip",
                Outcome::Ghosted => "be ready for the ghost",
                Outcome::Rejected => "do not let the handler reject it",
                Outcome::Used | Outcome::Unused => return None,
            };
            Some(format!(
                "When {} screens for {}, {becomes}.",
                names.called(screener?),
                names.called(handler?)
            ))
        }
        (Question::DefenderPath, TeamSide::Defense, true) => {
            let defender = names.called(row.defender_id.as_ref()?);
            match said(row)? {
                OnBallPath::Under => Some(format!("{defender} goes under the screen: shoot behind it.")),
                OnBallPath::Over => Some(format!("{defender} goes over the screen: turn the corner.")),
                OnBallPath::Denied => Some(format!("{defender} keeps you from the screen: reject it.")),
                OnBallPath::Switched => Some(format!("{defender} switches: look for the mismatch.")),
                OnBallPath::Unclear => None,
            }
        }
        (Question::DefenderLate | Question::DefenderGap, TeamSide::Defense, true) => {
            let defender = names.called(row.defender_id.as_ref()?);
            let why = match row.question {
                Question::DefenderLate => "late",
                _ => "out of position",
            };
            Some(match row.entry? {
                Entry::None => format!("Screen with the player whom {defender} guards: {defender} is {why}."),
                entry => format!(
                    "After {}, screen with the player whom {defender} guards: {defender} is {why}.",
                    a(tags::entry(entry))
                ),
            })
        }
        _ => None,
    }
}

/// `a hedge`, `a coverage at the level of the screen`, `ice`.
pub fn noun(coverage: Coverage) -> String {
    match coverage {
        Coverage::Level => "a coverage at the level of the screen".into(),
        Coverage::Ice => "ice".into(),
        coverage => a(tags::coverage(coverage)),
    }
}

fn watch(action: ScreenerAction) -> Option<&'static str> {
    Some(match action {
        ScreenerAction::Roll => "stop the roll",
        ScreenerAction::ShortRoll => "stop the short roll",
        ScreenerAction::Pop => "be out at the pop",
        ScreenerAction::Slip => "watch for the slip",
        ScreenerAction::Ghost => "watch for the ghost",
        ScreenerAction::Rescreen => "be ready for a second screen",
        ScreenerAction::Stay | ScreenerAction::Unclear => return None,
    })
}

fn do_more(action: ScreenerAction) -> Option<&'static str> {
    Some(match action {
        ScreenerAction::Roll => "roll more",
        ScreenerAction::ShortRoll => "short-roll more",
        ScreenerAction::Pop => "pop more",
        ScreenerAction::Slip => "slip more",
        ScreenerAction::Ghost => "ghost more",
        ScreenerAction::Rescreen => "screen again more",
        ScreenerAction::Stay | ScreenerAction::Unclear => return None,
    })
}

fn stop(action: HandlerAction) -> Option<&'static str> {
    Some(match action {
        HandlerAction::Drive => "stop the drive",
        HandlerAction::PullUp => "contest the pull-up",
        HandlerAction::StepBack => "contest the step-back",
        HandlerAction::Split => "close the gap between you: they split it",
        HandlerAction::Reject => "do not let the handler reject it",
        HandlerAction::Pass => "be ready for the pass",
        HandlerAction::Reset | HandlerAction::Unclear => return None,
    })
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;

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
            ..row(TeamSide::Defense, Question::ScreenerAction, "slip", 0.7)
        };
        assert_eq!(
            rule(&names, &slips).unwrap(),
            "Against a hedge, others slip more: know that option."
        );
        let flips = AgainstLeagueRow {
            handler_id: Some("4".into()),
            screener_id: Some("16".into()),
            ..row(TeamSide::Offense, Question::PairOutcome, "flipped", 0.5)
        };
        assert_eq!(
            rule(&names, &flips).unwrap(),
            "When 16 screens for 4, be ready for the flip to the other side."
        );
    }

    #[test]
    fn what_they_do_less_than_others_gives_no_rule() {
        assert_eq!(
            rule(
                &Names::default(),
                &row(TeamSide::Offense, Question::Side, "left", -0.5)
            ),
            None
        );
    }

    #[test]
    fn no_rule_reads_badly_whatever_the_question() {
        for &question in Question::ALL {
            for side in [TeamSide::Offense, TeamSide::Defense] {
                for &coverage in Coverage::ALL {
                    for answer in [
                        "rub", "rub/left", "middle", "hedge", "slip", "split", "flipped", "under",
                    ] {
                        let row = AgainstLeagueRow {
                            coverage: Some(coverage),
                            entry: Some(Entry::Rub),
                            screener_action: Some(ScreenerAction::Slip),
                            handler_id: Some("4".into()),
                            screener_id: Some("16".into()),
                            defender_id: Some("21".into()),
                            ..row(side, question, answer, 0.4)
                        };
                        let Some(rule) = rule(&Names::default(), &row) else {
                            continue;
                        };
                        assert!(rule.ends_with('.'), "{rule}");
                        assert!(!rule.contains("at at") && !rule.contains("an ice"), "{rule}");
                        assert!(
                            rule.starts_with(char::is_uppercase) || rule.starts_with("21"),
                            "{rule}"
                        );
                    }
                }
            }
        }
    }
}
