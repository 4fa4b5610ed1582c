//! From a raw game to a clean one.

use scrim_tables::rows::GameQualityRow;

use crate::clocks::{GridClocks, running};
use crate::event_times;
use crate::grid::{Grid, resample};
use crate::lineups::{ON_FLOOR, Stint, find_stints, tile};
use crate::live::find_live;
use crate::quality::{self, Counts};
use crate::savitzky_golay::Smoother;
use crate::{
    BallTrack, Game, GameInfo, Period, Player, PlayerIx, RawGame, RawPeriod, RawTrack, Track, TrackError,
    TrackParams,
};

/// A cleaned game, and how good its tracking was.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleaned {
    /// The game on its grid.
    pub game: Game,
    /// A row a period, in order.
    pub quality: Vec<GameQualityRow>,
}

/// Degree of the smoothing polynomial: a parabola follows a constant acceleration exactly.
const ORDER: usize = 2;

/// Cleans a game: grid, gaps, smoothing, line-ups, live time.
///
/// The raw samples are freed as they are consumed.
///
/// # Errors
/// [`TrackError::Parameter`] when a parameter lies outside its bounds; [`TrackError::Instant`] and
/// [`TrackError::Samples`] when the raw game breaks a promise of its type.
pub fn clean(raw: RawGame, params: &TrackParams) -> Result<Cleaned, TrackError> {
    params.check()?;
    let RawGame {
        info,
        players,
        periods: raw_periods,
        events,
    } = raw;
    let mut periods = Vec::with_capacity(raw_periods.len());
    let mut quality = Vec::with_capacity(raw_periods.len());
    let filters = Filters::new(params);
    for raw_period in raw_periods {
        check_samples(&info, &players, &raw_period, params)?;
        let (period, counts) = clean_period(raw_period, &players, params, &filters);
        quality.push(quality::row(&info.game_id, &period, &counts, &[]));
        periods.push(period);
    }
    let mut events = events;
    if let Some(events) = &mut events {
        event_times::complete(events, &periods);
    }
    Ok(Cleaned {
        game: Game {
            info,
            players,
            periods,
            events,
        },
        quality,
    })
}

/// The filters of a game, made once.
struct Filters {
    player: Smoother,
    ball: Smoother,
}

impl Filters {
    fn new(params: &TrackParams) -> Self {
        let half_frames = |window_s: f64| (window_s * params.grid_hz / 2.0).floor() as usize;
        Self {
            player: Smoother::new(half_frames(params.player_window_s).max(2), ORDER, params.grid_hz),
            ball: Smoother::new(half_frames(params.ball_window_s).max(1), ORDER, params.grid_hz),
        }
    }
}

fn clean_period(
    raw: RawPeriod,
    players: &[Player],
    params: &TrackParams,
    filters: &Filters,
) -> (Period, Counts) {
    let RawPeriod {
        number,
        clocks,
        players: raw_tracks,
        ball: raw_ball,
        duplicate_rows,
        rows_quarantined,
    } = raw;
    let last_s = raw_tracks
        .iter()
        .map(|track| &track.t_s)
        .chain([&raw_ball.t_s])
        .filter_map(|t_s| t_s.last().copied())
        .chain(clocks.last().map(|sample| sample.t_s))
        .max_by(f64::total_cmp);
    let grid = Grid::up_to(last_s, params.grid_hz);
    let step_s = usual_step_s(raw_tracks.iter().map(|track| &track.t_s).chain([&raw_ball.t_s]));
    let mut counts = Counts {
        duplicate_rows,
        rows_quarantined,
        source_hz: step_s.map_or(0.0, |step_s| (1.0 / step_s) as f32),
        ..Counts::default()
    };
    let gap_s = step_s.unwrap_or(0.04) * 1.5;

    let mut tracks = Vec::with_capacity(raw_tracks.len());
    for track in raw_tracks {
        counts.gaps_filled += filled_gaps(&track.t_s, gap_s, params.max_player_gap_s);
        let [x_m, y_m] = resample(
            grid,
            &track.t_s,
            [&track.x_m, &track.y_m],
            params.max_player_gap_s.max(gap_s),
        );
        let unset = || vec![f32::NAN; grid.frames];
        let team = players[track.who.index()].team;
        tracks.push(Track {
            player: track.who,
            team,
            x_m,
            y_m,
            vx_mps: unset(),
            vy_mps: unset(),
        });
    }
    counts.gaps_filled += filled_gaps(&raw_ball.t_s, gap_s, params.max_ball_gap_s);
    let mut ball = ball_on_grid(grid, raw_ball, params.max_ball_gap_s.max(gap_s));

    let stints = find_stints(&tracks, grid.frames);
    let lineups = tile(&tracks, &stints, grid.frames);
    let faulty = missing_someone(&tracks, &stints, grid.frames);

    let mut scratch = Vec::with_capacity(grid.frames);
    for track in &mut tracks {
        filters
            .player
            .smooth(&mut track.x_m, &mut track.vx_mps, &mut scratch);
        filters
            .player
            .smooth(&mut track.y_m, &mut track.vy_mps, &mut scratch);
    }
    filters.ball.smooth(&mut ball.x_m, &mut ball.vx_mps, &mut scratch);
    filters.ball.smooth(&mut ball.y_m, &mut ball.vy_mps, &mut scratch);

    let clocks = GridClocks::new(grid, &clocks);
    let live = find_live(&running(&clocks.game_clock_s, grid.hz));
    let period = Period {
        number,
        hz: grid.hz,
        frames: grid.frames,
        game_clock_s: clocks.game_clock_s,
        shot_clock_s: clocks.shot_clock_s,
        tracks,
        ball,
        lineups,
        live,
        faulty,
    };
    (period, counts)
}

