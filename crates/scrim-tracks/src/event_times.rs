//! The instant of an event from its game clock, and the other way round.

use crate::{Event, Period};

/// How far above the clock's next value an event's clock may stand and still be met there, s: side tables often
/// round to 0.1 s.
const ROUNDING_S: f32 = 0.051;

/// Completes each event's clocks from its period's; the order stays.
pub(crate) fn complete(events: &mut [Event], periods: &[Period]) {
    for event in events {
        let Some(period) = periods.iter().find(|period| period.number == event.period) else {
            continue;
        };
        match (event.t_s, event.game_clock_s) {
            (None, Some(clock_s)) => event.t_s = first_at(period, clock_s),
            (Some(t_s), None) => event.game_clock_s = clock_at(period, t_s),
            (Some(_), Some(_)) | (None, None) => {}
        }
    }
}

/// The first instant at which the game clock had come down to `clock_s`.
fn first_at(period: &Period, clock_s: f32) -> Option<f64> {
    period
        .game_clock_s
        .iter()
        .position(|shown| *shown <= clock_s + ROUNDING_S)
        .map(|frame| period.t_s(frame))
}

/// What the game clock showed.
fn clock_at(period: &Period, t_s: f64) -> Option<f32> {
    let inside = period.frames > 0 && (-0.5..=period.t_s(period.frames) + 0.5).contains(&t_s);
    inside
        .then(|| period.game_clock_s[period.frame_at(t_s)])
        .filter(|clock| clock.is_finite())
}
