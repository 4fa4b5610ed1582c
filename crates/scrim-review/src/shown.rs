//! A clip with its tracks, ready for the page; and what may be answered to it.

use std::collections::BTreeMap;

use scrim_report::{ClipCourts, ClipPlayer, ScreenClip, screen_clips};
use scrim_tables::tags::ScreenKind;
use scrim_tables::{Partition, ReadStore};
use serde::{Deserialize, Serialize};

use crate::ReviewError;
use crate::answer::{Answer, Picked};
use crate::candidates::{Candidate, JUDGED_S};
use crate::clip::{Beside, Clip};
use crate::question::{Question, Words};

/// A clip is shown from so long before its use to so long after it, s. Common practice, no source: an entry action, and a roll.
const SHOWN_S: (f64, f64) = (4.0, 3.0);
/// A clip, ready to be shown.
#[derive(Debug)]
pub(crate) struct Shown {
    pub(crate) clip: Clip,
    pub(crate) picked: Picked,
    attackers: Vec<ClipPlayer>,
    /// What the page gets, as JSON.
    pub(crate) text: String,
}

/// What the page says was answered.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Given {
    /// The number of the last line that the page knows of: an answer that does not know of all is refused.
    pub after: u64,
    /// Which clip.
    pub clip: usize,
    /// Seconds since it was shown.
    pub seconds: f64,
    /// Keys pressed since then.
    pub keys: u32,
    /// The answer.
    pub answer: GivenAnswer,
}

/// An answer of the page.
#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case", deny_unknown_fields)]
pub enum GivenAnswer {
    /// It is a screen, and all else is right.
    Right,
    /// There is no such screen.
    NotAScreen,
    /// It cannot be told.
    CannotTell,
    /// Another word, or player; none where that cannot be told.
    Word {
        /// Which.
        question: Question,
        /// The word.
        word: Option<String>,
    },
    /// Another screen, which the program does not have.
    Missed {
        /// Who screens.
        screener_id: String,
        /// For whom.
        user_id: String,
        /// Ball screen or handoff.
        screen_kind: ScreenKind,
        /// When, s from the period's first frame.
        t_use_s: f64,
    },
    /// The last answer that counts is taken back.
    Back,
}

/// Reads the tracks of some clips, each game once. A clip without tracks is left out, and that is noted.
pub(crate) fn shown_clips(
    store: &dyn ReadStore,
    candidates: &[Candidate],
    queue: &[(usize, Picked)],
    notes: &mut Vec<String>,
) -> Result<(Vec<Shown>, String), ReviewError> {
    #[derive(Serialize)]
    struct ForPage<'a> {
        shown: &'a Words,
        early_denial: bool,
        beside: &'a [Beside],
        t_use_s: f64,
        clip: &'a ScreenClip,
    }
    let mut courts = ClipCourts::default();
    let mut by_game: BTreeMap<&Partition, Vec<u32>> = BTreeMap::new();
    for (place, _) in queue {
        let one = &candidates[*place];
        by_game
            .entry(&one.partition)
            .or_default()
            .push(one.clip.screen_id);
    }
    let mut read = BTreeMap::new();
    for (partition, ids) in by_game {
        let (clips, lacking) = screen_clips(store, partition, &ids, SHOWN_S, &mut courts)?;
        notes.extend(lacking);
        read.extend(clips.into_iter().map(|clip| ((partition, clip.screen_id), clip)));
    }
    let mut shown = Vec::with_capacity(queue.len());
    for &(place, picked) in queue {
        let Candidate { partition, clip, .. } = &candidates[place];
        let Some(tracks) = read.get(&(partition, clip.screen_id)) else {
            continue;
        };
        let for_page = ForPage {
            shown: &clip.shown,
            early_denial: clip.early_denial,
            beside: &clip.beside,
            t_use_s: clip.t_use_s,
            clip: tracks,
        };
        shown.push(Shown {
            clip: clip.clone(),
            picked,
            attackers: tracks.attackers.clone(),
            text: serde_json::to_string(&for_page).map_err(ReviewError::json("clip"))?,
        });
    }
    if shown.len() < queue.len() {
        notes.push(format!(
            "{} clips are left out: `tracks` does not have their use, so that there is nothing to show",
            queue.len() - shown.len()
        ));
    }
    Ok((shown, courts.markup()))
}

impl Shown {
    /// The answer, if it is one to this clip.
    pub(crate) fn checked(&self, given: GivenAnswer) -> Result<Answer, &'static str> {
        let attacks = |id: &str| self.attackers.iter().any(|player| player.id.as_ref() == id);
        Ok(match given {
            GivenAnswer::Right => Answer::Right,
            GivenAnswer::NotAScreen => Answer::NotAScreen,
            GivenAnswer::CannotTell => Answer::CannotTell,
            GivenAnswer::Word { question, word } => {
                let is_one = match &word {
                    Some(word) if question.is_of_players() => attacks(word),
                    Some(word) => question.allows(word),
                    None => !question.is_of_players(),
                };
                if !is_one {
                    return Err("this word does not answer this question");
                }
                Answer::Word { question, word }
            }
            GivenAnswer::Missed {
                screener_id,
                user_id,
                screen_kind,
                t_use_s,
            } => {
                if screener_id == user_id || !attacks(&screener_id) || !attacks(&user_id) {
                    return Err("a screen is one attacker's for another");
                }
                if !matches!(screen_kind, ScreenKind::BallScreen | ScreenKind::Handoff) {
                    return Err("only ball screens and handoffs are asked for here");
                }
                let from_use_s = t_use_s - self.clip.t_use_s;
                let slack_s = JUDGED_S;
                if !(-SHOWN_S.0 - slack_s..=SHOWN_S.1 + slack_s).contains(&from_use_s) {
                    return Err("this instant is not in the clip");
                }
                Answer::Missed {
                    screener_id,
                    user_id,
                    screen_kind,
                    // Whoever stops a clip by hand is no surer than a tenth of a second.
                    t_use_s: (t_use_s * 10.0).round() / 10.0,
                }
            }
            GivenAnswer::Back => return Err("there is no answer to take back"),
        })
    }
}
