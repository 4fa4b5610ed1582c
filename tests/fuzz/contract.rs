//! What every game that is read keeps, whatever its bytes were.

use scrim_ingest::ReadGame;
use scrim_tracks::{Event, RawGame, RawPeriod, RawTrack};

/// Holds a game against what [`RawGame`] and its parts promise.
pub fn check_game(read: &ReadGame) {
    let RawGame {
        info,
        players,
        periods,
        events,
    } = &read.raw;
    assert!(!info.game_id.is_empty() && info.team_ids.iter().all(|id| !id.is_empty()));
    assert_ne!(info.team_ids[0], info.team_ids[1]);
    assert!(
        info.video_offset_s
            .iter()
            .flatten()
            .all(|offset_s| offset_s.is_finite())
    );
    assert!(players.iter().all(|player| !player.id.is_empty()));
    assert!(
        players.is_sorted_by(|a, b| (a.team, &a.id) < (b.team, &b.id)),
        "{players:?}"
    );
    assert!(periods.is_sorted_by(|a, b| a.number < b.number));
    for period in periods {
        check_period(period, players.len());
    }
    let mut before: Option<&Event> = None;
    for event in events.iter().flatten() {
        assert!(event.period >= 1);
        assert!(event.t_s.is_some() || event.game_clock_s.is_some());
        assert!(event.t_s.is_none_or(f64::is_finite) && event.game_clock_s.is_none_or(f32::is_finite));
        assert!(
            event
                .player
                .is_none_or(|player| usize::from(player.0) < players.len())
        );
        assert!(before.is_none_or(|before| before.period <= event.period));
        before = Some(event);
    }
    for row in &read.quarantine {
        assert!(!row.source.is_empty() && !row.detail.is_empty());
    }
}

fn check_period(period: &RawPeriod, players: usize) {
    assert!(period.number >= 1);
    assert!(period.clocks.is_sorted_by(|a, b| a.t_s < b.t_s));
    for clock in &period.clocks {
        assert!(clock.t_s.is_finite());
        // NaN when not given.
        assert!(!clock.game_clock_s.is_infinite() && !clock.shot_clock_s.is_infinite());
    }
    assert!(period.players.is_sorted_by(|a, b| a.who < b.who));
    for track in &period.players {
        assert!(usize::from(track.who.0) < players && !track.t_s.is_empty());
        check_track(track);
    }
    check_track(&period.ball);
}

fn check_track<Who>(track: &RawTrack<Who>) {
    let RawTrack {
        t_s, x_m, y_m, z_m, ..
    } = track;
    assert!(x_m.len() == t_s.len() && y_m.len() == t_s.len());
    assert!(z_m.is_empty() || z_m.len() == t_s.len());
    assert!(t_s.iter().all(|t| t.is_finite()) && t_s.is_sorted_by(|a, b| a < b));
    assert!(x_m.iter().chain(y_m).all(|m| m.is_finite()));
    assert!(!z_m.iter().any(|m| m.is_infinite()));
}
