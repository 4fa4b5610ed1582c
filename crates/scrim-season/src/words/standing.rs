//! What sets a team apart from its league, as a sentence.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{
    Coverage, Entry, HandlerAction, OnBallPath, Outcome, Question, ScreenerAction, TeamSide,
};

use super::players::Names;
use super::said::{Arg, Said, strong};
use super::translation::Words;

/// Where a sentence stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begins {
    /// By itself.
    Sentence,
    /// After a colon.
    Within,
}

/// How many digits a question's measure has, and the messages of one value and of a range.
const fn digits_and_unit(question: Question) -> (usize, &'static str, &'static str) {
    match question {
        Question::CoveragePoints => (2, "points-measured", "points-measured-range"),
        Question::DefenderGap => (1, "metres", "metres-range"),
        _ => (1, "seconds", "seconds-range"),
    }
}

impl Words {
    /// The row's number, or its league's, as it is shown: `25 %`, `0.5 s` of lateness, `1.4 m` of a gap, `1.05 points`.
    pub fn number(&self, row: &AgainstLeagueRow, value: f32) -> String {
        if row.hits.is_some() {
            // Of less than one in a hundred a whole number says nothing.
            let digits = usize::from(value > 0.0 && value < 0.01);
            return self.percent(f64::from(value * 100.0), digits);
        }
        let (digits, unit, _) = digits_and_unit(row.question);
        self.say(unit, &[("number", self.decimal(value.into(), digits).into())])
    }

    /// The row's range: `20–32 %`, `0.3–0.7 s`.
    pub fn range(&self, row: &AgainstLeagueRow) -> String {
        let (low, high) = (row.value_low, row.value_high);
        if row.hits.is_some() {
            return self.percent_range(f64::from(low * 100.0), f64::from(high * 100.0));
        }
        let (digits, _, unit) = digits_and_unit(row.question);
        let number = |value: f32| self.decimal(value.into(), digits).into();
        self.say(unit, &[("low", number(low)), ("high", number(high))])
    }

    /// [`Words::number`] without the word "points", for a table whose head or row says it.
    pub fn bare_number(&self, row: &AgainstLeagueRow, value: f32) -> String {
        match row.question {
            Question::CoveragePoints => self.decimal(value.into(), 2),
            _ => self.number(row, value),
        }
    }

    /// [`Words::range`] without the word "points".
    pub fn bare_range(&self, row: &AgainstLeagueRow) -> String {
        match row.question {
            Question::CoveragePoints => {
                let [low, high] = [row.value_low, row.value_high].map(|bound| self.decimal(bound.into(), 2));
                format!("{low}–{high}")
            }
            _ => self.range(row),
        }
    }

    /// What the row says, of the team as `they`, with weight on the team's number; `None` of a row whose words are not those of its question.
    pub fn standing(&self, names: &Names, row: &AgainstLeagueRow, begins: Begins) -> Option<Said> {
        let (key, args) = self.standing_parts(names, row, begins)?;
        let numbers = [
            ("ours", strong(self.number(row, row.value)).into()),
            ("others", self.standing_others(row).into()),
        ];
        let args: Vec<(&str, Arg)> = args.into_iter().chain(numbers).collect();
        Some(self.said(key, &args))
    }

