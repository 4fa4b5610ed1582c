//! A possession's tracks, in metres, attack frame.

use scrim_floor::{AttackFrame, Point};
use scrim_tables::Id;
use scrim_tables::rows::TrackRow;
use scrim_tables::tags::Entity;

use crate::GameRows;

pub(crate) type Spot = Point<AttackFrame>;

/// One entity's places; NaN where it is not seen.
#[derive(Debug, Clone)]
pub(crate) struct Trace {
    pub(crate) entity: Entity,
    pub(crate) player: Option<Id>,
    spots: Vec<Spot>,
}

impl Trace {
    fn of(row: &TrackRow) -> Self {
        let metres = |cm: &Option<i16>| cm.map_or(f32::NAN, |cm| f32::from(cm) / 100.0);
        Self {
            entity: row.entity,
            player: row.player_id.clone(),
            spots: row
                .x_cm
                .iter()
                .zip(&row.y_cm)
                .map(|(x, y)| Point::new(metres(x), metres(y)))
                .collect(),
        }
    }

    /// The place at a sample, when it is seen there.
    pub(crate) fn at(&self, sample: usize) -> Option<Spot> {
        self.spots.get(sample).copied().filter(|spot| spot.is_finite())
    }

    /// The place at the sample, or at the nearest one within `reach` samples where it is seen.
    pub(crate) fn near(&self, sample: usize, reach: usize) -> Option<Spot> {
        (0..=reach).find_map(|off| {
            self.at(sample + off)
                .or_else(|| self.at(sample.checked_sub(off)?))
        })
    }
}

/// All that moved.
#[derive(Debug, Clone)]
pub(crate) struct PlayTracks {
    pub(crate) t_start_s: f64,
    pub(crate) hz: f64,
    pub(crate) samples: usize,
    /// Attackers, defenders, the ball, as the table has them.
    pub(crate) traces: Vec<Trace>,
}

impl PlayTracks {
    /// The possession's tracks; `None` when the table has none of it.
    pub(crate) fn of(game: &GameRows, possession_id: u32) -> Option<Self> {
        let rows = game.tracks_of(possession_id);
        let first = rows.first()?;
        // A track without instants says nothing; another program may have written it.
        let has_instants = first.t_start_s.is_finite() && first.hz.is_finite() && first.hz > 0.0;
        if !has_instants {
            return None;
        }
        let samples = rows.iter().map(|row| row.x_cm.len()).min().filter(|n| *n > 0)?;
        Some(Self {
            t_start_s: first.t_start_s,
            hz: f64::from(first.hz),
            samples,
            traces: rows.iter().map(Trace::of).collect(),
        })
    }

    /// The sample nearest to an instant, within the track.
    pub(crate) fn sample_at(&self, t_s: f64) -> usize {
        let sample = ((t_s - self.t_start_s) * self.hz).round().max(0.0) as usize;
        sample.min(self.samples - 1)
    }

    /// The instant of a sample.
    pub(crate) fn t_s(&self, sample: usize) -> f64 {
        self.t_start_s + sample as f64 / self.hz
    }

    /// The last instant.
    pub(crate) fn t_end_s(&self) -> f64 {
        self.t_s(self.samples - 1)
    }

    /// Whether an instant lies in the tracks, within a sample.
    pub(crate) fn holds(&self, t_s: f64) -> bool {
        let slack_s = 1.0 / self.hz;
        (self.t_start_s - slack_s..=self.t_end_s() + slack_s).contains(&t_s)
    }

    /// A player's trace.
    pub(crate) fn of_player(&self, player: &Id) -> Option<&Trace> {
        self.traces
            .iter()
            .find(|trace| trace.player.as_ref() == Some(player))
    }

    /// The ball's trace.
    pub(crate) fn ball(&self) -> Option<&Trace> {
        self.traces.iter().find(|trace| trace.entity == Entity::Ball)
    }

    /// The traces of one side.
    pub(crate) fn side(&self, entity: Entity) -> impl Iterator<Item = &Trace> {
        self.traces.iter().filter(move |trace| trace.entity == entity)
    }
}
