//! The words of the vocabulary. What each means in geometry stands in the project's vocabulary; here is how it is
//! spelled, once.

mod off_ball;
mod play;
mod run;
mod screens;
mod season;
mod tag;

pub use off_ball::{Activity, Alignment, CutKind, Entry, EntryRole};
pub use play::{EndKind, Entity, Phase, TouchEnd};
pub use run::{RefusalReason, Verdict};
pub use screens::{
    Begun, COVERAGE_WORDS, Coverage, Duty, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget,
    PulledBy, ScreenKind, ScreenMeeting, ScreenerAction, UnclearReason,
};
pub use season::{Grouping, PayMeasure, PullMeasure, PullSubject, Question, RunResult, TeamSide};
pub use tag::UnknownTag;
