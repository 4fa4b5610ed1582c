//! Possessions.

use scrim_statistics::TwoSpans;
use serde::Serialize;

use crate::rate::Detection;
use crate::spans::{Match, pair_spans};
use crate::table::Table;
use crate::{ColumnScores, ScoreParams, Warning};

/// The table of possessions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PossessionScore {
    /// What was found.
    pub detection: Detection,
    /// Tags, teams and times of the matched possessions.
    pub columns: ColumnScores,
}

/// Pairs possessions of one game, period and offence by the time they have in common over the time that either takes,
/// largest share first.
pub(crate) fn score_possessions(
    labels: &Table,
    found: &Table,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> PossessionScore {
    let phase = labels.text("phase");
    let (label_team, found_team) = (labels.text("offense_team_id"), found.text("offense_team_id"));
    let compare = |label: usize, row: usize, spans: TwoSpans| {
        if phase.at(label).is_none() {
            let in_doubt = spans.common > params.min_possession_doubt * spans.second;
            return if in_doubt { Match::InDoubt } else { Match::None };
        }
        let overlap = spans.common / spans.either;
        if overlap >= params.min_possession_overlap && label_team.at(label) == found_team.at(row) {
            Match::Candidate(1.0 - overlap)
        } else {
            Match::None
        }
    };
    let paired = pair_spans(
        (labels, found),
        "phase",
        |row| labels.game_period(row),
        |row| found.game_period(row),
        compare,
        warnings,
    );
    PossessionScore {
        detection: paired.detection,
        columns: paired.columns,
    }
}
