//! What sets a team apart from its league, as a sentence.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{
    Coverage, Entry, HandlerAction, OnBallPath, Outcome, Question, ScreenerAction, TeamSide,
};

use super::grammar::a;
use super::players::Names;
use super::rules::noun;
use super::tags;

/// A sentence in parts, so that the team's number can be shown with weight: `before`, `ours`, `after`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// What the number is of.
    pub before: String,
    /// The team's number.
    pub ours: String,
    /// The rest, with the other teams' number.
    pub after: String,
}

/// `25 %`
fn percent(share: f32) -> String {
    // Of less than one in a hundred a whole number says nothing.
    let digits = usize::from(share > 0.0 && share < 0.01);
    format!("{:.digits$}\u{a0}%", share * 100.0)
}

/// `0.5 s` of lateness, `1.4 m` of a gap, `1.05 points`.
fn measured(question: Question, value: f32) -> String {
    let (digits, unit) = digits_and_unit(question);
    format!("{value:.digits$}\u{a0}{unit}")
}

/// The row's range: `20–32 %`, `0.3–0.7 s`.
pub fn range(row: &AgainstLeagueRow) -> String {
    let (low, high) = (row.value_low, row.value_high);
    if row.hits.is_some() {
        format!("{:.0}–{:.0}\u{a0}%", low * 100.0, high * 100.0)
    } else {
        let (digits, _) = digits_and_unit(row.question);
        format!("{low:.digits$}–{}", measured(row.question, high))
    }
}

const fn digits_and_unit(question: Question) -> (usize, &'static str) {
    match question {
        Question::CoveragePoints => (2, "points"),
        Question::DefenderGap => (1, "m"),
        _ => (1, "s"),
    }
}

/// The row's number, or its league's, as it is shown: `25 %`, `0.5 s`.
pub fn number(row: &AgainstLeagueRow, value: f32) -> String {
    match row.hits {
        Some(_) => percent(value),
        None => measured(row.question, value),
    }
}

/// What the row says, of the team as `they`; `None` of a row whose words are not those of its question.
pub fn standing(names: &Names, row: &AgainstLeagueRow) -> Option<Standing> {
    let (before, after) = match row.question {
        Question::Entry => match said(row)? {
            Entry::None => (
                "They go straight into ".to_owned(),
                " of their ball screens, with nothing before".to_owned(),
            ),
            entry => (
                format!("They come out of {} on ", a(tags::entry(entry))),
                " of their ball screens".to_owned(),
            ),
        },
        Question::EntrySide => {
            let (entry, place) = entry_and_place(row)?;
            (
                format!("They come out of {entry} into a ball screen {place} on "),
                " of their ball screens".to_owned(),
            )
        }
        Question::Side => (
            format!("They set the ball screen {} on ", on_side(row.answer.as_deref()?)),
            " of their ball screens".to_owned(),
        ),
        Question::Coverage => (
            format!("They play {} on ", tags::coverage(said(row)?)),
            " of the ball screens against them".to_owned(),
        ),
        Question::ScreenerAction => {
            let does = tags::screener(said::<ScreenerAction>(row)?)?;
            (format!("{} the {does} on ", met(row)?), String::new())
        }
        Question::HandlerAction => {
            let does = tags::handler(said::<HandlerAction>(row)?)?;
            (format!("{} the {does} on ", met(row)?), String::new())
        }
        Question::CoverageBeat => (
            format!("{} the offence gets points or an open shot on ", met(row)?),
            String::new(),
        ),
        Question::ActionBeat => {
            let does = tags::screener(row.screener_action?)?;
            (
                format!(
                    "{} when the {does}, the offence gets points or an open shot on ",
                    met(row)?
                ),
                String::new(),
            )
        }
        Question::CoveragePoints => (
            format!("{} the offence gets ", met(row)?),
            " a possession".to_owned(),
        ),
        Question::CoverageOpenShot => (
            format!("{} an open shot comes of ", met(row)?),
            " of them".to_owned(),
        ),
        Question::CoverageScreenerAtRim => (
            format!("{} the screener shoots at the rim on ", met(row)?),
            String::new(),
        ),
        Question::CoverageCornerThree => (
            format!("{} a three from the corner comes of ", met(row)?),
            " of them".to_owned(),
        ),
        Question::CoverageTurnover => (
            format!("{} the ball is turned over on ", met(row)?),
            String::new(),
        ),
        Question::PairOutcome => {
            let [handler, screener] = [&row.handler_id, &row.screener_id].map(Option::as_ref);
            (
                format!(
                    "Of the ball screens that {} sets for {}, ",
                    names.called(screener?),
                    names.called(handler?)
                ),
                match said::<Outcome>(row)? {
                    Outcome::Flipped => " are flipped to the other side".to_owned(),
                    outcome => format!(" are {}", tags::outcome(outcome)),
                },
            )
        }
        Question::DefenderPath => {
            let defender = names.called(row.defender_id.as_ref()?);
            let goes = match said::<OnBallPath>(row)? {
                OnBallPath::Over => "goes over the screen",
                OnBallPath::Under => "goes under the screen",
                OnBallPath::Denied => "keeps the handler from the screen",
                OnBallPath::Switched => "switches",
                OnBallPath::Unclear => return None,
            };
            (format!("{defender}, on the ball, {goes} on "), String::new())
        }
        Question::DefenderLate | Question::DefenderGap => {
            let defender = names.called(row.defender_id.as_ref()?);
            let when = match row.entry? {
                Entry::None => "when nothing came before it".to_owned(),
                entry => format!("when it comes out of {}", a(tags::entry(entry))),
            };
            let (what, after) = match row.question {
                Question::DefenderLate => (
                    "in place, where they get there at all, ",
                    "after the screen is set",
                ),
                _ => ("", "out of position when the screen is set"),
            };
            (
                format!("{defender}, guarding the screener, is {what}"),
                format!(" {after}, {when}"),
            )
        }
    };
    let number = |value: f32| number(row, value);
    let others = match (row.question, row.side) {
        (Question::DefenderPath | Question::DefenderLate | Question::DefenderGap, _) => {
            "other teams' defenders"
        }
        (Question::PairOutcome, _) => "other teams' pairs",
        (_, TeamSide::Defense) if row.coverage.is_some() => "against the other teams",
        _ => "the other teams",
    };
    Some(Standing {
        before,
        ours: number(row.value),
        after: format!("{after}; {others} {}.", number(row.league)),
    })
}

