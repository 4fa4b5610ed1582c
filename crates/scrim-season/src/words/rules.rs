//! What to do about what sets a team apart, in the imperative, for the players who meet it.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{
    Coverage, Entry, HandlerAction, OnBallPath, Outcome, Question, ScreenerAction, TeamSide,
};

use super::grammar::a;
use super::pay::fails;
use super::players::Names;
use super::standing::{entry_and_place, on_side, said};
use super::tags;

/// The rule that the row supports: an instruction for the players who meet the team. `None` where it supports none: what they do less than
/// others, what only a count says, and what the points say does not work for the offence. What a rule says to do follows from what the row counts
/// (who does what, where, when); that it helps is common practice, no source.
pub fn rule(names: &Names, row: &AgainstLeagueRow) -> Option<String> {
    let is_more = row.effect > 0.0;
    // How they cover is met whether it works or not.
    if row.question != Question::Coverage && fails(row) {
        return None;
    }
    match (row.question, row.side, is_more) {
        (Question::Entry, TeamSide::Offense, true) => match said(row)? {
            Entry::None => Some("Get to the ball screen at once: nothing comes before it.".into()),
            Entry::BallScreen => Some("After a ball screen stay with the ball: another one comes.".into()),
            entry => Some(format!(
                "When you see {}, get to the ball: a ball screen comes out of it.",
                a(tags::entry(entry))
            )),
        },
        (Question::EntrySide, TeamSide::Offense, true) => {
            let (entry, place) = entry_and_place(row)?;
            Some(format!(
                "When you see {entry}, get to the ball {place}: a ball screen comes out of it."
            ))
        }
        (Question::Side, TeamSide::Offense, true) => Some(format!(
            "Be {} early: they set the ball screen there.",
            on_side(row.answer.as_deref()?)
        )),
        (Question::Coverage, TeamSide::Defense, true) => Some(format!(
            "Set your ball screens for {}: they play it more than others.",
            noun(said(row)?)
        )),
        (Question::ScreenerAction, TeamSide::Offense, true) => {
            Some(format!("In {}, {}.", noun(row.coverage?), watch(said(row)?)?))
        }
        (Question::ScreenerAction, TeamSide::Defense, true) => Some(format!(
            "Against {}, {}: others do it more than against other teams.",
            noun(row.coverage?),
            copy(said(row)?)?
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
                (
                    "Play something else than",
                    "they get more from it than other teams",
                )
            } else {
                ("Play", "they get less from it than other teams")
            };
            Some(format!("{advice} {}: {what}.", noun(row.coverage?)))
        }
        (Question::CoverageScreenerAtRim, TeamSide::Offense, true) => Some(format!(
            "In {}, keep the screener from the rim.",
            noun(row.coverage?)
        )),
        (Question::CoverageScreenerAtRim, TeamSide::Defense, true) => Some(format!(
            "Against {}, throw to the screener at the rim.",
            noun(row.coverage?)
        )),
        (Question::CoverageCornerThree, TeamSide::Offense, true) => {
            Some(format!("In {}, do not leave the corners.", noun(row.coverage?)))
        }
        (Question::CoverageCornerThree, TeamSide::Defense, true) => {
            Some(format!("Against {}, throw to the corners.", noun(row.coverage?)))
        }
        (Question::PairOutcome, TeamSide::Offense, true) => {
            let [handler, screener] = [&row.handler_id, &row.screener_id].map(Option::as_ref);
            let [handler, screener] = [names.called(handler?), names.called(screener?)];
            let does = match said(row)? {
                Outcome::Flipped => {
                    "step out to the ball before the screen turns to the other side".to_owned()
                }
                Outcome::Slipped => format!("stay with {screener} until they stand: they slip"),
                Outcome::Ghosted => format!("stay with {screener}: they run through without screening"),
                Outcome::Rejected => format!("do not let {handler} go away from the screen"),
                Outcome::Used | Outcome::Unused => return None,
            };
            Some(format!("When {screener} screens for {handler}, {does}."))
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
        ScreenerAction::Pop => "get out to the pop",
        ScreenerAction::Slip => "stay with the screener until they stand: they slip",
        ScreenerAction::Ghost => "stay with the screener: they run through without screening",
        ScreenerAction::Rescreen => "stay with the ball after the screen: they screen again",
        ScreenerAction::Stay | ScreenerAction::Unclear => return None,
    })
}

fn copy(action: ScreenerAction) -> Option<&'static str> {
    Some(match action {
        ScreenerAction::Roll => "roll",
        ScreenerAction::ShortRoll => "stop short on the roll",
        ScreenerAction::Pop => "pop",
        ScreenerAction::Slip => "slip the screen",
        ScreenerAction::Ghost => "ghost the screen",
        ScreenerAction::Rescreen => "screen again",
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
        HandlerAction::Pass => "take away the first pass",
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
            "Against a hedge, slip the screen: others do it more than against other teams."
        );
        let flips = AgainstLeagueRow {
            handler_id: Some("4".into()),
            screener_id: Some("16".into()),
            ..row(TeamSide::Offense, Question::PairOutcome, "flipped", 0.5)
        };
        assert_eq!(
            rule(&names, &flips).unwrap(),
            "When 16 screens for 4, step out to the ball before the screen turns to the other side."
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
    fn what_the_points_say_does_not_work_gives_no_rule() {
        let slips = AgainstLeagueRow {
            coverage: Some(Coverage::Hedge),
            points_gain_low: Some(-0.6),
            points_gain_high: Some(-0.1),
            ..row(TeamSide::Defense, Question::ScreenerAction, "slip", 0.7)
        };
        assert_eq!(rule(&Names::default(), &slips), None);
        // A coverage that works for them is met all the same.
        let hedges = AgainstLeagueRow {
            coverage: None,
            question: Question::Coverage,
            answer: Some("hedge".into()),
            ..slips
        };
        assert!(rule(&Names::default(), &hedges).is_some());
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
        }
    }
}
