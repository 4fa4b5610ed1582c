//! Cuts.

use scrim_statistics::TwoSpans;
use serde::Serialize;

use crate::rate::Detection;
use crate::screen_match::ScreenMatch;
use crate::screens::score_links;
use crate::spans::{Match, pair_spans};
use crate::table::Table;
use crate::{ColumnScores, LinkScore, ScoreParams, Warning};

/// The table of cuts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CutScore {
    /// What was found.
    pub detection: Detection,
    /// Cuts off a screen; `None` when no matched label names one, or screens are not scored.
    pub screen: Option<LinkScore>,
    /// Tags and numbers of the matched cuts.
    pub columns: ColumnScores,
}

/// Pairs cuts of one game, period and player whose spans overlap by enough of the shorter, nearest middle first.
pub(crate) fn score_cuts(
    labels: &Table,
    found: &Table,
    screens: Option<&ScreenMatch<'_>>,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> CutScore {
    let kind = labels.text("cut_kind");
    let (label_player, found_player) = (labels.text("player_id"), found.text("player_id"));
    let compare = |label: usize, _: usize, spans: TwoSpans| {
        if !spans.share_at_least(params.min_cut_overlap) {
            Match::None
        } else if kind.at(label).is_none() {
            Match::InDoubt
        } else {
            Match::Candidate(spans.apart)
        }
    };
    let paired = pair_spans(
        (labels, found),
        "cut_kind",
        |row| Some((labels.game_period(row)?, label_player.at(row)?)),
        |row| Some((found.game_period(row)?, found_player.at(row)?)),
        compare,
        warnings,
    );
    CutScore {
        detection: paired.detection,
        screen: screens.and_then(|matched| score_links(matched, labels, found, "screen_id", &paired.pairs)),
        columns: paired.columns,
    }
}
