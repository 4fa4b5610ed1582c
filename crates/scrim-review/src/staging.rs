//! Clips and lines made by hand, for tests.

use scrim_tables::tags::ScreenKind;

use crate::answer::{Answer, Line, Picked};
use crate::clip::Clip;
use crate::journal::Draft;
use crate::question::{Question, Words};

/// A clip of game `G`, 20 s after the one before: 8 screens for 4, used, drop, path unclear, roll and pass out of a down screen.
pub(crate) fn clip(number: u32) -> Clip {
    let words = [
        (Question::ScreenKind, "ball_screen"),
        (Question::ScreenerId, "p8"),
        (Question::UserId, "p4"),
        (Question::Outcome, "used"),
        (Question::Coverage, "drop"),
        (Question::OnBallPath, "unclear"),
        (Question::ScreenerAction, "roll"),
        (Question::HandlerAction, "pass"),
        (Question::Entry, "down"),
    ];
    let shown: Words = words
        .map(|(question, word)| (question, word.to_owned()))
        .into_iter()
        .collect();
    Clip {
        season: Some("2041".into()),
        game_id: "G".into(),
        period: 1,
        screen_id: number,
        t_use_s: 10.0 + 20.0 * f64::from(number),
        early_denial: false,
        shown,
        beside: Vec::new(),
    }
}

/// One answer of each kind.
pub(crate) fn answers() -> Vec<Answer> {
    vec![
        Answer::Right,
        Answer::Word {
            question: Question::Coverage,
            word: Some("hedge".into()),
        },
        Answer::Word {
            question: Question::Entry,
            word: None,
        },
        Answer::Missed {
            screener_id: "p\"8\n".into(),
            user_id: "p4".into(),
            screen_kind: ScreenKind::Handoff,
            t_use_s: 11.25,
        },
        Answer::NotAScreen,
        Answer::CannotTell,
        Answer::TakenBack { line: 6 },
    ]
}

pub(crate) fn draft(clip: &Clip, answer: Answer) -> Draft {
    Draft {
        at: "2041-03-02T20:00:00Z".into(),
        seconds: 6.5,
        keys: 1,
        picked: Picked::Doubt,
        answer,
        clip: clip.clone(),
    }
}

/// Lines from number 1 on.
pub(crate) fn lines_of(answers: Vec<(Clip, Answer)>) -> Vec<Line> {
    let numbered = answers.into_iter().zip(1..);
    numbered
        .map(|((clip, answer), number)| draft(&clip, answer).numbered(number))
        .collect()
}
