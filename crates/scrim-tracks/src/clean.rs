//! From a raw game to a clean one.

use scrim_floor::{Court, Parameters};
use scrim_tables::rows::GameQualityRow;

use crate::carried_ball::carry_ball;
use crate::clocks::{GridClocks, running};
use crate::crossings::{Crossings, find_gaps, repair_crossings};
use crate::gaps::{SURE_FILL_S, fill_gaps};
use crate::grid::{Grid, resample, thin};
use crate::lineups::{ON_FLOOR, Stint, find_stints, longest_gap_s, tile};
use crate::links::Reading;
use crate::live::{MAX_UNBROKEN_CLOCK_S, Scene, find_live};
use crate::noise::NoiseMeter;
use crate::promises::check_samples;
use crate::quality::{self, Counts};
use crate::savitzky_golay::Smoother;
use crate::spikes::{Jump, MotionLimits, remove_spikes};
use crate::{
    BallTrack, Game, Period, Player, PlayerIx, RawGame, RawPeriod, RawTrack, Track, TrackError, TrackParams,
    event_times, swaps,
};

/// Length of the smoothing window of the ball, as `player_window_s` is of players, s: a bounce or a catch bends its path at once.
const BALL_WINDOW_S: f64 = 0.2;
/// How the windows grow with the measured noise: length × (noise / 0.035 m)^this. 0 keeps them. Theory says 2/7 (variance
/// ∝ length⁻³, squared bias ∝ length⁴); the velocities of simulated motion were served best by 0.56, up to a noise of
/// 0.21 m.
const WINDOW_GROWTH: f64 = 0.5;
/// Longest window of players, s: a longer one hides a screener's short stop.
const MAX_PLAYER_WINDOW_S: f64 = 1.0;
/// Longest window of the ball, s.
const MAX_BALL_WINDOW_S: f64 = 0.36;

/// A cleaned game, and how good its tracking was.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleaned {
    /// The game on its grid.
    pub game: Game,
    /// A row a period, in order.
    pub quality: Vec<GameQualityRow>,
    /// White noise of the players' coordinates in the source, m, an entry a period; `None` where there were too few
    /// samples to know.
    pub player_noise_m: Vec<Option<f32>>,
}

/// Degree of the smoothing polynomial: a parabola follows a constant acceleration exactly.
const ORDER: usize = 2;
/// The noise at which the windows have their stated length, metres a sample at 25 samples a second.
const REFERENCE_SIGMA_M: f64 = 0.035;
const REFERENCE_HZ: f64 = 25.0;
/// A step longer than this many usual steps is a gap: one lost sample makes two steps, jitter makes less.
const GAP_STEPS: f64 = 1.8;
/// A grid is refined at most this many times for a denser source.
const MAX_REFINEMENT: usize = 4;
/// Frames this near to a repaired or doubtful swap are faulty, s.
const FAULT_MARGIN_S: f64 = 0.2;

/// Cleans a game: spikes and swaps, grid, gaps, smoothing, line-ups, live time, the events' clocks.
///
/// The raw samples are freed period by period.
///
/// # Errors
/// [`TrackError::Parameter`] when a parameter lies outside its bounds; [`TrackError::Instant`] and
/// [`TrackError::Samples`] when the raw game breaks a promise of its type.
pub fn clean(raw: RawGame, params: &TrackParams) -> Result<Cleaned, TrackError> {
    params.check_in("tracks")?;
    let RawGame {
        info,
        players,
        periods: raw_periods,
        mut events,
    } = raw;
    let mut periods = Vec::with_capacity(raw_periods.len());
    let mut quality = Vec::with_capacity(raw_periods.len());
    let mut player_noise_m = Vec::with_capacity(raw_periods.len());
    for raw_period in raw_periods {
        check_samples(&info, &players, &raw_period)?;
        let (period, counts) = clean_period(raw_period, &players, &info.court, params);
        quality.push(quality::row(&info.game_id, &period, &counts));
        player_noise_m.push(counts.player_sigma_m);
        periods.push(period);
    }
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
        player_noise_m,
    })
}

