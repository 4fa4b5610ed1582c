//! What a detector would write of candidates, and how much of it is right.

use crate::Row;

/// Two rows of the same two players within this stand for one screen, s.
const SAME_S: f64 = 1.6;

/// Hits and false alarms among the rows `sure_enough`, each pair of players once within [`SAME_S`].
pub fn detected(rows: &[Row], sure: &[f32], sure_enough: impl Iterator<Item = usize>) -> (f64, f64) {
    let mut order: Vec<usize> = sure_enough.collect();
    order.sort_by(|&a, &b| sure[b].total_cmp(&sure[a]).then(a.cmp(&b)));
    let mut kept: Vec<usize> = Vec::new();
    let (mut hits, mut false_alarms) = (0.0, 0.0);
    for at in order {
        let row = &rows[at];
        let stands_twice = kept.iter().any(|&other| {
            let other = &rows[other];
            other.game_id == row.game_id
                && other.period == row.period
                && (other.t_s - row.t_s).abs() < SAME_S
                && ((&other.user, &other.screener) == (&row.user, &row.screener)
                    || (&other.user, &other.screener) == (&row.screener, &row.user))
        });
        if stands_twice {
            continue;
        }
        kept.push(at);
        if row.label.is_some() {
            hits += 1.0;
        } else if !row.in_doubt {
            false_alarms += 1.0;
        }
    }
    (hits, false_alarms)
}
