//! From rows of `tracks` to a shape: who is who, gaps filled, so many instants.

use scrim_tables::Id;
use scrim_tables::rows::TrackRow;
use scrim_tables::tags::Entity;

use crate::LeftOut;
use crate::shape::{BALL, INSTANTS, Shape, WAYS, Way};
use crate::window::Window;

/// A side's players on the floor.
const SIDE: usize = 5;
/// Everybody is seen in at least this share of the window's samples; gaps are filled on the straight line. Common practice, no source.
const LEAST_SEEN: f64 = 0.5;

/// The shape of a possession in a window, from its rows of `tracks`. Each defender stands beside the attacker to whom they are near over
/// the whole window: of all ways to give five defenders to five attackers the one with the least sum of mean distances (the assignment
/// problem of H. W. Kuhn, "The Hungarian method for the assignment problem", Naval Research Logistics Quarterly 2, 1955, 83–97; of
/// five, all 120 orders are tried).
pub(crate) fn shape_of(rows: &[TrackRow], window: &Window<'_>) -> Result<Shape, LeftOut> {
    let side = |entity: Entity| -> Vec<&TrackRow> {
        let mut rows: Vec<&TrackRow> = rows.iter().filter(|row| row.entity == entity).collect();
        rows.sort_by(|a, b| a.player_id.cmp(&b.player_id));
        rows
    };
    let (attackers, defenders) = (side(Entity::Offense), side(Entity::Defense));
    let [ball] = side(Entity::Ball)[..] else {
        return Err(LeftOut::NotTen);
    };
    let place_of = |player: &Id| {
        attackers
            .iter()
            .position(|row| row.player_id.as_ref() == Some(player))
    };
    let pair = [
        place_of(&window.screen.user_id),
        place_of(&window.screen.screener_id),
    ];
    let [Some(user), Some(screener)] = pair else {
        return Err(LeftOut::NotTen);
    };
    if attackers.len() != SIDE || defenders.len() != SIDE || user == screener {
        return Err(LeftOut::NotTen);
    }
    let mut ways: [Way; WAYS] = [[[0; INSTANTS]; 2]; WAYS];
    let others = (0..SIDE).filter(|place| ![user, screener].contains(place));
    for (place, from) in [user, screener].into_iter().chain(others).enumerate() {
        ways[place] = way_of(attackers[from], window)?;
    }
    let mut theirs: [Way; SIDE] = [[[0; INSTANTS]; 2]; SIDE];
    for (way, row) in theirs.iter_mut().zip(&defenders) {
        *way = way_of(row, window)?;
    }
    let mut costs = [[0.0; SIDE]; SIDE];
    for (attacker, costs) in costs.iter_mut().enumerate() {
        for (defender, cost) in costs.iter_mut().enumerate() {
            *cost = apart_cm(&ways[attacker], &theirs[defender]);
        }
    }
    for (attacker, defender) in least_order(&costs).into_iter().enumerate() {
        ways[SIDE + attacker] = theirs[defender];
    }
    ways[BALL] = way_of(ball, window)?;
    Ok(Shape::of_ways(&ways))
}

/// The sum over the instants of the distance between two, cm.
fn apart_cm(a: &Way, b: &Way) -> f64 {
    let at = |way: &Way, axis: usize, instant: usize| f64::from(way[axis][instant]);
    (0..INSTANTS)
        .map(|k| (at(a, 0, k) - at(b, 0, k)).hypot(at(a, 1, k) - at(b, 1, k)))
        .sum()
}

/// Which column each row gets, so that the sum is the least; of equals the first in the order of numbers.
fn least_order(costs: &[[f64; SIDE]; SIDE]) -> [usize; SIDE] {
    fn from(
        row: usize,
        sum: f64,
        order: &mut [usize; SIDE],
        costs: &[[f64; SIDE]; SIDE],
        best: &mut (f64, [usize; SIDE]),
    ) {
        if row == SIDE {
            if sum < best.0 {
                *best = (sum, *order);
            }
            return;
        }
        for column in 0..SIDE {
            if !order[..row].contains(&column) {
                order[row] = column;
                from(row + 1, sum + costs[row][column], order, costs, best);
            }
        }
    }
    let mut best = (f64::INFINITY, [0, 1, 2, 3, 4]);
    from(0, 0.0, &mut [0; SIDE], costs, &mut best);
    best.1
}

/// One way: at instants that are evenly spread over the window, the first at its begin, the last at its end; between two samples on the
/// straight line.
fn way_of(row: &TrackRow, window: &Window<'_>) -> Result<Way, LeftOut> {
    let hz = f64::from(row.hz);
    let is_track =
        row.t_start_s.is_finite() && hz.is_finite() && hz > 0.0 && row.x_cm.len() == row.y_cm.len();
    if !is_track {
        return Err(LeftOut::NoTracks);
    }
    let place = |t_s: f64| (t_s - row.t_start_s) * hz;
    let (first, last) = (place(window.from_s).max(0.0), place(window.to_s));
    let samples = row.x_cm.len();
    // The last sample may lie up to one before the possession's end.
    if samples == 0 || last > samples as f64 {
        return Err(LeftOut::NoTracks);
    }
    let looked_at = first.floor() as usize..=(last.ceil() as usize).min(samples - 1);
    let seen: Vec<usize> = looked_at
        .clone()
        .filter(|sample| row.x_cm[*sample].is_some() && row.y_cm[*sample].is_some())
        .collect();
    if (seen.len() as f64) < LEAST_SEEN * looked_at.count() as f64 {
        return Err(LeftOut::NotSeen);
    }
    let mut way = [[0; INSTANTS]; 2];
    for (way, values) in way.iter_mut().zip([&row.x_cm, &row.y_cm]) {
        for (instant, place) in way.iter_mut().enumerate() {
            let at = first + (last - first) * instant as f64 / (INSTANTS - 1) as f64;
            *place = between(values, &seen, at).ok_or(LeftOut::NotSeen)?;
        }
    }
    Ok(way)
}

