//! What a journal's lines come to: each clip with all that was said of it and was not taken back.

use std::collections::{BTreeMap, BTreeSet};

use scrim_tables::tags::ScreenKind;

use crate::answer::{Answer, Line, Picked};
use crate::clip::{Clip, Named};
use crate::question::Question;

/// How a clip was ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It is a screen.
    Screen,
    /// There is none.
    NoScreen,
    /// Nobody can say from these tracks.
    Unknown,
}

/// A screen that the program does not have.
#[derive(Debug, Clone, PartialEq)]
pub struct Missed {
    /// The line that says so.
    pub line: u64,
    /// Who screens.
    pub screener_id: String,
    /// For whom.
    pub user_id: String,
    /// Ball screen or handoff.
    pub screen_kind: ScreenKind,
    /// When, s from the period's first frame.
    pub t_use_s: f64,
}

/// A clip and what counts of what was said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The first line about it that counts: a number that no other clip has, whatever the tables call it.
    pub first_line: u64,
    /// The clip, as it was shown last.
    pub clip: Clip,
    /// Why it was picked.
    pub picked: Picked,
    /// Words instead of the program's; none where nobody can say which is right.
    pub words: BTreeMap<Question, Option<String>>,
    /// Screens that the program does not have.
    pub missed: Vec<Missed>,
    /// How it was ended; none while it is open.
    pub verdict: Option<Verdict>,
    /// Seconds that the clip was looked at, when it was ended.
    pub seconds: f64,
}

impl Answered {
    /// The word that counts: another one, or the program's. None where nobody can say, or the program has none and nobody gave one.
    pub fn word(&self, question: Question) -> Option<&str> {
        match self.words.get(&question) {
            Some(word) => word.as_deref(),
            None => {
                let shown = self.clip.shown(question);
                (question.is_of_players() || question.allows(shown)).then_some(shown)
            }
        }
    }
}

/// The lines that count: those that no later line takes back, and none that takes back.
pub fn counting(lines: &[Line]) -> Vec<&Line> {
    let taken_back: BTreeSet<u64> = lines
        .iter()
        .filter_map(|line| match line.answer {
            Answer::TakenBack { line } => Some(line),
            Answer::Right
            | Answer::NotAScreen
            | Answer::CannotTell
            | Answer::Word { .. }
            | Answer::Missed { .. } => None,
        })
        .collect();
    let says = |line: &&Line| !matches!(line.answer, Answer::TakenBack { .. });
    let counts = |line: &&Line| !taken_back.contains(&line.number);
    lines.iter().filter(says).filter(counts).collect()
}

/// Each clip, in the order of the first line about it that counts; found by what it is.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    clips: Vec<Answered>,
    /// Places of the clips, by game and period.
    of_period: BTreeMap<(String, u8), Vec<usize>>,
}

impl Standing {
    /// What lines come to.
    pub fn of(lines: &[Line]) -> Self {
        let mut standing = Self::default();
        for line in counting(lines) {
            let place = standing.place(&line.clip.named()).unwrap_or_else(|| {
                standing.add(Answered {
                    first_line: line.number,
                    clip: line.clip.clone(),
                    picked: line.picked,
                    words: BTreeMap::new(),
                    missed: Vec::new(),
                    verdict: None,
                    seconds: 0.0,
                })
            });
            standing.clips[place].take(line);
        }
        standing
    }

    /// The clips.
    pub fn clips(&self) -> &[Answered] {
        &self.clips
    }

    /// What was said of a screen.
    pub fn find(&self, named: &Named<'_>) -> Option<&Answered> {
        self.place(named).map(|place| &self.clips[place])
    }

    /// Whether a clip was ended, in whatever way.
    pub fn is_ended(&self, named: &Named<'_>) -> bool {
        self.find(named).is_some_and(|one| one.verdict.is_some())
    }

    /// Whether a missed screen that was noted at a clip is another clip that was ended, whose own answer counts, or was noted before.
    pub fn is_told_elsewhere(&self, noted_at: &Clip, missed: &Missed) -> bool {
        let named = missed.named(noted_at);
        self.near(&named).any(|one| {
            (one.verdict.is_some() && one.is(&named)) || one.notes(&named, |other| other.line < missed.line)
        })
    }

    /// Whether a missed screen of this name was noted.
    pub fn is_noted(&self, named: &Named<'_>) -> bool {
        self.near(named).any(|one| one.notes(named, |_| true))
    }

    /// The clips of a screen's game and period.
    fn near(&self, named: &Named<'_>) -> impl Iterator<Item = &Answered> {
        let places = self.of_period.get(&named.game_and_period());
        places.into_iter().flatten().map(|&place| &self.clips[place])
    }