    /// The message of the row's question, and its own arguments.
    fn standing_parts(
        &self,
        names: &Names,
        row: &AgainstLeagueRow,
        begins: Begins,
    ) -> Option<(&'static str, Vec<(&'static str, Arg)>)> {
        let met = || Some(("met", self.met(row)?.into()));
        Some(match row.question {
            Question::Entry => match said(row)? {
                Entry::None => ("standing-straight", vec![]),
                entry => ("standing-entry", vec![("entry", self.a(entry).into())]),
            },
            Question::EntrySide => {
                let (entry, place) = self.entry_and_place(row)?;
                (
                    "standing-entry-side",
                    vec![("entry", entry.into()), ("place", place.into())],
                )
            }
            Question::Side => {
                let place = self.on_side(row.answer.as_deref()?);
                ("standing-side", vec![("place", place.into())])
            }
            Question::Coverage => {
                let coverage = self.coverage(said(row)?);
                ("standing-coverage", vec![("coverage", coverage.into())])
            }
            Question::ScreenerAction => {
                let does = self.screener(said::<ScreenerAction>(row)?)?;
                ("standing-does", vec![met()?, ("does", does.into())])
            }
            Question::HandlerAction => {
                let does = self.handler(said::<HandlerAction>(row)?)?;
                ("standing-does", vec![met()?, ("does", does.into())])
            }
            Question::ActionBeat => {
                let does = self.screener(row.screener_action?)?;
                ("standing-action-beat", vec![met()?, ("does", does.into())])
            }
            Question::CoverageBeat => ("standing-beat", vec![met()?]),
            Question::CoveragePoints => ("standing-points", vec![met()?]),
            Question::CoverageOpenShot => ("standing-open-shot", vec![met()?]),
            Question::CoverageScreenerAtRim => ("standing-screener-at-rim", vec![met()?]),
            Question::CoverageCornerThree => ("standing-corner-three", vec![met()?]),
            Question::CoverageTurnover => ("standing-turnover", vec![met()?]),
            Question::PairOutcome => {
                let [handler, screener] = [&row.handler_id, &row.screener_id].map(Option::as_ref);
                let begins = match begins {
                    Begins::Sentence => "sentence",
                    Begins::Within => "within",
                };
                (
                    "standing-pair",
                    vec![
                        ("begins", Arg::Word(begins)),
                        ("screener", names.called(screener?).into()),
                        ("handler", names.called(handler?).into()),
                        ("outcome", Arg::Word(said::<Outcome>(row)?.as_str())),
                    ],
                )
            }
            Question::DefenderPath => {
                let path = said::<OnBallPath>(row).filter(|path| *path != OnBallPath::Unclear)?;
                (
                    "standing-path",
                    vec![
                        ("defender", names.called(row.defender_id.as_ref()?).into()),
                        ("path", Arg::Word(path.as_str())),
                    ],
                )
            }
            Question::DefenderLate | Question::DefenderGap => {
                let when = match row.entry? {
                    Entry::None => self.text("standing-when-straight").to_owned(),
                    entry => self.say("standing-when-entry", &[("entry", self.a(entry).into())]),
                };
                let key = match row.question {
                    Question::DefenderLate => "standing-late",
                    _ => "standing-gap",
                };
                let defender = names.called(row.defender_id.as_ref()?);
                (key, vec![("defender", defender.into()), ("when", when.into())])
            }
        })
    }

    /// The other teams' number, with whose it is.
    fn standing_others(&self, row: &AgainstLeagueRow) -> String {
        let whom = match (row.question, row.side) {
            (Question::DefenderPath | Question::DefenderLate | Question::DefenderGap, _) => "defenders",
            (Question::PairOutcome, _) => "pairs",
            (_, TeamSide::Defense) if row.coverage.is_some() => "against",
            _ => "teams",
        };
        self.say(
            "standing-others",
            &[
                ("whom", Arg::Word(whom)),
                ("number", self.number(row, row.league).into()),
            ],
        )
    }

    /// What a ball screen came out of, with its article, and where it is set, of a row that counts both.
    pub(super) fn entry_and_place<'t>(&'t self, row: &'t AgainstLeagueRow) -> Option<(&'t str, &'t str)> {
        let (entry, side) = row.answer.as_deref()?.split_once('/')?;
        let entry: Entry = entry.parse().ok()?;
        Some((self.a(entry), self.on_side(side)))
    }

    /// `Against a hedge`, `When they hedge,`.
    fn met(&self, row: &AgainstLeagueRow) -> Option<&str> {
        let coverage = row.coverage.filter(|word| *word != Coverage::Unclear)?;
        Some(match row.side {
            TeamSide::Offense => self.text(&format!("coverage-{coverage}.against")),
            TeamSide::Defense => self.text(&format!("coverage-{coverage}.when")),
        })
    }
}

/// The row's answer as a tag; `None` where it is none of them.
pub(super) fn said<T: std::str::FromStr>(row: &AgainstLeagueRow) -> Option<T> {
    row.answer.as_deref()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;
    use crate::words::Shown;
    use crate::words::every_row::every_row;

    fn text(row: AgainstLeagueRow) -> String {
        let standing = Words::english().standing(&Names::default(), &row, Begins::Sentence);
        standing.unwrap().text().replace('\u{a0}', " ")
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
        let words = Words::english();
        assert_eq!(words.standing(&Names::default(), &row, Begins::Sentence), None);
    }

    #[test]
    fn the_teams_number_has_weight_and_a_pair_begins_small_after_a_colon() {
        let row = AgainstLeagueRow {
            handler_id: Some("4".into()),
            screener_id: Some("16".into()),
            ..share(TeamSide::Offense, Question::PairOutcome, Some("used"))
        };
        let words = Words::english();
        let said = words.standing(&Names::default(), &row, Begins::Within).unwrap();
        let pieces: Vec<_> = said.pieces().collect();
        assert_eq!(
            pieces[..2],
            [
                (Shown::Plain, "of the ball screens that 16 sets for 4, "),
                (Shown::Strong, "40\u{a0}%"),
            ]
        );
    }

    #[test]
    fn every_question_has_words_for_every_coverage() {
        // A message that is not there stops the test where it is looked up.
        let words = Words::english();
        let answers = [
            "none", "rub/left", "middle", "hedge", "slip", "split", "flipped", "under",
        ];
        for row in every_row(&answers, |side, question, answer| {
            share(side, question, Some(answer))
        }) {
            let said = words.standing(&Names::default(), &row, Begins::Sentence);
            let text = said.map(Said::text).unwrap_or_default();
            assert!(text.is_empty() || text.ends_with('.'), "{text}");
        }
    }
}
