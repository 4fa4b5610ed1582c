//! Which of several runs is the typical one: the medoid, the run with the least sum of distances to all others. A mean
//! would be a run that nobody ran.

use scrim_tables::Id;

use super::tracks::{PlayTracks, Spot};
use crate::plays::ScreenPlay;

/// Instants of a run that are compared.
const INSTANTS: usize = 9;
/// From this long before the screen is set, s, to this long after it is used. Common practice, no source.
const BEFORE_S: f64 = 3.0;
const AFTER_S: f64 = 1.5;
/// At most this many runs of a look are compared, evenly chosen: the work grows with the square.
const MOST_COMPARED: usize = 80;

/// A run in numbers: where handler, screener and ball are at each instant. Mirror images are one: the screen is on the
/// right.
type Signature = [[Spot; 3]; INSTANTS];

/// The place in `runs` of the typical one among those whose tracks are known; `None` when no run's are.
pub(crate) fn medoid(runs: &[&ScreenPlay<'_>]) -> Option<usize> {
    let step = runs.len().div_ceil(MOST_COMPARED).max(1);
    let known: Vec<(usize, Signature)> = runs
        .iter()
        .enumerate()
        .step_by(step)
        .filter_map(|(place, play)| Some((place, signature(play)?)))
        .collect();
    known
        .iter()
        .map(|(place, ours)| {
            let sum_m: f64 = known.iter().map(|(_, theirs)| distance_m(ours, theirs)).sum();
            (*place, sum_m)
        })
        // Of equals the earlier one.
        .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
        .map(|(place, _)| place)
}

fn distance_m(a: &Signature, b: &Signature) -> f64 {
    a.iter()
        .flatten()
        .zip(b.iter().flatten())
        .map(|(a, b)| f64::from(a.distance_m(*b)))
        .sum()
}

fn signature(play: &ScreenPlay<'_>) -> Option<Signature> {
    let tracks = PlayTracks::of(play.game, play.screen.possession_id)?;
    let (set_s, use_s) = (play.t_set_s(), play.screen.t_use_s);
    if !tracks.holds(set_s) || !tracks.holds(use_s) {
        return None;
    }
    let mirror = if play.screen.y_m < 0.0 { -1.0 } else { 1.0 };
    let (from_s, to_s) = (set_s - BEFORE_S, use_s.max(set_s) + AFTER_S);
    let player = |id: &Id, sample| tracks.of_player(id)?.near(sample, tracks.samples);
    let mut signature = [[Spot::origin(); 3]; INSTANTS];
    for (k, spots) in signature.iter_mut().enumerate() {
        let share = k as f64 / (INSTANTS - 1) as f64;
        let sample = tracks.sample_at(from_s + (to_s - from_s) * share);
        let at = [
            player(&play.screen.user_id, sample)?,
            player(&play.screen.screener_id, sample)?,
            tracks.ball()?.near(sample, tracks.samples)?,
        ];
        *spots = at.map(|spot| Spot::new(spot.x_m, spot.y_m * mirror));
    }
    Some(signature)
}
