//! Who moved, from when to when: the runs of every attacker on the noise-free tracks.

use super::film::Film;

/// Above this a player is moving (vocabulary, `moving_share`), m/s.
pub(crate) const MOVING_MPS: f64 = 1.0;
/// A run is over when the player has been slower for so long, seconds. Common practice, no source.
const PAUSE_S: f64 = 0.24;
/// A shorter way is a step, not a run, metres. Common practice, no source.
const LEAST_PATH_M: f64 = 1.5;
/// A slower one is a walk. Common practice, no source.
const LEAST_PEAK_MPS: f64 = 1.6;

/// One run.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Run {
    pub slot: usize,
    /// First frame of moving.
    pub from: usize,
    /// Last frame of moving.
    pub to: usize,
}

/// The frame at which a player who moves at `from` stops: the last before a pause, at most `to`.
pub(crate) fn find_stop(film: &Film<'_>, period: u8, slot: usize, from: usize, to: usize) -> usize {
    let view = film.view(period, from);
    let pause = film.span(PAUSE_S).max(1);
    let mut still = 0;
    for f in from..=to {
        still = if view.speed(f, slot) < MOVING_MPS {
            still + 1
        } else {
            0
        };
        if still >= pause {
            return f - still;
        }
    }
    to - still.min(to - from)
}

/// The runs of the attackers in possession number `possession`, by player and time.
pub(crate) fn find_runs(film: &Film<'_>, possession: usize) -> Vec<Run> {
    let plan = &film.log.possessions[possession];
    let from = film.frame_at(plan.period, plan.t_start_s);
    let to = film.frame_at(plan.period, plan.t_end_s).max(from);
    let view = film.view(plan.period, from);
    let team = plan.offense * 5;
    let mut runs = Vec::new();
    for slot in team..team + 5 {
        let mut f = from;
        while f <= to {
            if view.speed(f, slot) < MOVING_MPS {
                f += 1;
                continue;
            }
            let stop = find_stop(film, plan.period, slot, f, to).max(f);
            if view.path_m(f, stop, slot) >= LEAST_PATH_M && view.peak_mps(f, stop, slot) >= LEAST_PEAK_MPS {
                runs.push(Run {
                    slot,
                    from: f,
                    to: stop,
                });
            }
            f = stop + 1;
        }
    }
    runs
}
