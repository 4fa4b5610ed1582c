//! One labeller at work: the clips of a sitting, and what may be answered to each.

use std::collections::BTreeMap;
use std::path::PathBuf;

use chrono::{SecondsFormat, Utc};
use scrim_report::ClipCourts;
use scrim_tables::{ReadStore, with_causes};
use serde::Serialize;

use crate::ReviewError;
use crate::answer::{Answer, Picked};
use crate::candidates::{Candidate, Games, candidates};
use crate::journal::{Draft, Journal, folder_of, read_journal};
use crate::labels::write_labels;
use crate::order::{is_by_chance, order, order_for_second};
use crate::question::Question;
use crate::shown::{Given, Shown, shown_clips};
use crate::standing::{Standing, counting};

/// So many clips of earlier sittings can be taken back.
const EARLIER: usize = 10;

/// What a sitting is to be.
#[derive(Debug, Clone)]
pub struct SittingPlan {
    /// The folder of labels.
    pub labels: PathBuf,
    /// Who answers.
    pub labeller: String,
    /// Which games.
    pub games: Games,
    /// At most so many clips that have no answer yet.
    pub top: usize,
    /// Only clips by chance.
    pub chance_only: bool,
    /// Only clips that this labeller has ended.
    pub second_of: Option<String>,
}

/// A labeller at work.
#[derive(Debug)]
pub struct Sitting {
    labeller: String,
    folder: PathBuf,
    journal: Journal,
    /// What the journal comes to.
    standing: Standing,
    shown: Vec<Shown>,
    /// How many of these were ended in earlier sittings.
    earlier: usize,
    /// How many clips the tables have for this sitting, ended ones too.
    found: usize,
    /// How many open ones had nothing to show.
    without_tracks: usize,
    courts: String,
    notes: Vec<String>,
}

/// What the page shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct State {
    /// The number of the last line.
    pub lines: u64,
    /// The clip to answer; none when all are.
    pub clip: Option<usize>,
    /// How many clips the page can have, those of earlier sittings too.
    pub held: usize,
    /// How many clips there are in this sitting.
    pub total: usize,
    /// How many of them are ended.
    pub ended: usize,
    /// Seconds that these took.
    pub seconds: f64,
    /// Other words for the clip at hand, given so far.
    pub words: BTreeMap<Question, Option<String>>,
    /// Missed screens noted at the clip at hand: who screens, for whom.
    pub missed: Vec<(String, String)>,
    /// The line that can be taken back; none when there is none.
    pub last: Option<u64>,
    /// What went wrong beside the answer, in words.
    pub warning: Option<String>,
}

/// Why there is nothing to answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nothing {
    /// The tables have no such clip.
    NoneFound,
    /// None of those that are open can be shown, and none is answered.
    NoneShown,
    /// All that can be shown are answered.
    AllAnswered,
}

/// Why an answer was not taken.
#[derive(Debug, thiserror::Error)]
pub enum Refusal {
    /// Another window was faster.
    #[error("another window has answered since; the page now shows what stands")]
    Stale,
    /// It answers nothing.
    #[error("this cannot be answered here: {what}")]
    NoAnswer {
        /// Why.
        what: &'static str,
    },
    /// It could not be written.
    #[error("NOT SAVED: {0}")]
    NotSaved(String),
}

impl Sitting {
    /// Opens the journal, finds the clips and reads their tracks.
    ///
    /// # Errors
    /// [`ReviewError`]: no such game or labeller, a table or journal that cannot be read, or a journal that another process holds.
    pub fn open(store: &dyn ReadStore, plan: &SittingPlan) -> Result<Self, ReviewError> {
        let folder = folder_of(&plan.labels, &plan.labeller)?;
        let (mut candidates, mut notes) = candidates(store, &plan.games)?;
        let mut order = match &plan.second_of {
            Some(first) if *first == plan.labeller => {
                return Err(ReviewError::SameLabeller {
                    labeller: first.clone(),
                });
            }
            Some(first) => {
                let firsts = Standing::of(&read_journal(&plan.labels, first)?);
                candidates.retain(|one| firsts.is_ended(&one.clip.named()));
                order_for_second(&candidates)
            }
            None => order(&candidates),
        };
        order.retain(|(place, _)| !plan.chance_only || is_by_chance(&candidates[*place].clip));
        let journal = Journal::open(&plan.labels, &plan.labeller)?;
        if let Some(torn) = journal.torn() {
            notes.push(format!(
                "the last line of {} was not wholly written when its process ended: it is kept in {}, and its clip is asked again",
                journal.path().display(),
                torn.display()
            ));
        }
        let own = Standing::of(journal.lines());
        let is_open = |place: usize| !own.is_ended(&candidates[place].clip.named());
        let mut courts = ClipCourts::default();
        let queue = earlier(&own, &order, &candidates);
        let mut shown = shown_clips(store, &candidates, &queue, &mut courts, &mut notes)?;
        let earlier = shown.len();
        let found = order.len();
        order.retain(|(place, _)| is_open(*place));
        let mut open = order.as_slice();
        let mut without_tracks = 0;
        // So many as can be shown.
        while !open.is_empty() && shown.len() < earlier + plan.top {
            let next = open.len().min(earlier + plan.top - shown.len());
            let (batch, rest) = open.split_at(next);
            let more = shown_clips(store, &candidates, batch, &mut courts, &mut notes)?;
            without_tracks += batch.len() - more.len();
            shown.extend(more);
            open = rest;
        }
        if without_tracks > 0 {
            notes.push(format!(
                "{without_tracks} clips are left out: `tracks` does not have their use, so that there is nothing to show"
            ));
        }
        let sitting = Self {
            labeller: plan.labeller.clone(),
            earlier,
            found,
            without_tracks,
            folder,
            journal,
            standing: own,
            shown,
            courts: courts.markup(),
            notes,
        };
        // A process that was killed may have left them behind the journal.
        write_labels(&sitting.folder, &sitting.standing)?;
        Ok(sitting)
    }

