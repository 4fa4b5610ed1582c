//! How good one period's tracking was.

use scrim_tables::rows::GameQualityRow;

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
}

/// Makes the row.
pub(crate) fn row(
    game_id: &scrim_tables::Id,
    period: &crate::Period,
    counts: &Counts,
    notes: &[String],
) -> GameQualityRow {
    let (mut missing, mut live, mut usable) = (0_u32, 0_u32, 0_u32);
    for span in &period.lineups {
        for frame in span.start..span.end {
            let whole = span
                .on_floor
                .iter()
                .flatten()
                .all(|ix| period.tracks[*ix].x_m[frame].is_finite());
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
        notes: notes.join("; "),
        swaps_repaired: counts.swaps_repaired,
    }
}
