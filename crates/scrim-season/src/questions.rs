//! What is asked of each ball screen: the one place that decides which ball screens a question is about and what the answer is, for
//! the counts of `against_league` and for whoever shows what was counted.

use std::borrow::Cow;

use scrim_floor::Side;
use scrim_tables::Id;
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{
    Coverage, EndKind, Entry, HandlerAction, OnBallPath, Outcome, Question, RunResult, ScreenerAction,
    TeamSide,
};

use crate::ball_screens::OnBallScreen;
use crate::counters::result_of;
use crate::shot::Shot;

/// How a ball screen was used and defended.
#[derive(Debug, Clone, Copy)]
pub struct Reads<'a> {
    /// The screener's side of the floor.
    pub side: Side,
    /// What became of it.
    pub outcome: Outcome,
    /// Whether a flip turned into it: then it is no action of its own.
    pub is_second_side: bool,
    /// What screener and handler did.
    pub actions: Option<(ScreenerAction, HandlerAction)>,
    /// How the handler's defender went.
    pub path: Option<OnBallPath>,
    /// Who guards the screener.
    pub screener_defender: Option<&'a Id>,
    /// Who guards the handler.
    pub user_defender: Option<&'a Id>,
    /// How late the screener's defender was.
    pub late_s: Option<f32>,
    /// How far the screener's defender was from where they belong when the screen was set.
    pub gap_m: Option<f32>,
    /// The shot that came of it.
    pub shot: Option<Shot>,
    /// Whether it is a ball screen, and the last one of its possession.
    pub is_last: bool,
    /// Whether it is a ball screen, and the last one of its possession that was covered so: it stands for the possession's points, which
    /// count once for each coverage that the possession met.
    pub is_last_so_covered: bool,
    /// How its possession ended.
    pub end: EndKind,
}

/// A ball screen that can be asked.
pub trait AskedScreen: OnBallScreen {
    /// How it was used and defended.
    fn reads(&self) -> Reads<'_>;

    /// Which side had the better of it; `None` when that is not known.
    fn result(&self, open_shot_m: f32) -> Option<RunResult> {
        result_of(self.reads().shot, self.possession_points(), open_shot_m)
    }
}

/// Which ball screens a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Subject<'a> {
    /// Those out of this.
    pub entry: Option<Entry>,
    /// Those covered so.
    pub coverage: Option<Coverage>,
    /// Those whose screener did this.
    pub screener_action: Option<ScreenerAction>,
    /// Those of this handler and this screener.
    pub pair: Option<(&'a Id, &'a Id)>,
    /// Those of this defender.
    pub defender: Option<&'a Id>,
}

impl<'a> Subject<'a> {
    /// What the row is about.
    pub fn of_row(row: &'a AgainstLeagueRow) -> Self {
        Self {
            entry: row.entry,
            coverage: row.coverage,
            screener_action: row.screener_action,
            pair: row.handler_id.as_ref().zip(row.screener_id.as_ref()),
            defender: row.defender_id.as_ref(),
        }
    }

    /// The subject whoever plays: what players are compared within.
    pub fn of_anybody(self) -> Subject<'static> {
        Subject {
            entry: self.entry,
            coverage: self.coverage,
            screener_action: self.screener_action,
            pair: None,
            defender: None,
        }
    }
}

/// What a ball screen answers.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// One of several words; `None`: one that is counted under another question.
    Word(Option<Cow<'static, str>>),
    /// Yes or no.
    Yes(bool),
    /// A measured value.
    Value(f64),
}

/// Of which side's ball screens a question is asked.
pub const fn sides(question: Question) -> &'static [TeamSide] {
    match question {
        Question::Entry
        | Question::EntrySide
        | Question::Side
        | Question::HandlerAction
        | Question::PairOutcome => &[TeamSide::Offense],
        Question::Coverage | Question::DefenderPath | Question::DefenderLate | Question::DefenderGap => {
            &[TeamSide::Defense]
        }
        Question::ScreenerAction
        | Question::CoverageBeat
        | Question::ActionBeat
        | Question::CoveragePoints
        | Question::CoverageOpenShot
        | Question::CoverageScreenerAtRim
        | Question::CoverageCornerThree
        | Question::CoverageTurnover => &[TeamSide::Offense, TeamSide::Defense],
    }
}