/// Between the nearest samples at which something is seen, before and after; before the first and after the last, as there.
fn between(values: &[Option<i16>], seen: &[usize], at: f64) -> Option<i16> {
    let after = seen.partition_point(|sample| (*sample as f64) < at);
    let later = seen.get(after).or(seen.last())?;
    let earlier = after.checked_sub(1).map_or(later, |before| &seen[before]);
    let (from, to) = (f64::from(values[*earlier]?), f64::from(values[*later]?));
    if earlier == later {
        return values[*later];
    }
    let share = (at - *earlier as f64) / (later - earlier) as f64;
    Some((from + (to - from) * share).round() as i16)
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;
    use scrim_tables::rows::ScreenRow;

    use super::*;

    /// Samples at 1 Hz from 0 s, with gaps.
    fn row(entity: Entity, player: Option<&str>, x_cm: Vec<Option<i16>>) -> TrackRow {
        TrackRow {
            entity,
            player_id: player.map(Into::into),
            hz: 1.0,
            y_cm: x_cm.clone(),
            x_cm,
            ..TrackRow::blank()
        }
    }

    fn screen() -> ScreenRow {
        ScreenRow {
            user_id: "c".into(),
            screener_id: "a".into(),
            ..ScreenRow::blank()
        }
    }

    fn window(screen: &ScreenRow) -> Window<'_> {
        Window {
            screen,
            from_s: 0.0,
            to_s: 15.0,
        }
    }

    /// Everybody stands; attackers at 0, 100 .. 400, their defenders 30 cm on, in another order; the ball at 900.
    fn standing() -> Vec<TrackRow> {
        let still = |at: i16| vec![Some(at); 16];
        let mut rows = Vec::new();
        for (place, player) in ["a", "b", "c", "d", "e"].into_iter().enumerate() {
            let at = place as i16 * 100;
            rows.push(row(Entity::Offense, Some(player), still(at)));
            // `v` guards `e`, `z` guards `a`.
            let defender = ["z", "y", "x", "w", "v"][place];
            rows.push(row(Entity::Defense, Some(defender), still(at + 30)));
        }
        rows.push(row(Entity::Ball, None, still(900)));
        rows
    }

    #[test]
    fn roles_come_first_and_defenders_stand_beside_whom_they_are_near() {
        let screen = screen();
        let shape = shape_of(&standing(), &window(&screen)).unwrap();
        let first_x: Vec<i16> = shape.numbers().chunks(2 * INSTANTS).map(|way| way[0]).collect();
        // User c, screener a, then b, d, e; their defenders 30 cm on; the ball.
        assert_eq!(first_x, [200, 0, 100, 300, 400, 230, 30, 130, 330, 430, 900]);
    }

    #[test]
    fn the_order_of_the_rows_says_nothing() {
        let screen = screen();
        let mut rows = standing();
        let before = shape_of(&rows, &window(&screen)).unwrap();
        rows.reverse();
        assert_eq!(shape_of(&rows, &window(&screen)).unwrap(), before);
    }

    #[test]
    fn who_is_not_there_or_not_seen_is_said() {
        let screen = screen();
        let mut rows = standing();
        rows[0].x_cm = vec![None; 16];
        assert_eq!(shape_of(&rows, &window(&screen)), Err(LeftOut::NotSeen));
        rows.remove(0);
        assert_eq!(shape_of(&rows, &window(&screen)), Err(LeftOut::NotTen));
        let mut short = standing();
        for row in &mut short {
            row.x_cm.truncate(10);
            row.y_cm.truncate(10);
        }
        assert_eq!(shape_of(&short, &window(&screen)), Err(LeftOut::NoTracks));
    }

    #[test]
    fn a_gap_is_filled_on_the_straight_line() {
        let screen = screen();
        let mut x_cm: Vec<Option<i16>> = (0..16).map(|k| Some(k * 10)).collect();
        x_cm[0] = None;
        x_cm[4] = None;
        x_cm[5] = None;
        let way = way_of(&row(Entity::Ball, None, x_cm), &window(&screen)).unwrap();
        // 16 samples, 16 instants: one each. Before the first that is seen, as there.
        let expected: Vec<i16> = [10].into_iter().chain((1..16).map(|k| k * 10)).collect();
        assert_eq!(way[0].to_vec(), expected);
    }

    #[test]
    fn the_least_order_is_the_least_of_all() {
        // By hand: the diagonal costs 5, everything else 10 a cell, but for a ring of five that costs 4 in all.
        let mut costs = [[10.0; SIDE]; SIDE];
        for place in 0..SIDE {
            costs[place][place] = 1.0;
            costs[place][(place + 1) % SIDE] = 0.8;
        }
        assert_eq!(least_order(&costs), [1, 2, 3, 4, 0]);
    }
}
