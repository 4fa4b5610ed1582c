//! Noise added to a game as noisier feeds would have it: half of the variance white, half a slow wander.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use scrim_tracks::{RawGame, RawTrack};

/// The wander forgets itself over this time, s.
const WANDER_S: f64 = 0.6;

/// Adds noise of standard deviation `sigma_m` to every x and y.
pub fn add_noise(raw: &mut RawGame, sigma_m: f32, seed: u64) {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    for period in &mut raw.periods {
        for track in &mut period.players {
            shake(track, f64::from(sigma_m), &mut rng);
        }
        shake(&mut period.ball, f64::from(sigma_m), &mut rng);
    }
}

fn shake<Who>(track: &mut RawTrack<Who>, sigma_m: f64, rng: &mut ChaCha8Rng) {
    let half = sigma_m * std::f64::consts::FRAC_1_SQRT_2;
    let mut normal = || -> f64 { StandardNormal.sample(rng) };
    let RawTrack { t_s, x_m, y_m, .. } = track;
    for places in [x_m, y_m] {
        let mut wander = normal();
        let mut before: Option<f64> = None;
        for (place, &now) in places.iter_mut().zip(t_s.iter()) {
            if let Some(before) = before {
                let kept = f64::exp(-(now - before) / WANDER_S);
                wander = kept * wander + (1.0 - kept * kept).max(0.0).sqrt() * normal();
            }
            before = Some(now);
            *place += (half * (wander + normal())) as f32;
        }
    }
}
