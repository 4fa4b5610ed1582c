//! The noise-free frames of a game, as measures read them.

use scrim_tables::Id;

use crate::league::Fixture;
use crate::params::PracticeParams;
use crate::plan::Log;
use crate::record::{PeriodRecord, to_attack};
use crate::vec2::Vec2;

/// A definition as the decimal number that it is written as: labels are measured in `f64`, and 0.6 is not the `f32` next to it.
pub(crate) const fn exact(definition: f32) -> f64 {
    (definition as f64 * 1e4 + 0.5) as i64 as f64 / 1e4
}

/// The frames of a game and what can be read off them.
pub(crate) struct Film<'a> {
    pub game_id: Id,
    pub params: &'a PracticeParams,
    pub fixture: &'a Fixture,
    /// One record a period; period `p` is at `p − 1`.
    pub periods: &'a [PeriodRecord],
    pub log: &'a Log,
}

impl Film<'_> {
    /// The period as the team sees it that attacks at `frame`.
    pub fn view(&self, period: u8, frame: usize) -> View<'_> {
        let record = self.record(period);
        View {
            record,
            sign: record.frames[frame].sign,
            hoop_x_m: f64::from(self.params.court.hoop_x_m()),
            hz: self.params.hz,
        }
    }

    pub fn record(&self, period: u8) -> &PeriodRecord {
        &self.periods[usize::from(period) - 1]
    }

    /// The frame nearest to `t_s`, within the period.
    pub fn frame_at(&self, period: u8, t_s: f64) -> usize {
        let last = self.record(period).frames.len().saturating_sub(1);
        ((t_s * self.params.hz).round().max(0.0) as usize).min(last)
    }

    pub fn time_of(&self, frame: usize) -> f64 {
        frame as f64 / self.params.hz
    }

    /// Frames in `seconds`.
    pub fn span(&self, seconds: f64) -> usize {
        (seconds * self.params.hz).round() as usize
    }

    /// Whom `defender` guarded at `t_s`, while `offense` had the ball.
    pub fn guarded_by(&self, period: u8, t_s: f64, offense: usize, defender: usize) -> Option<usize> {
        let change = self
            .log
            .matchups
            .iter()
            .rfind(|c| c.period == period && c.t_s <= t_s && c.offense == offense);
        change.map(|c| c.guards[defender])
    }

    pub fn player_id(&self, period: u8, frame: usize, slot: usize) -> Id {
        let player = self.record(period).frames[frame].players[slot];
        self.fixture.players[usize::from(player)].player_id.clone()
    }
}

/// One period seen from one team's attack frame.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub record: &'a PeriodRecord,
    pub sign: f32,
    pub hoop_x_m: f64,
    pub hz: f64,
}

impl View<'_> {
    pub fn spot(&self, frame: usize, slot: usize) -> Vec2 {
        self.record.spot(frame, slot, self.sign, self.hoop_x_m)
    }

    pub fn gap(&self, frame: usize, a: usize, b: usize) -> f64 {
        self.spot(frame, a).distance(self.spot(frame, b))
    }

    /// Velocity by the difference over about 0.16 s around the frame.
    pub fn velocity(&self, frame: usize, slot: usize) -> Vec2 {
        let reach = ((0.08 * self.hz).round() as usize).max(1);
        let (from, to) = (
            frame.saturating_sub(reach),
            (frame + reach).min(self.record.frames.len() - 1),
        );
        if to <= from {
            return Vec2::ZERO;
        }
        (self.spot(to, slot) - self.spot(from, slot)) * (self.hz / (to - from) as f64)
    }

    pub fn speed(&self, frame: usize, slot: usize) -> f64 {
        self.velocity(frame, slot).length()
    }

    /// The way run from `from` to `to`.
    pub fn path_m(&self, from: usize, to: usize, slot: usize) -> f64 {
        (from..to)
            .map(|f| self.spot(f, slot).distance(self.spot(f + 1, slot)))
            .sum()
    }

    /// The largest speed from `from` to `to`.
    pub fn peak_mps(&self, from: usize, to: usize, slot: usize) -> f64 {
        (from..=to).map(|f| self.speed(f, slot)).fold(0.0, f64::max)
    }

    /// Where the ball is, or where `otherwise` stands when it is not seen.
    pub fn ball(&self, frame: usize, otherwise: usize) -> Vec2 {
        self.record.frames[frame].ball_m.map_or_else(
            || self.spot(frame, otherwise),
            |[x, y, _]| to_attack([x, y], self.sign, self.hoop_x_m),
        )
    }

    /// Who has the ball in hand.
    pub fn holder(&self, frame: usize) -> Option<usize> {
        self.record.frames[frame].holder.map(usize::from)
    }

    /// The frame of `[from, to]` at which `a` and `b` are nearest, and their distance then.
    pub fn closest(&self, from: usize, to: usize, a: usize, b: usize) -> (usize, f64) {
        (from..=to.max(from))
            .map(|f| (f, self.gap(f, a, b)))
            .min_by(|p, q| p.1.total_cmp(&q.1))
            .expect("the range holds at least its first frame")
    }
}
