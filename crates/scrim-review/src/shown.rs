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
use crate::standing::Standing;

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
    pub answer: Answer,
}

/// Reads the tracks of some clips, each game once. A clip without tracks is left out.
pub(crate) fn shown_clips(
    store: &dyn ReadStore,
    candidates: &[Candidate],
    queue: &[(usize, Picked)],
    courts: &mut ClipCourts,
    notes: &mut Vec<String>,
) -> Result<Vec<Shown>, ReviewError> {
    #[derive(Serialize)]
    struct ForPage<'a> {
        shown: &'a Words,
        early_denial: bool,
        beside: &'a [Beside],
        t_use_s: f64,
        clip: &'a ScreenClip,
    }
    let mut by_game: BTreeMap<&Partition, Vec<u32>> = BTreeMap::new();
    for (place, _) in queue {
        let one = &candidates[*place];
        by_game
            .entry(&one.partition)
            .or_default()
            .push(one.clip.screen_id);
    }
    let english = scrim_season::words::Words::english();
    let mut read = BTreeMap::new();
    for (partition, ids) in by_game {
        let (clips, lacking) = screen_clips(store, partition, &ids, SHOWN_S, courts, &english)?;
        for note in lacking {
            // A game may be looked at more than once.
            if !notes.contains(&note) {
                notes.push(note);
            }
        }
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
    Ok(shown)
}

impl Shown {
    /// The answer, if it is one to this clip.
    pub(crate) fn checked(&self, given: Answer, standing: &Standing) -> Result<Answer, &'static str> {
        let attacks = |id: &str| self.attackers.iter().any(|player| player.id.as_ref() == id);
        let here = standing.find(&self.clip.named());
        Ok(match given {
            Answer::Right => {
                let player = |question| match here {
                    Some(one) => one.word(question).unwrap_or_default(),
                    None => self.clip.shown(question),
                };
                if player(Question::ScreenerId) == player(Question::UserId) {
                    return Err("screener and user are one player: give the right one by the lines 2 and 3");
                }
                Answer::Right
            }
            Answer::NotAScreen | Answer::CannotTell => given,
            Answer::Word { question, word } => {
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
            Answer::Missed {
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
                // Whoever stops a clip by hand is no surer than a tenth of a second.
                let t_use_s = (t_use_s * 10.0).round() / 10.0;
                let named = self.clip.named_with(&screener_id, &user_id, t_use_s);
                if self.clip.named().is(&named) || here.is_some_and(|one| one.is(&named)) {
                    return Err("this is the clip's own screen: answer the clip");
                }
                let is_beside = |beside: &Beside| self.clip.named_beside(beside).is(&named);
                if self.clip.beside.iter().any(is_beside) {
                    return Err("this one is tagged already, and asked as a clip of its own");
                }
                if standing.is_noted(&named) {
                    return Err("this one is noted already; B takes the last answer back");
                }
                Answer::Missed {
                    screener_id,
                    user_id,
                    screen_kind,
                    t_use_s,
                }
            }
            Answer::TakenBack { .. } => return Err("there is no answer to take back"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::{clip, lines_of};

    fn shown() -> Shown {
        let player = |id: &str| ClipPlayer {
            id: id.into(),
            called: id.into(),
            number: String::new(),
        };
        Shown {
            clip: Clip {
                beside: vec![Beside {
                    screen_id: 1,
                    screener_id: "p5".into(),
                    user_id: "p4".into(),
                    t_use_s: 11.0,
                    given_up: None,
                }],
                ..clip(0)
            },
            picked: Picked::Doubt,
            attackers: ["p4", "p5", "p8"].map(player).to_vec(),
            text: String::new(),
        }
    }

    fn missed(screener_id: &str, user_id: &str, t_use_s: f64) -> Answer {
        Answer::Missed {
            screener_id: screener_id.into(),
            user_id: user_id.into(),
            screen_kind: ScreenKind::Handoff,
            t_use_s,
        }
    }

    #[test]
    fn a_missed_one_is_neither_the_clip_nor_one_beside_it_nor_noted_already() {
        let shown = shown();
        let mut standing = Standing::default();
        let check = |given: Answer, part: &str, standing: &Standing| {
            let why = shown.checked(given, standing).unwrap_err();
            assert!(why.contains(part), "{why}");
        };
        check(missed("p8", "p4", 10.9), "the clip's own", &standing);
        check(missed("p5", "p4", 10.1), "tagged already", &standing);
        let first = shown.checked(missed("p4", "p5", 8.0), &standing).unwrap();
        // Of the same two another one, 1.5 s before the clip's.
        shown.checked(missed("p8", "p4", 8.5), &standing).unwrap();
        let word = Answer::Word {
            question: Question::ScreenerId,
            word: Some("p5".into()),
        };
        standing = Standing::of(&lines_of(vec![
            (shown.clip.clone(), first),
            (shown.clip.clone(), word),
        ]));
        check(missed("p4", "p5", 8.9), "noted already", &standing);
        check(missed("p5", "p4", 9.5), "the clip's own", &standing);
        shown.checked(missed("p4", "p5", 9.1), &standing).unwrap();
    }

    #[test]
    fn nobody_screens_for_themselves() {
        let shown = shown();
        let user = |word: &str| {
            let word = Answer::Word {
                question: Question::UserId,
                word: Some(word.into()),
            };
            Standing::of(&lines_of(vec![(shown.clip.clone(), word)]))
        };
        let why = shown.checked(Answer::Right, &user("p8")).unwrap_err();
        assert!(why.contains("one player"), "{why}");
        assert_eq!(shown.checked(Answer::Right, &user("p5")).unwrap(), Answer::Right);
        assert!(shown.checked(missed("p5", "p5", 8.0), &user("p5")).is_err());
    }
}
