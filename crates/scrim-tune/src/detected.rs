//! What a detector would write of candidates, and how much of it is right.

use std::cmp::{max, min};
use std::collections::BTreeMap;

use scrim_actions::is_said_already;
use scrim_tables::Id;

use crate::Row;

/// What is written of two players: when, and for which of them as the user.
type Written<'a> = Vec<(f64, &'a Id)>;

/// Of the rows `sure_enough`, those that a detector would write: of the same two players, whoever screens, the surest, and what
/// does not repeat another ([`is_said_already`]). Surest first.
pub fn written(rows: &[Row], sure: &[f32], sure_enough: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut order: Vec<usize> = sure_enough.collect();
    order.sort_by(|&a, &b| sure[b].total_cmp(&sure[a]).then(a.cmp(&b)));
    let mut of_pair: BTreeMap<(&Id, u8, &Id, &Id), Written<'_>> = BTreeMap::new();
    order.retain(|&at| {
        let row = &rows[at];
        let (one, other) = (min(&row.user, &row.screener), max(&row.user, &row.screener));
        let written = of_pair.entry((&row.game_id, row.period, one, other)).or_default();
        let stands_twice = written
            .iter()
            .any(|&(t_s, user)| is_said_already((t_s - row.t_use_s).abs(), *user == row.user, sure[at]));
        if !stands_twice {
            written.push((row.t_use_s, &row.user));
        }
        !stands_twice
    });
    order
}

/// Hits and false alarms among the rows `sure_enough`, what says the same again left out; places in `rows`.
pub fn detected(
    rows: &[Row],
    sure: &[f32],
    sure_enough: impl Iterator<Item = usize>,
) -> (Vec<usize>, Vec<usize>) {
    let (mut hits, mut false_alarms) = (Vec::new(), Vec::new());
    for at in written(rows, sure, sure_enough) {
        if rows[at].is_hit() {
            hits.push(at);
        } else if !rows[at].in_doubt {
            false_alarms.push(at);
        }
    }
    (hits, false_alarms)
}
