//! How far two labellers agree, over the clips that both have answered.

use std::collections::BTreeMap;
use std::fmt;

use scrim_statistics::{Agreement, cohens_kappa};

use crate::answer::Line;
use crate::question::Question;
use crate::standing::{Answered, Standing, Verdict};

/// Of fewer clips kappa says nothing. Common practice, no source.
const FEWEST: u64 = 10;
/// Bounds nearer than this are one number when they are printed.
const NO_WIDTH: f64 = 0.005;

/// What is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Whether there is a screen at all.
    IsAScreen,
    /// A tag, of clips that both call a screen.
    Tag(Question),
}

/// One question.
#[derive(Debug, Clone, PartialEq)]
pub struct QuestionAgreement {
    /// Which.
    pub asked: Asked,
    /// How far they agree; none when there is no clip that both gave a word.
    pub agreement: Option<Agreement>,
}

/// Two labellers.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoLabellers {
    /// Who.
    pub labellers: [String; 2],
    /// Clips that both have ended.
    pub clips: usize,
    /// Of these, those that one of them could not answer.
    pub unknown: usize,
    /// Question by question.
    pub questions: Vec<QuestionAgreement>,
}

/// Compares two journals.
pub fn agreement(labellers: [&str; 2], lines: [&[Line]; 2]) -> TwoLabellers {
    let [first, second] = lines.map(Standing::of);
    let ended = |one: &&Answered| one.verdict.is_some();
    let both: Vec<(&Answered, &Answered)> = first
        .clips()
        .iter()
        .filter(ended)
        .filter_map(|one| Some((one, second.find(&one.clip.named()).filter(ended)?)))
        .collect();
    let is_known = |one: &Answered| one.verdict != Some(Verdict::Unknown);
    let known: Vec<&(&Answered, &Answered)> =
        both.iter().filter(|(a, b)| is_known(a) && is_known(b)).collect();
    let verdicts = known.iter().map(|(a, b)| (verdict(a), verdict(b)));
    let mut questions = vec![QuestionAgreement {
        asked: Asked::IsAScreen,
        agreement: of_words(verdicts),
    }];
    let is_screen = |one: &Answered| one.verdict == Some(Verdict::Screen);
    for question in Question::ALL {
        let words = known
            .iter()
            .filter(|(a, b)| is_screen(a) && is_screen(b))
            .filter_map(|(a, b)| Some((a.word(question)?, b.word(question)?)));
        questions.push(QuestionAgreement {
            asked: Asked::Tag(question),
            agreement: of_words(words),
        });
    }
    TwoLabellers {
        labellers: labellers.map(Into::into),
        clips: both.len(),
        unknown: both.len() - known.len(),
        questions,
    }
}

fn verdict(one: &Answered) -> &'static str {
    if one.verdict == Some(Verdict::Screen) {
        "screen"
    } else {
        "none"
    }
}

fn of_words<'a>(pairs: impl Iterator<Item = (&'a str, &'a str)>) -> Option<Agreement> {
    let pairs: Vec<(&str, &str)> = pairs.collect();
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    for word in pairs.iter().flat_map(|(a, b)| [a, b]) {
        let next = places.len();
        places.entry(word).or_insert(next);
    }
    let mut counts = vec![vec![0_u64; places.len()]; places.len()];
    for (a, b) in pairs {
        counts[places[a]][places[b]] += 1;
    }
    cohens_kappa(&counts)
}

impl Asked {
    /// What it is called in words.
    pub fn title(self) -> &'static str {
        match self {
            Self::IsAScreen => "is it a screen",
            Self::Tag(question) => question.title(),
        }
    }

    /// Whether kappa says something: between players it does not, for which player it could be changes from clip to clip.
    fn has_kappa(self) -> bool {
        match self {
            Self::IsAScreen => true,
            Self::Tag(question) => !question.is_of_players(),
        }
    }
}