    /// Who answers.
    pub fn labeller(&self) -> &str {
        &self.labeller
    }

    /// Where the labels are.
    pub fn folder(&self) -> &PathBuf {
        &self.folder
    }

    /// What was left out, and why.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Why there is nothing to answer; none when there is something.
    pub fn nothing(&self) -> Option<Nothing> {
        if self.state().clip.is_some() {
            return None;
        }
        Some(match (self.found, self.found - self.without_tracks) {
            (0, _) => Nothing::NoneFound,
            (_, 0) => Nothing::NoneShown,
            _ => Nothing::AllAnswered,
        })
    }

    /// The courts that the clips are played on.
    pub(crate) fn courts(&self) -> &str {
        &self.courts
    }

    /// A clip as the page gets it.
    pub(crate) fn clip(&self, place: usize) -> Option<&str> {
        self.shown.get(place).map(|shown| shown.text.as_str())
    }

    /// What the page shows.
    pub fn state(&self) -> State {
        let of = |shown: &Shown| self.standing.find(&shown.clip.named());
        let is_open = |shown: &Shown| of(shown).is_none_or(|one| one.verdict.is_none());
        let clip = self.shown.iter().position(is_open);
        let here = clip.and_then(|place| of(&self.shown[place]));
        let ended = self.shown[self.earlier..].iter().filter(|shown| !is_open(shown));
        let seconds = ended.clone().filter_map(of).map(|one| one.seconds);
        let pair = |missed: &crate::Missed| (missed.screener_id.clone(), missed.user_id.clone());
        State {
            lines: self.journal.lines().last().map_or(0, |line| line.number),
            clip,
            held: self.shown.len(),
            total: self.shown.len() - self.earlier,
            ended: ended.count(),
            seconds: seconds.sum(),
            words: here.map(|one| one.words.clone()).unwrap_or_default(),
            missed: here.map_or(Vec::new(), |one| one.missed.iter().map(pair).collect()),
            last: self.last_shown().map(|(_, line)| line),
            warning: None,
        }
    }

    /// Writes an answer, if it is one. When this returns, it is on disk.
    ///
    /// # Errors
    /// [`Refusal`]: then nothing was written.
    pub fn answer(&mut self, given: Given) -> Result<State, Refusal> {
        let state = self.state();
        if given.after != state.lines {
            return Err(Refusal::Stale);
        }
        let no_answer = |what| Refusal::NoAnswer { what };
        let (place, answer) = match given.answer {
            Answer::TakenBack { line } => {
                let last = self.last_shown().filter(|(_, last)| *last == line);
                let (place, _) = last.ok_or(no_answer("there is no answer to take back"))?;
                (place, Answer::TakenBack { line })
            }
            other => {
                if Some(given.clip) != state.clip {
                    return Err(no_answer("it is not this clip's turn"));
                }
                let answer = self.shown[given.clip]
                    .checked(other, &self.standing)
                    .map_err(no_answer)?;
                (given.clip, answer)
            }
        };
        let (ends, shown) = (answer.ends_clip(), &self.shown[place]);
        let is_word = matches!(answer, Answer::Word { .. });
        let draft = Draft {
            at: Utc::now().to_rfc3339_opts(SecondsFormat::Secs, true),
            seconds: given.seconds,
            keys: given.keys,
            picked: shown.picked,
            answer,
            clip: shown.clip.clone(),
        };
        let not_saved = |error: ReviewError| Refusal::NotSaved(with_causes(&error));
        self.journal.append(draft).map_err(not_saved)?;
        self.standing = Standing::of(self.journal.lines());
        // A word alone changes no label before its clip is ended.
        let written = if ends || !is_word {
            write_labels(&self.folder, &self.standing)
        } else {
            Ok(())
        };
        let mut state = self.state();
        state.warning = written.err().map(|error| {
            format!(
                "Your answer is safe in the journal, but the label files are behind it: {}",
                with_causes(&error)
            )
        });
        Ok(state)
    }

    /// The last line that counts, if its clip is one of those at hand.
    fn last_shown(&self) -> Option<(usize, u64)> {
        let line = counting(self.journal.lines()).into_iter().next_back()?;
        let is_it = |shown: &Shown| shown.clip.named().is(&line.clip.named());
        let place = self.shown.iter().position(is_it)?;
        Some((place, line.number))
    }
}

/// The clips that were ended last, as far as the tables still have them, oldest first.
fn earlier(own: &Standing, order: &[(usize, Picked)], candidates: &[Candidate]) -> Vec<(usize, Picked)> {
    let ended = own
        .clips()
        .iter()
        .rev()
        .filter(|one| one.verdict.is_some())
        .take(EARLIER);
    let mut places: Vec<(usize, Picked)> = ended
        .filter_map(|one| {
            let is_it = |(place, _): &&(usize, Picked)| candidates[*place].clip.named().is(&one.clip.named());
            order.iter().find(is_it).copied()
        })
        .collect();
    places.reverse();
    places
}