/// `on the left`, `in the middle`.
pub(super) fn on_side(side: &str) -> String {
    match side {
        "middle" => "in the middle".to_owned(),
        side => format!("on the {side}"),
    }
}

/// What a ball screen came out of, with its article, and where it is set, of a row that counts both.
pub(super) fn entry_and_place(row: &AgainstLeagueRow) -> Option<(String, String)> {
    let (entry, side) = row.answer.as_deref()?.split_once('/')?;
    let entry: Entry = entry.parse().ok()?;
    Some((a(tags::entry(entry)), on_side(side)))
}

/// `Against a hedge`, `When they hedge`.
fn met(row: &AgainstLeagueRow) -> Option<String> {
    Some(match row.side {
        TeamSide::Offense => match row.coverage? {
            Coverage::Level => "Against a defender at the level of the screen".to_owned(),
            coverage => format!("Against {}", noun(coverage)),
        },
        TeamSide::Defense => match row.coverage? {
            Coverage::Level => "When they come up to the level of the screen,".to_owned(),
            coverage => format!("When they {},", tags::coverage(coverage)),
        },
    })
}

/// The row's answer as a tag; `None` where it is none of them.
pub(super) fn said<T: std::str::FromStr>(row: &AgainstLeagueRow) -> Option<T> {
    row.answer.as_deref()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;

    fn text(row: AgainstLeagueRow) -> String {
        let standing = standing(&Names::default(), &row).unwrap();
        let text = [standing.before, standing.ours, standing.after].concat();
        text.replace('\u{a0}', " ")
    }

    fn share(side: TeamSide, question: Question, answer: Option<&str>) -> AgainstLeagueRow {
        AgainstLeagueRow {
            side,
            question,
            answer: answer.map(Into::into),
            hits: Some(40),
            value: 0.4,
            league: 0.1,
            ..Row::blank()
        }
    }

    #[test]
    fn each_question_has_its_sentence() {
        use TeamSide::{Defense, Offense};
        assert_eq!(
            text(share(Offense, Question::EntrySide, Some("rub/right"))),
            "They come out of a rub screen into a ball screen on the right on 40 % of their ball screens; the other teams 10 %."
        );
        assert_eq!(
            text(AgainstLeagueRow {
                coverage: Some(Coverage::Hedge),
                ..share(Defense, Question::ScreenerAction, Some("slip"))
            }),
            "When they hedge, the screener slips on 40 %; against the other teams 10 %."
        );
        assert_eq!(
            text(AgainstLeagueRow {
                handler_id: Some("4".into()),
                screener_id: Some("16".into()),
                ..share(Offense, Question::PairOutcome, Some("flipped"))
            }),
            "Of the ball screens that 16 sets for 4, 40 % are flipped to the other side; other teams' pairs 10 %."
        );
        assert_eq!(
            text(AgainstLeagueRow {
                defender_id: Some("21".into()),
                entry: Some(Entry::Rub),
                hits: None,
                value: 0.81,
                league: 0.28,
                ..share(Defense, Question::DefenderLate, None)
            }),
            "21, guarding the screener, is in place, where they get there at all, 0.8 s after the screen is set, when it comes out of a rub screen; other teams' \
             defenders 0.3 s."
        );
    }

    #[test]
    fn a_row_with_a_word_of_another_question_has_no_sentence() {
        let row = share(TeamSide::Offense, Question::Entry, Some("hedge"));
        assert_eq!(standing(&Names::default(), &row), None);
    }
}
