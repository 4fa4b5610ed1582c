//! From the true frames to what a tracking system would report: noise first, then faults.

use crate::dice::{Dice, Purpose};
use crate::params::{BallHeight, PracticeParams, TimeStamps};
use crate::record::PeriodRecord;

/// A game's tracking rows as columns, in time order; within a frame home players, away players, the ball.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tracking {
    /// The period, from 1.
    pub period: Vec<u8>,
    /// Real clock from the period's first frame, seconds.
    pub t_s: Vec<f64>,
    /// Game clock, remaining seconds.
    pub game_clock_s: Vec<f32>,
    /// Shot clock, remaining seconds.
    pub shot_clock_s: Vec<f32>,
    /// Index into the game's players; `None` is the ball.
    pub player: Vec<Option<u8>>,
    /// Court frame, metres.
    pub x_m: Vec<f32>,
    /// Court frame, metres.
    pub y_m: Vec<f32>,
    /// The ball's height, metres, when it is known.
    pub z_m: Vec<Option<f32>>,
}

impl Tracking {
    /// Number of rows.
    pub fn len(&self) -> usize {
        self.t_s.len()
    }

    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.t_s.is_empty()
    }
}

/// The ball among the eleven entities of a frame.
const BALL: usize = 10;

/// A slow wander and white noise on one coordinate; each has half of the variance.
#[derive(Debug, Clone, Copy, Default)]
struct Wander {
    value: f64,
}

impl Wander {
    fn next(&mut self, dice: &mut Dice, sigma: f64, keep: f64) -> f64 {
        let half = sigma * std::f64::consts::FRAC_1_SQRT_2;
        // First-order autoregression with stationary deviation `half`: x' = k x + √(1−k²) half n.
        self.value = self.value * keep + dice.normal() * half * (1.0 - keep * keep).sqrt();
        self.value + dice.normal() * half
    }
}

/// A stretch of frames in which something is wrong with an entity.
#[derive(Debug, Clone, Copy)]
enum Fault {
    Missing {
        entity: usize,
        from: usize,
        to: usize,
    },
    Swap {
        a: usize,
        b: usize,
        from: usize,
        to: usize,
    },
    Spike {
        entity: usize,
        at: usize,
        dx_m: f64,
        dy_m: f64,
    },
}

fn draw_faults(params: &PracticeParams, record: &PeriodRecord, dice: &mut Dice) -> Vec<Fault> {
    let frames = record.frames.len();
    let minutes = frames as f64 / params.hz / 60.0;
    let mut faults = Vec::new();
    // A rate per minute becomes a count: the whole part, and one more with the chance of the rest.
    let count = |rate: f64, dice: &mut Dice| {
        let expected = rate * minutes;
        expected.floor() as usize + usize::from(dice.chance(expected.fract()))
    };
    let span = |seconds: f64| (seconds * params.hz).round().max(1.0) as usize;
    for entity in 0..=BALL {
        for _ in 0..count(params.faults.dropouts_per_minute, dice) {
            let from = dice.index(frames);
            let to = from + span(dice.between(0.1, 3.0));
            faults.push(Fault::Missing { entity, from, to });
        }
        for _ in 0..count(params.faults.spikes_per_minute, dice) {
            let (at, size, angle) = (
                dice.index(frames),
                dice.between(2.0, 8.0),
                dice.between(0.0, std::f64::consts::TAU),
            );
            faults.push(Fault::Spike {
                entity,
                at,
                dx_m: size * angle.cos(),
                dy_m: size * angle.sin(),
            });
        }
    }
    for _ in 0..count(params.faults.swaps_per_minute, dice) {
        // Systems confuse players who meet: look for a frame in which two are within 1.2 m.
        for _ in 0..200 {
            let at = dice.index(frames);
            let (a, b) = (dice.index(10), dice.index(10));
            let [p, q] = [a, b].map(|s| record.frames[at].xy_m[s]);
            if a == b || (p[0] - q[0]).hypot(p[1] - q[1]) > 1.2 {
                continue;
            }
            let to = if dice.chance(0.2) {
                (at..frames).find(|&f| !record.frames[f].live).unwrap_or(frames)
            } else {
                at + span(dice.between(0.3, 4.0))
            };
            faults.push(Fault::Swap { a, b, from: at, to });
            break;
        }
    }
    faults
}

