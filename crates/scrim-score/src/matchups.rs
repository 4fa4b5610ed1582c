//! Who guards whom, weighted by time.

use scrim_statistics::group_rows;
use serde::Serialize;

use crate::reliability::Gathered;
use crate::table::Table;
use crate::{Rate, Reliability, ScoreParams, Warning};

/// The table of matchups, looked at in even steps through every labelled spell of every defender.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MatchupScore {
    /// Labelled player-time, s.
    pub labelled_s: f64,
    /// Looks at which the tables had the right attacker. Looks follow each other closely and are no independent
    /// trials: the interval is too narrow.
    pub right: Option<Rate>,
    /// Looks at which the tables had no attacker for the defender (counted as not right above).
    pub uncovered: Option<Rate>,
    /// Confidence of the spell against being right, look by look; `None` when none is stated.
    pub reliability: Option<Reliability>,
}

/// Scores matchups. Where spells of one defender overlap, the last row of the table speaks.
pub(crate) fn score_matchups(
    labels: &Table,
    found: &Table,
    params: &ScoreParams,
    warnings: &mut Vec<Warning>,
) -> MatchupScore {
    let (label_start, label_end) = (labels.numbers("t_start_s"), labels.numbers("t_end_s"));
    let (found_start, found_end) = (found.numbers("t_start_s"), found.numbers("t_end_s"));
    let (label_defender, found_defender) = (labels.text("defender_id"), found.text("defender_id"));
    let (label_attacker, found_attacker) = (labels.text("offender_id"), found.text("offender_id"));
    let stated = found.numbers("confidence");
    let spells = group_rows(found.rows, |row| {
        Some((found.game_period(row)?, found_defender.at(row)?))
    });

    let step_s = params.matchup_step_s;
    let mut gathered = Gathered::new(params.reliability_bins);
    let (mut looks, mut right, mut uncovered) = (0, 0, 0);
    for label in 0..labels.rows {
        let key = labels.game_period(label).zip(label_defender.at(label));
        let (Some(start_s), Some(end_s), Some(key)) = (label_start.at(label), label_end.at(label), key)
        else {
            continue;
        };
        let first_s = start_s + step_s / 2.0;
        let spell_looks = ((end_s - first_s) / step_s).ceil().max(0.0) as usize;
        let spells = spells.get(&key).map(Vec::as_slice).unwrap_or_default();
        for look in 0..spell_looks {
            let t_s = first_s + look as f64 * step_s;
            looks += 1;
            let covers = |row: &&usize| {
                found_start.at(**row).is_some_and(|start| start <= t_s)
                    && found_end.at(**row).is_some_and(|end| t_s <= end)
            };
            let Some(row) = spells.iter().rev().find(covers) else {
                uncovered += 1;
                continue;
            };
            let is_right = found_attacker.at(*row) == label_attacker.at(label);
            right += usize::from(is_right);
            if let Some(stated) = stated.at(*row) {
                gathered.add(stated, is_right);
            }
        }
    }
    if gathered.out_of_range > 0 {
        warnings.push(Warning::ConfidenceOutOfRange {
            table: "matchups",
            rows: gathered.out_of_range,
        });
    }
    MatchupScore {
        labelled_s: looks as f64 * step_s,
        right: Rate::of(right, looks),
        uncovered: Rate::of(uncovered, looks),
        reliability: gathered.finish(),
    }
}