fn clean_period(raw: RawPeriod, players: &[Player], court: &Court, params: &TrackParams) -> (Period, Counts) {
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
    let player_step_s = usual_step_s(raw_tracks.iter().map(|track| &track.t_s));
    let ball_step_s = usual_step_s([&raw_ball.t_s].into_iter());
    let mut counts = Counts {
        duplicate_rows,
        rows_quarantined,
        source_hz: player_step_s
            .or(ball_step_s)
            .map_or(0.0, |step_s| (1.0 / step_s) as f32),
        ..Counts::default()
    };
    let mut faulty = vec![false; grid.frames];

    let source = Source::new(player_step_s, params);
    let tracks = clean_players(
        raw_tracks,
        players,
        grid,
        &source,
        params,
        &mut counts,
        &mut faulty,
    );
    let mut ball = clean_ball(
        raw_ball,
        grid,
        &Source::new(ball_step_s, params),
        params,
        &mut counts,
    );
    carry_ball(&mut ball, &tracks, (params.max_carried_ball_s * grid.hz) as usize);

    let stints = find_stints(&tracks, grid, court);
    let lineups = tile(&tracks, &stints, grid.frames);
    mark_missing(&tracks, &stints, &mut faulty);
    counts.gap_s_longest = longest_gap_s(&tracks, &stints, &ball, grid).max(counts.gap_s_longest);

    let clocks = GridClocks::new(grid, &clocks);
    let scene = Scene {
        hz: grid.hz,
        court,
        tracks: &tracks,
        ball: &ball,
        lineups: &lineups,
    };
    let live = find_live(
        &running(&clocks.game_clock_s, grid.hz),
        &scene,
        MAX_UNBROKEN_CLOCK_S,
    );
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

/// How a source's samples lie against the grid.
struct Source {
    /// Samples a second, as the grid sees them: a source sparser than the grid does not gain by filling.
    hz: f64,
    /// A step longer than this is a gap, s.
    gap_s: f64,
    /// A denser source is smoothed on a grid this many times as fine, so that its extra samples lower the noise.
    refinement: usize,
}

impl Source {
    fn new(step_s: Option<f64>, params: &TrackParams) -> Self {
        let step_s = step_s.unwrap_or(1.0 / params.grid_hz);
        let hz = 1.0 / step_s;
        let refinement = ((hz / params.grid_hz - 0.25).ceil().max(1.0) as usize).min(MAX_REFINEMENT);
        Self {
            hz,
            gap_s: GAP_STEPS * step_s,
            refinement,
        }
    }

    /// The filter for this noise, on the refined grid.
    fn smoother(
        &self,
        base_s: f64,
        longest_s: f64,
        sigma_m: f32,
        least_half: usize,
        params: &TrackParams,
    ) -> Smoother {
        // White noise of fewer or more samples a second counts as that of 25 a second would.
        let density = (REFERENCE_HZ / self.hz).sqrt();
        let noise = f64::from(sigma_m) * density / REFERENCE_SIGMA_M;
        // Even without noise a window keeps half of its length: a source that is smoothed already is so with a lag.
        let length_s = (base_s * noise.powf(WINDOW_GROWTH)).clamp(0.5 * base_s, longest_s.max(base_s));
        let hz = params.grid_hz * self.refinement as f64;
        let half = ((length_s * hz - 1.0) / 2.0).round().max(0.0) as usize;
        Smoother::new(half.max(least_half * self.refinement), ORDER, hz)
    }
}

/// Noisier tracks than this (white noise of one coordinate) say nothing on who goes on in whose path, m: at 0.22 m players who only
/// pass each other were exchanged.
const MOST_NOISE_M: f32 = 0.17;

fn clean_players(
    mut raw: Vec<RawTrack<PlayerIx>>,
    players: &[Player],
    grid: Grid,
    source: &Source,
    params: &TrackParams,
    counts: &mut Counts,
    faulty: &mut [bool],
) -> Vec<Track> {
    let mut meter = NoiseMeter::default();
    raw.iter().for_each(|track| meter.look_at(track));
    counts.player_sigma_m = meter.sigma_m();
    let sigma_m = counts.player_sigma_m.unwrap_or(0.0);
    let limits = MotionLimits::of_player(sigma_m);
    raw.iter()
        .for_each(|track| count_gaps(&track.t_s, source.gap_s, params.max_player_gap_s, counts));

    let mut jumps: Vec<Vec<Jump>> = Vec::with_capacity(raw.len());
    for track in &mut raw {
        let (spikes, left) = remove_spikes(track, &limits);
        counts.spikes_repaired += spikes;
        jumps.push(left);
    }
    let (swaps, unexplained) = swaps::find_swaps(&jumps, &limits);
    counts.swaps_repaired += swaps.len() as u32;
    counts.unexplained_jumps = unexplained.len() as u32;
    let spans = swaps.iter().map(|swap| (swap.before_s, swap.after_s));
    for (from_s, to_s) in spans.chain(unexplained.iter().map(|jump| (jump.before_s, jump.after_s))) {
        grid.mark(faulty, from_s - FAULT_MARGIN_S, to_s + FAULT_MARGIN_S);
    }
    let raw = swaps::undo(raw, &swaps);

    let fine = grid.refined(source.refinement);
    let max_gap_s = params.max_player_gap_s.max(source.gap_s);
    let mut tracks = Vec::with_capacity(raw.len());
    let mut gaps = Vec::with_capacity(raw.len());
    for track in raw {
        let places = resample(fine, &track.t_s, [&track.x_m, &track.y_m], source.gap_s);
        gaps.push(find_gaps(&places[0], fine));
        let team = players[track.who.index()].team;
        tracks.push(Track::of_places(track.who, team, places));
    }
    let crossings = if sigma_m <= MOST_NOISE_M {
        repair_crossings(&mut tracks, &mut gaps, Reading::new(fine, source.hz, sigma_m))
    } else {
        Crossings::default()
    };
    for (track, gaps) in tracks.iter_mut().zip(&gaps) {
        fill_gaps(track, gaps, fine, max_gap_s);
        for &(before, after) in gaps {
            if fine.t_s(after - before) > SURE_FILL_S {
                grid.mark(faulty, fine.t_s(before + 1), fine.t_s(after - 1));
            }
        }
    }
    counts.swaps_repaired += crossings.repaired.len() as u32;
    counts.doubtful_crossings = crossings.doubtful.len() as u32;
    for frame in crossings.repaired.iter().chain(&crossings.doubtful) {
        let t_s = fine.t_s(*frame);
        grid.mark(faulty, t_s - FAULT_MARGIN_S, t_s + FAULT_MARGIN_S);
    }

    let smoother = source.smoother(params.player_window_s, MAX_PLAYER_WINDOW_S, sigma_m, 2, params);
    counts.player_window_s = smoother.length_s();
    let mut scratch = Vec::with_capacity(fine.frames);
    for track in &mut tracks {
        smoother.smooth(&mut track.x_m, &mut track.vx_mps, &mut scratch);
        smoother.smooth(&mut track.y_m, &mut track.vy_mps, &mut scratch);
        for values in [
            &mut track.x_m,
            &mut track.y_m,
            &mut track.vx_mps,
            &mut track.vy_mps,
        ] {
            thin(values, source.refinement, grid);
        }
    }
    tracks
}

fn clean_ball(
    mut raw: RawTrack<()>,
    grid: Grid,
    source: &Source,
    params: &TrackParams,
    counts: &mut Counts,
) -> BallTrack {
    let mut meter = NoiseMeter::default();
    meter.look_at(&raw);
    counts.ball_sigma_m = meter.sigma_m();
    let sigma_m = counts.ball_sigma_m.unwrap_or(0.0);
    count_gaps(&raw.t_s, source.gap_s, params.max_ball_gap_s, counts);
    counts.spikes_repaired += remove_spikes(&mut raw, &MotionLimits::of_ball(sigma_m)).0;

    let fine = grid.refined(source.refinement);
    let max_gap_s = params.max_ball_gap_s.max(source.gap_s);
    let [mut x_m, mut y_m] = resample(fine, &raw.t_s, [&raw.x_m, &raw.y_m], max_gap_s);
    let smoother = source.smoother(BALL_WINDOW_S, MAX_BALL_WINDOW_S, sigma_m, 1, params);
    let mut scratch = Vec::with_capacity(fine.frames);
    let (mut vx_mps, mut vy_mps) = (vec![f32::NAN; fine.frames], vec![f32::NAN; fine.frames]);
    smoother.smooth(&mut x_m, &mut vx_mps, &mut scratch);
    smoother.smooth(&mut y_m, &mut vy_mps, &mut scratch);
    for values in [&mut x_m, &mut y_m, &mut vx_mps, &mut vy_mps] {
        thin(values, source.refinement, grid);
    }
    // The height is left as it was given: a dribble's turn at the floor would be rounded off.
    let z_m = if raw.z_m.is_empty() {
        vec![f32::NAN; grid.frames]
    } else {
        let [z_m, _] = resample(grid, &raw.t_s, [&raw.z_m, &raw.z_m], max_gap_s);
        z_m
    };
    let has_height = z_m.iter().any(|z| z.is_finite());
    BallTrack {
        x_m,
        y_m,
        z_m,
        vx_mps,
        vy_mps,
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

/// Counts the gaps that will be filled, and keeps the longest.
fn count_gaps(t_s: &[f64], gap_s: f64, max_gap_s: f64, counts: &mut Counts) {
    for step_s in t_s
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| *step > gap_s && *step <= max_gap_s)
    {
        counts.gaps_filled += 1;
        counts.gap_s_longest = counts.gap_s_longest.max(step_s as f32);
    }
}

/// Marks frames at which a player on the floor has no place, or a team has not five.
fn mark_missing(tracks: &[Track], stints: &[Vec<Stint>], faulty: &mut [bool]) {
    let mut present = [vec![0_u32; faulty.len()], vec![0_u32; faulty.len()]];
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
}

#[cfg(test)]
mod tests;