fn ball_on_grid(grid: Grid, raw: RawTrack<()>, max_gap_s: f64) -> BallTrack {
    let [x_m, y_m] = resample(grid, &raw.t_s, [&raw.x_m, &raw.y_m], max_gap_s);
    let z_m = if raw.z_m.is_empty() {
        vec![f32::NAN; grid.frames]
    } else {
        let [z_m, _] = resample(grid, &raw.t_s, [&raw.z_m, &raw.z_m], max_gap_s);
        z_m
    };
    let has_height = z_m.iter().any(|z| z.is_finite());
    let unset = || vec![f32::NAN; grid.frames];
    BallTrack {
        x_m,
        y_m,
        z_m,
        vx_mps: unset(),
        vy_mps: unset(),
        has_height,
    }
}

/// The median time between two samples of the entity with the most samples.
fn usual_step_s<'a>(all: impl Iterator<Item = &'a Vec<f64>>) -> Option<f64> {
    let longest = all.max_by_key(|t_s| t_s.len())?;
    let mut steps: Vec<f64> = longest.windows(2).map(|pair| pair[1] - pair[0]).collect();
    if steps.is_empty() {
        return None;
    }
    let middle = steps.len() / 2;
    Some(*steps.select_nth_unstable_by(middle, f64::total_cmp).1)
}

fn filled_gaps(t_s: &[f64], gap_s: f64, max_gap_s: f64) -> u32 {
    t_s.windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| *step > gap_s && *step <= max_gap_s)
        .count() as u32
}

/// Frames at which a player on the floor has no place, or a team has not five.
fn missing_someone(tracks: &[Track], stints: &[Vec<Stint>], frames: usize) -> Vec<bool> {
    let mut present = [vec![0_u32; frames], vec![0_u32; frames]];
    let mut faulty = vec![false; frames];
    for (track, stints) in tracks.iter().zip(stints) {
        for stint in stints {
            for frame in stint.start..stint.end {
                present[track.team.index()][frame] += 1;
                faulty[frame] |= !track.x_m[frame].is_finite();
            }
        }
    }
    for count in &present {
        for (flag, count) in faulty.iter_mut().zip(count) {
            *flag |= *count != ON_FLOOR;
        }
    }
    faulty
}

/// Checks what the raw game's types promise but cannot enforce.
fn check_samples(
    info: &GameInfo,
    players: &[Player],
    period: &RawPeriod,
    params: &TrackParams,
) -> Result<(), TrackError> {
    let check_times = |who: &str, t_s: &[f64]| {
        let game = || info.game_id.to_string();
        if let Some(found) = t_s.iter().find(|t| !(0.0..=params.max_period_s).contains(*t)) {
            return Err(TrackError::Instant {
                game: game(),
                period: period.number,
                who: who.into(),
                found: *found,
                most: params.max_period_s,
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

#[cfg(test)]
mod tests;