impl fmt::Display for TwoLabellers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [first, second] = &self.labellers;
        writeln!(
            f,
            "{first} and {second}: {} clips that both have answered, {} of them unknown to one or both\n",
            self.clips, self.unknown
        )?;
        writeln!(
            f,
            "{:20}  {:>5}  {:>5}  Cohen's kappa [95 %]",
            "", "clips", "same"
        )?;
        for QuestionAgreement { asked, agreement } in &self.questions {
            let Some(agreement) = agreement else {
                writeln!(f, "{:20}  {:>5}", asked.title(), 0)?;
                continue;
            };
            let kappa = match (asked.has_kappa(), agreement.kappa) {
                (false, _) => "(players: no kappa)".to_owned(),
                _ if agreement.n < FEWEST => format!("(fewer than {FEWEST} clips: no kappa)"),
                (true, None) => "(one of them uses one word alone: no kappa)".to_owned(),
                (true, Some(kappa)) if kappa.high - kappa.low < NO_WIDTH => {
                    format!("{:5.2} (no bounds: such a table has no spread)", kappa.value)
                }
                (true, Some(kappa)) => {
                    format!("{:5.2} [{:.2}, {:.2}]", kappa.value, kappa.low, kappa.high)
                }
            };
            writeln!(
                f,
                "{:20}  {:>5}  {:>5}  {kappa}",
                asked.title(),
                agreement.n,
                agreement.same
            )?;
        }
        writeln!(
            f,
            "\nBoth saw the program's tags before they answered, which draws them together. Bounds of fewer than some 50 clips are too narrow."
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::Answer;
    use crate::staging::{clip, lines_of};

    fn coverage(word: &str) -> Answer {
        Answer::Word {
            question: Question::Coverage,
            word: Some(word.into()),
        }
    }

    #[test]
    fn each_question_counts_the_clips_that_both_gave_a_word() {
        let first = lines_of(vec![
            (clip(0), Answer::Right),
            (clip(1), Answer::Right),
            (clip(2), Answer::NotAScreen),
            (clip(3), coverage("ice")),
            (clip(3), Answer::Right),
            (clip(4), Answer::CannotTell),
            (clip(5), Answer::Right),
        ]);
        let second = lines_of(vec![
            (clip(0), Answer::Right),
            (clip(1), coverage("hedge")),
            (clip(1), Answer::Right),
            (clip(2), Answer::NotAScreen),
            (clip(3), coverage("ice")),
            (clip(3), Answer::Right),
            (clip(4), Answer::Right),
        ]);
        let both = agreement(["ANN", "BEA"], [&first, &second]);
        assert_eq!((both.clips, both.unknown), (5, 1));
        let of = |asked| {
            both.questions
                .iter()
                .find(|one| one.asked == asked)
                .unwrap()
                .agreement
                .unwrap()
        };
        let is_screen = of(Asked::IsAScreen);
        assert_eq!((is_screen.n, is_screen.same), (4, 4));
        assert_eq!(is_screen.kappa.unwrap().value, 1.0);
        // Drop and drop, drop and hedge, ice and ice: agreed 2/3; by chance (2/3 · 1/3) + (1/3 · 1/3) = 1/3; kappa 0.5.
        let coverage = of(Asked::Tag(Question::Coverage));
        assert_eq!((coverage.n, coverage.same), (3, 2));
        assert!((coverage.kappa.unwrap().value - 0.5).abs() < 1e-12);
        assert_eq!(of(Asked::Tag(Question::Outcome)).kappa, None);
        let text = both.to_string();
        assert!(
            text.contains("players: no kappa") && text.contains("fewer than 10 clips"),
            "{text}"
        );
        assert!(!text.contains("0.50"), "{text}");
    }

    #[test]
    fn kappa_is_printed_where_it_says_something() {
        // Both call 11 of 12 coverages drop, and the last ice; the first calls every outcome used, the second one slipped.
        let answers = |last_coverage: &str, outcome: Option<&str>| {
            let mut answers: Vec<_> = (0..11).map(|number| (clip(number), Answer::Right)).collect();
            answers.push((clip(11), coverage(last_coverage)));
            answers.extend(outcome.map(|word| {
                let word = Answer::Word {
                    question: Question::Outcome,
                    word: Some(word.into()),
                };
                (clip(11), word)
            }));
            answers.push((clip(11), Answer::Right));
            lines_of(answers)
        };
        let text = agreement(
            ["ANN", "BEA"],
            [&answers("ice", None), &answers("ice", Some("slipped"))],
        )
        .to_string();
        let line = |title: &str| text.lines().find(|line| line.starts_with(title)).unwrap();
        assert!(
            line("coverage").contains(" 1.00 (no bounds") && !line("coverage").contains('['),
            "{text}"
        );
        assert!(
            line("what became of it").ends_with("one word alone: no kappa)"),
            "{text}"
        );
    }
}
