//! How good one period's tracking was.

use scrim_tables::Id;
use scrim_tables::rows::GameQualityRow;
use scrim_tables::tags::Verdict;

use crate::{Period, TeamSlot};

/// What cleaning counted in one period.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Counts {
    pub(crate) gaps_filled: u32,
    pub(crate) gap_s_longest: f32,
    pub(crate) spikes_repaired: u32,
    pub(crate) swaps_repaired: u32,
    pub(crate) duplicate_rows: u32,
    pub(crate) rows_quarantined: u32,
    pub(crate) source_hz: f32,
    pub(crate) player_sigma_m: Option<f32>,
    pub(crate) ball_sigma_m: Option<f32>,
    pub(crate) player_window_s: f64,
    pub(crate) unexplained_jumps: u32,
    pub(crate) doubtful_crossings: u32,
}

/// Makes the row.
pub(crate) fn row(game_id: &Id, period: &Period, counts: &Counts) -> GameQualityRow {
    let (mut missing, mut live, mut usable) = (0_u32, 0_u32, 0_u32);
    for span in &period.lineups {
        for frame in span.start..span.end {
            let whole = span
                .on_floor
                .iter()
                .flatten()
                .all(|&ix| period.track(ix).x_m[frame].is_finite());
            let ball = period.ball.x_m[frame].is_finite();
            let ten = span.on_floor.iter().all(|team| team.len() == 5);
            missing += u32::from(!(whole && ball));
            live += u32::from(period.live[frame]);
            usable += u32::from(period.live[frame] && whole && ball && ten);
        }
    }
    GameQualityRow {
        game_id: game_id.clone(),
        period: period.number,
        frames: period.frames as u32,
        hz: counts.source_hz,
        missing_frames: missing,
        spikes_repaired: counts.spikes_repaired,
        gaps_filled: counts.gaps_filled,
        gap_s_longest: counts.gap_s_longest,
        duplicate_rows: counts.duplicate_rows,
        rows_quarantined: counts.rows_quarantined,
        ball_height: period.ball.has_height,
        usable_share: if live == 0 {
            0.0
        } else {
            (f64::from(usable) / f64::from(live)) as f32
        },
        notes: notes(period, counts),
        swaps_repaired: counts.swaps_repaired,
        // The gate decides once the game is tagged.
        verdict: Verdict::Good,
        verdict_reason: None,
    }
}

/// What else is worth knowing, as short clauses.
fn notes(period: &Period, counts: &Counts) -> String {
    let mut notes = Vec::new();
    if let Some(sigma_m) = counts.player_sigma_m {
        notes.push(format!(
            "white noise of players {sigma_m:.3} m, smoothed over {:.2} s",
            counts.player_window_s
        ));
    }
    match counts.ball_sigma_m {
        Some(sigma_m) => notes.push(format!("of the ball {sigma_m:.3} m")),
        None => notes.push("no ball".into()),
    }
    if !period.ball.has_height && counts.ball_sigma_m.is_some() {
        notes.push("no height of the ball: control and dribbles are read in the plane".into());
    }
    if counts.unexplained_jumps > 0 {
        notes.push(format!(
            "{} jumps that no swap explains, marked faulty",
            counts.unexplained_jumps
        ));
    }
    if counts.doubtful_crossings > 0 {
        notes.push(format!(
            "{} likely swaps left as they were, marked faulty",
            counts.doubtful_crossings
        ));
    }
    if !period.game_clock_s.iter().any(|clock| clock.is_finite()) {
        notes.push("no game clock: dead time by habits".into());
    }
    for (team, slot) in [("first", TeamSlot::First), ("second", TeamSlot::Second)] {
        let full: usize = period
            .lineups
            .iter()
            .filter(|span| span.of(slot).len() == 5)
            .map(|span| span.end - span.start)
            .sum();
        if 2 * full < period.frames {
            notes.push(format!(
                "the {team} team has five tracked players in less than half of the period"
            ));
        }
    }
    notes.join("; ")
}
