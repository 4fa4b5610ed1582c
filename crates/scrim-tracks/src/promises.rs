//! What the raw game's types promise but cannot enforce.

use crate::{GameInfo, Player, RawPeriod, RawTrack, TrackError};

/// Longest period that is taken, s (four hours): a longer one is a wrong unit of time, and its grid would eat the memory.
const MAX_PERIOD_S: f64 = 14_400.0;

/// Checks a period: equal lengths, ascending instants within the period, finite places, known players.
pub(crate) fn check_samples(
    info: &GameInfo,
    players: &[Player],
    period: &RawPeriod,
) -> Result<(), TrackError> {
    let check_times = |who: &str, t_s: &[f64]| {
        let game = || info.game_id.to_string();
        if let Some(found) = t_s.iter().find(|t| !(0.0..=MAX_PERIOD_S).contains(*t)) {
            return Err(TrackError::Instant {
                game: game(),
                period: period.number,
                who: who.into(),
                found: *found,
                most: MAX_PERIOD_S,
            });
        }
        if t_s.windows(2).any(|pair| pair[0] >= pair[1]) {
            return Err(broken(info, period, who, "their instants do not ascend strictly"));
        }
        Ok(())
    };
    let clock_times: Vec<f64> = period.clocks.iter().map(|sample| sample.t_s).collect();
    check_times("the clocks", &clock_times)?;
    for track in &period.players {
        let Some(player) = players.get(track.who.index()) else {
            return Err(broken(
                info,
                period,
                &format!("player number {}", track.who.0),
                "the roster has no such player",
            ));
        };
        check_track(track, |what| broken(info, period, &player.id, what))?;
        check_times(&player.id, &track.t_s)?;
    }
    if period.players.windows(2).any(|pair| pair[0].who >= pair[1].who) {
        return Err(broken(
            info,
            period,
            "the players",
            "they do not ascend, or one has two tracks",
        ));
    }
    check_track(&period.ball, |what| broken(info, period, "the ball", what))?;
    check_times("the ball", &period.ball.t_s)
}

fn check_track<Who>(
    track: &RawTrack<Who>,
    broken: impl Fn(&'static str) -> TrackError,
) -> Result<(), TrackError> {
    let n = track.t_s.len();
    if track.x_m.len() != n || track.y_m.len() != n || !(track.z_m.is_empty() || track.z_m.len() == n) {
        return Err(broken("their arrays differ in length"));
    }
    if !track.x_m.iter().chain(&track.y_m).all(|place| place.is_finite()) {
        return Err(broken("a place is not a finite number"));
    }
    Ok(())
}

fn broken(info: &GameInfo, period: &RawPeriod, who: &str, what: &'static str) -> TrackError {
    TrackError::Samples {
        game: info.game_id.to_string(),
        period: period.number,
        who: who.into(),
        what,
    }
}
