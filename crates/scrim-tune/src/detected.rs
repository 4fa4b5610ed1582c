//! What a detector would write of candidates, and how much of it is right.

use std::cmp::{max, min};
use std::collections::BTreeMap;

use scrim_tables::Id;

use crate::Row;

/// Two rows of the same two players within this stand for one screen, s.
const SAME_S: f64 = 1.6;

/// Of the rows `sure_enough`, those that a detector would write: of the same two players, whoever screens, the surest within
/// [`SAME_S`]. Surest first.
pub fn written(rows: &[Row], sure: &[f32], sure_enough: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut order: Vec<usize> = sure_enough.collect();
    order.sort_by(|&a, &b| sure[b].total_cmp(&sure[a]).then(a.cmp(&b)));
    let mut of_pair: BTreeMap<(&Id, u8, &Id, &Id), Vec<f64>> = BTreeMap::new();
    order.retain(|&at| {
        let row = &rows[at];
        let (one, other) = (min(&row.user, &row.screener), max(&row.user, &row.screener));
        let written = of_pair.entry((&row.game_id, row.period, one, other)).or_default();
        let stands_twice = written.iter().any(|t_s| (t_s - row.t_s).abs() < SAME_S);
        if !stands_twice {
            written.push(row.t_s);
        }
        !stands_twice
    });
    order
}

/// Hits and false alarms among the rows `sure_enough`, each pair of players once within [`SAME_S`].
pub fn detected(rows: &[Row], sure: &[f32], sure_enough: impl Iterator<Item = usize>) -> (f64, f64) {
    let (mut hits, mut false_alarms) = (0.0, 0.0);
    for at in written(rows, sure, sure_enough) {
        if rows[at].label.is_some() {
            hits += 1.0;
        } else if !rows[at].in_doubt {
            false_alarms += 1.0;
        }
    }
    (hits, false_alarms)
}
