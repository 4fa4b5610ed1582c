//! What is handed out: the report's shape, which is also its JSON.

use serde::Serialize;

use crate::{
    BallScreenPossessions, CutScore, LinkedScore, MatchupScore, PossessionScore, ScoreParams, ScreenScore,
    Warning,
};

/// Version of the report's JSON. A renamed or removed field raises it; an added one does not.
pub(crate) const REPORT_VERSION: u32 = 1;

/// One part of the report. In JSON: `"state"` beside the part's own fields.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "state", rename_all = "snake_case")]
pub enum Section<T> {
    /// There are no labels for it.
    NotLabelled,
    /// There are labels for it, and the tables do not hold it (or, for what hangs on screens, the screens).
    Absent,
    /// It was scored.
    Scored(T),
}

impl<T> Section<T> {
    /// The score, if there is one.
    pub fn scored(&self) -> Option<&T> {
        match self {
            Self::Scored(score) => Some(score),
            Self::NotLabelled | Self::Absent => None,
        }
    }
}

/// Tags against labels. Serialize it for JSON; [`Report::to_table`] gives plain text. Times seconds, lengths metres;
/// the same input and parameters give the same report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// Version of this shape.
    pub report_version: u32,
    /// Games that were judged, sorted.
    pub games: Vec<String>,
    /// Labelled tables that the tables' folder does not hold.
    pub absent_tables: Vec<String>,
    /// What in the input changes the meaning of the numbers.
    pub warnings: Vec<Warning>,
    /// How near was near enough.
    pub params: ScoreParams,
    /// Possessions.
    pub possessions: Section<PossessionScore>,
    /// Who guards whom.
    pub matchups: Section<MatchupScore>,
    /// Ball screens and handoffs.
    pub on_ball_screens: Section<ScreenScore>,
    /// Off-ball screens.
    pub off_ball_screens: Section<ScreenScore>,
    /// How ball screens were defended.
    pub coverages: Section<LinkedScore>,
    /// What the offence made of them.
    pub options: Section<LinkedScore>,
    /// How the offence got into them.
    pub entries: Section<LinkedScore>,
    /// What the others did meanwhile.
    pub off_ball_motion: Section<LinkedScore>,
    /// Cuts.
    pub cuts: Section<CutScore>,
    /// Half-court possessions by whether they have a ball screen; `None` without labels of `possessions` and `screens`, or tables.
    pub ball_screen_possessions: Option<BallScreenPossessions>,
}