/// What `screen` answers, and as one of which ball screens; `None` when it is none of those that are asked, or does not say.
pub fn ask<S: AskedScreen>(
    question: Question,
    screen: &S,
    open_shot_m: f32,
) -> Option<(Subject<'_>, Answer)> {
    let word = |word: &'static str| Answer::Word(Some(Cow::Borrowed(word)));
    let all = Subject::default();
    let reads = screen.reads();
    let of_coverage = || {
        Some(Subject {
            coverage: Some(screen.coverage()?),
            ..all
        })
    };
    let of_defender = || {
        Some(Subject {
            entry: Some(screen.came_out_of()?),
            defender: Some(reads.screener_defender?),
            ..all
        })
    };
    let screener_action = || {
        let (action, _) = reads.actions?;
        (action != ScreenerAction::Unclear).then_some(action)
    };
    // Where no shot came of it, none of that kind did.
    let shot = |is_such: &dyn Fn(Shot) -> Option<bool>| {
        Some(Answer::Yes(match reads.shot {
            Some(shot) => is_such(shot)?,
            None => false,
        }))
    };
    let beat = || Some(Answer::Yes(screen.result(open_shot_m)? == RunResult::Beat));
    Some(match question {
        Question::Entry => (all, word(screen.came_out_of()?.as_str())),
        Question::EntrySide => match screen.came_out_of()? {
            Entry::None => (all, Answer::Word(None)),
            entry => {
                let word = format!("{entry}/{}", reads.side.as_str());
                (all, Answer::Word(Some(Cow::Owned(word))))
            }
        },
        Question::Side => (all, word(reads.side.as_str())),
        Question::Coverage => (all, word(screen.coverage()?.as_str())),
        Question::ScreenerAction => (of_coverage()?, word(screener_action()?.as_str())),
        Question::HandlerAction => {
            let (_, action) = reads.actions?;
            let is_clear = action != HandlerAction::Unclear;
            (of_coverage()?, is_clear.then(|| word(action.as_str()))?)
        }
        Question::CoverageBeat => (of_coverage()?, beat()?),
        Question::ActionBeat => {
            let subject = Subject {
                screener_action: Some(screener_action()?),
                ..of_coverage()?
            };
            (subject, beat()?)
        }
        Question::CoveragePoints => {
            let points = screen.possession_points().filter(|_| reads.is_last_so_covered)?;
            (of_coverage()?, Answer::Value(f64::from(points)))
        }
        Question::CoverageOpenShot => (of_coverage()?, shot(&|shot| shot.is_open(open_shot_m))?),
        Question::CoverageScreenerAtRim => {
            let at_rim = |shot: Shot| Some(shot.by_screener && shot.is_at_rim()?);
            (of_coverage()?, shot(&at_rim)?)
        }
        Question::CoverageCornerThree => (of_coverage()?, shot(&|shot| shot.is_corner_three())?),
        Question::CoverageTurnover => {
            let is_known = reads.is_last && reads.end != EndKind::Unknown;
            let answer = Answer::Yes(reads.end == EndKind::Turnover);
            (of_coverage()?, is_known.then_some(answer)?)
        }
        // A flip and the screen that it turned into are one action, which the side that was given up stands for.
        Question::PairOutcome if reads.is_second_side => return None,
        Question::PairOutcome => {
            let subject = Subject {
                pair: Some(screen.pair()),
                ..all
            };
            (subject, word(reads.outcome.as_str()))
        }
        Question::DefenderPath => {
            let path = reads.path.filter(|path| *path != OnBallPath::Unclear)?;
            let subject = Subject {
                defender: Some(reads.user_defender?),
                ..all
            };
            (subject, word(path.as_str()))
        }
        Question::DefenderLate => (of_defender()?, Answer::Value(f64::from(reads.late_s?))),
        Question::DefenderGap => (of_defender()?, Answer::Value(f64::from(reads.gap_m?))),
    })
}

/// What `screen`, one of the row's team on the row's side, adds to the row's number: 1 for its answer, 0 for another, of a mean the value;
/// `None` when it is not among its ball screens.
pub fn answered<S: AskedScreen>(row: &AgainstLeagueRow, screen: &S, open_shot_m: f32) -> Option<f64> {
    let (subject, answer) = ask(row.question, screen, open_shot_m)?;
    let is_hit = match answer {
        Answer::Word(word) => word.as_deref() == row.answer.as_deref(),
        Answer::Yes(yes) => yes,
        Answer::Value(value) => return (subject == Subject::of_row(row)).then_some(value),
    };
    (subject == Subject::of_row(row)).then(|| f64::from(u8::from(is_hit)))
}

/// Whether `screen`, one of the row's team on the row's side, shows what the row says: is among its ball screens and has its answer; of a
/// mean, has a value beyond the league's on the same side as the team's.
pub fn shows<S: AskedScreen>(row: &AgainstLeagueRow, screen: &S, open_shot_m: f32) -> bool {
    answered(row, screen, open_shot_m).is_some_and(|value| match row.hits {
        Some(_) => value > 0.0,
        None => (value - f64::from(row.league)) * f64::from(row.effect) > 0.0,
    })
}

/// By how much `screen` shows what the row says: of a mean, how far its value is beyond the league's; else 0 for all.
pub fn shows_by<S: AskedScreen>(row: &AgainstLeagueRow, screen: &S, open_shot_m: f32) -> f64 {
    match ask(row.question, screen, open_shot_m) {
        Some((_, Answer::Value(value))) => (value - f64::from(row.league)).abs(),
        _ => 0.0,
    }
}

/// Whether the question asks how a ball screen ended: its answers are worth points by what they are.
pub const fn is_result(question: Question) -> bool {
    match question {
        Question::CoverageBeat
        | Question::ActionBeat
        | Question::CoveragePoints
        | Question::CoverageOpenShot
        | Question::CoverageScreenerAtRim
        | Question::CoverageCornerThree
        | Question::CoverageTurnover => true,
        Question::Entry
        | Question::EntrySide
        | Question::Side
        | Question::Coverage
        | Question::ScreenerAction
        | Question::HandlerAction
        | Question::PairOutcome
        | Question::DefenderPath
        | Question::DefenderLate
        | Question::DefenderGap => false,
    }
}