    /// Of these clips some alone.
    #[must_use]
    pub fn only(&self, wanted: impl Fn(&Answered) -> bool) -> Self {
        let mut some = Self::default();
        for one in self.clips.iter().filter(|one| wanted(one)) {
            some.add(one.clone());
        }
        some
    }

    fn add(&mut self, one: Answered) -> usize {
        let place = self.clips.len();
        let period = (one.clip.game_id.clone(), one.clip.period);
        self.of_period.entry(period).or_default().push(place);
        self.clips.push(one);
        place
    }

    fn place(&self, named: &Named<'_>) -> Option<usize> {
        let near = self.of_period.get(&named.game_and_period())?;
        near.iter()
            .copied()
            .find(|&place| self.clips[place].clip.named().is(named))
    }
}

impl Missed {
    /// Which screen it is, noted at a clip of its game and period.
    fn named<'a>(&'a self, noted_at: &'a Clip) -> Named<'a> {
        noted_at.named_with(&self.screener_id, &self.user_id, self.t_use_s)
    }
}

impl Answered {
    /// Whether it is this screen: as it was shown, or between the players that were named instead.
    pub(crate) fn is(&self, named: &Named<'_>) -> bool {
        let player = |question| self.word(question).unwrap_or_default();
        let (screener_id, user_id) = (player(Question::ScreenerId), player(Question::UserId));
        let corrected = self.clip.named_between(screener_id, user_id);
        self.clip.named().is(named) || corrected.is(named)
    }

    /// Whether a missed screen of this name was noted here, by one of these notes.
    fn notes(&self, named: &Named<'_>, counts: impl Fn(&Missed) -> bool) -> bool {
        let mut noted = self.missed.iter().filter(|missed| counts(missed));
        noted.any(|missed| missed.named(&self.clip).is(named))
    }

    /// Takes in a line about this clip that counts.
    fn take(&mut self, line: &Line) {
        self.clip = line.clip.clone();
        let mut end = |verdict| {
            self.verdict = Some(verdict);
            self.seconds = line.seconds;
        };
        match &line.answer {
            Answer::Right => end(Verdict::Screen),
            Answer::NotAScreen => end(Verdict::NoScreen),
            Answer::CannotTell => end(Verdict::Unknown),
            Answer::Word { question, word } => {
                self.words.insert(*question, word.clone());
            }
            Answer::Missed {
                screener_id,
                user_id,
                screen_kind,
                t_use_s,
            } => self.missed.push(Missed {
                line: line.number,
                screener_id: screener_id.clone(),
                user_id: user_id.clone(),
                screen_kind: *screen_kind,
                t_use_s: *t_use_s,
            }),
            // Counting lines take nothing back.
            Answer::TakenBack { .. } => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::{clip, lines_of};

    fn word(question: Question, word: &str) -> Answer {
        Answer::Word {
            question,
            word: Some(word.into()),
        }
    }

    #[test]
    fn the_rest_of_a_right_clip_is_as_shown() {
        let lines = lines_of(vec![
            (clip(0), word(Question::Coverage, "hedge")),
            (clip(0), Answer::Right),
        ]);
        let standing = Standing::of(&lines);
        let all = standing.clips();
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].verdict, Some(Verdict::Screen));
        assert_eq!(all[0].word(Question::Coverage), Some("hedge"));
        assert_eq!(all[0].word(Question::Outcome), Some("used"));
        // The staged clip's path is unclear: to leave it so says nothing.
        assert_eq!(all[0].word(Question::OnBallPath), None);
    }

    #[test]
    fn what_is_taken_back_does_not_count_and_can_be_answered_again() {
        let back = |line| Answer::TakenBack { line };
        let lines = lines_of(vec![
            (clip(0), Answer::Right),
            (clip(1), word(Question::Coverage, "ice")),
            (clip(1), back(2)),
            (clip(0), back(1)),
        ]);
        assert_eq!(Standing::of(&lines).clips(), []);
        let mut more = lines_of(vec![(clip(0), Answer::NotAScreen)]);
        more[0].number = 5;
        let all: Vec<Line> = lines.into_iter().chain(more).collect();
        assert_eq!(Standing::of(&all).clips()[0].verdict, Some(Verdict::NoScreen));
    }

    #[test]
    fn a_clip_of_tables_that_were_made_anew_is_the_same_clip() {
        let mut moved = clip(0);
        moved.screen_id = 77;
        moved.t_use_s += 0.4;
        let lines = lines_of(vec![(clip(0), Answer::CannotTell), (moved, Answer::Right)]);
        let standing = Standing::of(&lines);
        let all = standing.clips();
        assert_eq!((all.len(), all[0].verdict), (1, Some(Verdict::Screen)));
        assert_eq!(all[0].clip.screen_id, 77);
    }
}