/// The rows of all periods.
pub(crate) fn record_tracking(
    params: &PracticeParams,
    periods: &[PeriodRecord],
    game_index: u32,
) -> Tracking {
    let mut noise = Dice::new(params.seed, game_index, Purpose::Noise);
    let mut faults_dice = Dice::new(params.seed, game_index, Purpose::Faults);
    let rows: usize = periods.iter().map(|p| p.frames.len() * 11).sum();
    let mut out = Tracking::default();
    out.period.reserve(rows);
    out.t_s.reserve(rows);
    out.game_clock_s.reserve(rows);
    out.shot_clock_s.reserve(rows);
    out.player.reserve(rows);
    out.x_m.reserve(rows);
    out.y_m.reserve(rows);
    out.z_m.reserve(rows);
    let keep = (-1.0 / (params.hz * params.noise_time_constant_s)).exp();
    let sigma = f64::from(params.noise_m);
    for (index, record) in periods.iter().enumerate() {
        let mut wanders = [[Wander::default(); 3]; 11];
        // Start in the stationary state, not at zero.
        for wander in wanders.iter_mut().flatten() {
            wander.value = noise.normal() * sigma * std::f64::consts::FRAC_1_SQRT_2;
        }
        let faults = draw_faults(params, record, &mut faults_dice);
        let mut missing: Vec<[bool; 11]> = vec![[false; 11]; record.frames.len()];
        for fault in &faults {
            if let Fault::Missing { entity, from, to } = *fault {
                for row in &mut missing[from..to.min(record.frames.len())] {
                    row[entity] = true;
                }
            }
        }
        for (f, frame) in record.frames.iter().enumerate() {
            let mut spots: [Option<[f32; 3]>; 11] = [None; 11];
            let mut ids: [u8; 10] = frame.players;
            for (entity, spot) in spots.iter_mut().enumerate() {
                let truth = if entity == BALL {
                    frame.ball_m
                } else {
                    Some([frame.xy_m[entity][0], frame.xy_m[entity][1], 0.0])
                };
                let [x, y, z] = &mut wanders[entity];
                // The noise goes on while an entity is unseen, so that a dropout does not change what follows.
                let (dx, dy) = (x.next(&mut noise, sigma, keep), y.next(&mut noise, sigma, keep));
                let dz = if entity == BALL {
                    z.next(&mut noise, sigma, keep)
                } else {
                    0.0
                };
                *spot = truth
                    .filter(|_| !missing[f][entity])
                    .map(|[tx, ty, tz]| [tx + dx as f32, ty + dy as f32, (tz + dz as f32).max(0.0)]);
            }
            for fault in &faults {
                match *fault {
                    Fault::Missing { .. } => {}
                    Fault::Swap { a, b, from, to } => {
                        if (from..to).contains(&f) {
                            ids.swap(a, b);
                        }
                    }
                    Fault::Spike {
                        entity,
                        at,
                        dx_m,
                        dy_m,
                    } => {
                        if let (true, Some(spot)) = (at == f, &mut spots[entity]) {
                            spot[0] += dx_m as f32;
                            spot[1] += dy_m as f32;
                        }
                    }
                }
            }
            let (shift_s, is_sent_twice) = match params.faults.time_stamps {
                TimeStamps::Regular => (0.0, false),
                TimeStamps::Irregular => {
                    let jitter = faults_dice.between(-0.33, 0.33) / params.hz;
                    (if f == 0 { 0.0 } else { jitter }, faults_dice.chance(0.001))
                }
            };
            let t_s = f as f64 / params.hz + shift_s;
            for _ in 0..=usize::from(is_sent_twice) {
                push_frame(
                    &mut out,
                    params,
                    (index + 1) as u8,
                    t_s,
                    (frame.game_clock_s, frame.shot_clock_s),
                    &ids,
                    &spots,
                );
            }
        }
    }
    out
}

/// Home team first, each team by jersey, the ball last. Millimetres, as recordings are rounded.
fn push_frame(
    out: &mut Tracking,
    params: &PracticeParams,
    period: u8,
    t_s: f64,
    clocks: (f32, f32),
    ids: &[u8; 10],
    spots: &[Option<[f32; 3]>; 11],
) {
    let mut order: [usize; 10] = std::array::from_fn(|s| s);
    order.sort_by_key(|&s| ids[s]);
    let to_mm = |v: f32| (f64::from(v) * 1000.0).round() as f32 / 1000.0;
    let mut push = |player: Option<u8>, [x, y, z]: [f32; 3]| {
        out.period.push(period);
        out.t_s.push(t_s);
        out.game_clock_s.push(clocks.0);
        out.shot_clock_s.push(clocks.1);
        out.player.push(player);
        out.x_m.push(to_mm(x));
        out.y_m.push(to_mm(y));
        out.z_m
            .push((player.is_none() && params.ball_height == BallHeight::Given).then_some(to_mm(z)));
    };
    for slot in order {
        if let Some(spot) = spots[slot] {
            push(Some(ids[slot]), spot);
        }
    }
    if let Some(spot) = spots[BALL] {
        push(None, spot);
    }
}
