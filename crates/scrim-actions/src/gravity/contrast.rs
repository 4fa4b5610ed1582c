//! Means while he moves against means while he stands, with each pair of defender and attacker its own control.

use super::doing::Doing;

/// Residuals while one attacker moved and while he stood. Both are means over the same pairs, with the same weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contrast {
    /// Weight, s: the sum over pairs of m s / (m + s), of m seconds of moving and s of standing.
    pub weight_s: f32,
    /// While he moved, m.
    pub moving_m: f32,
    /// While he stood, m.
    pub standing_m: f32,
}

/// Two residuals of one defender, summed over the frames of each kind.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Pair {
    moving: Sums,
    standing: Sums,
}

#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    frames: u32,
    sums_m: [f64; 2],
}

impl Pair {
    pub(super) fn add(&mut self, doing: Doing, residuals_m: [f32; 2]) {
        let sums = match doing {
            Doing::Moves => &mut self.moving,
            Doing::Stands => &mut self.standing,
            Doing::Between => return,
        };
        sums.frames += 1;
        for (sum_m, residual_m) in sums.sums_m.iter_mut().zip(residuals_m) {
            *sum_m += f64::from(residual_m);
        }
    }
}

/// Both residuals over all pairs that have frames of both kinds, `step_s` each; `None` when there is no such pair.
///
/// The weights are those of least squares with a level of its own for every pair: the difference of the two means is that
/// estimate of what moving adds.
pub(super) fn contrast<'a>(pairs: impl Iterator<Item = &'a Pair>, step_s: f64) -> Option<[Contrast; 2]> {
    let (mut weight_s, mut moving, mut standing) = (0.0_f64, [0.0_f64; 2], [0.0_f64; 2]);
    for pair in pairs {
        let (m, s) = (f64::from(pair.moving.frames), f64::from(pair.standing.frames));
        if m == 0.0 || s == 0.0 {
            continue;
        }
        let pair_s = step_s * m * s / (m + s);
        weight_s += pair_s;
        for which in 0..2 {
            moving[which] += pair_s * pair.moving.sums_m[which] / m;
            standing[which] += pair_s * pair.standing.sums_m[which] / s;
        }
    }
    (weight_s > 0.0).then(|| {
        [0, 1].map(|which| Contrast {
            weight_s: weight_s as f32,
            moving_m: (moving[which] / weight_s) as f32,
            standing_m: (standing[which] / weight_s) as f32,
        })
    })
}
