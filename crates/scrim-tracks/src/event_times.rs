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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{BallTrack, EventKind};

    /// 10 s at 10 Hz: the clock runs from 60.0 to 57.0, stands for 4 s, and runs on to 54.1.
    fn period() -> Period {
        let clock = |k: usize| 60.0 - 0.1 * (k.min(30) + k.saturating_sub(70)) as f32;
        let none = || vec![f32::NAN; 100];
        Period {
            number: 2,
            hz: 10.0,
            frames: 100,
            game_clock_s: (0..100).map(clock).collect(),
            shot_clock_s: none(),
            tracks: Vec::new(),
            ball: BallTrack {
                x_m: none(),
                y_m: none(),
                z_m: none(),
                vx_mps: none(),
                vy_mps: none(),
                has_height: false,
            },
            lineups: Vec::new(),
            live: vec![true; 100],
            faulty: vec![false; 100],
        }
    }

    fn completed(
        period_number: u8,
        t_s: Option<f64>,
        game_clock_s: Option<f32>,
    ) -> (Option<f64>, Option<f32>) {
        let kind = EventKind::Foul;
        let event = Event {
            period: period_number,
            t_s,
            game_clock_s,
            kind,
            team: None,
            player: None,
            points: None,
        };
        let mut events = [event];
        complete(&mut events, &[period()]);
        (events[0].t_s, events[0].game_clock_s)
    }

    #[test]
    fn each_clock_is_read_from_the_other() {
        assert_eq!(completed(2, None, Some(58.0)).0, Some(2.0));
        let clock_s = completed(2, Some(8.0), None).1.unwrap();
        assert!((clock_s - 56.0).abs() < 1e-3);
    }

    #[test]
    fn a_standing_clock_gives_the_instant_it_stopped() {
        assert_eq!(completed(2, None, Some(57.0)).0, Some(3.0));
    }

    #[test]
    fn what_no_clock_gives_stays_unknown() {
        assert_eq!(completed(2, None, Some(10.0)), (None, Some(10.0)));
        assert_eq!(completed(1, None, Some(58.0)), (None, Some(58.0)));
        assert_eq!(completed(2, Some(99.0), None), (Some(99.0), None));
        assert_eq!(completed(2, None, None), (None, None));
    }
}
