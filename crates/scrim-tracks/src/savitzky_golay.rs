//! Smoothing by a local polynomial, and its derivative, in one pass.
//!
//! A. Savitzky, M. J. E. Golay, "Smoothing and Differentiation of Data by Simplified Least Squares Procedures",
//! Analytical Chemistry 36 (1964) 1627. The weights, also those of a window's end points, come from Gram polynomials:
//! P. A. Gorry, "General least-squares smoothing and differentiation by the convolution (Savitzky–Golay) method",
//! Analytical Chemistry 62 (1990) 570.

/// Weights of the 2 `half_width` + 1 samples of a window for its middle: the value (`derivative` 0) or a derivative,
/// an interval being one sample, of the polynomial of degree `order` that fits them best.
///
/// `order` is lowered to 2 `half_width` when the window has too few samples for it.
pub fn weights(half_width: usize, order: usize, derivative: usize) -> Vec<f64> {
    weights_at(half_width, 0, order, derivative)
}

/// As [`weights`], for the sample at `position` from the window's middle (−`half_width` to `half_width`): at a gap
/// or at the end of the data the window cannot be centred.
pub fn weights_at(half_width: usize, position: isize, order: usize, derivative: usize) -> Vec<f64> {
    let half = half_width as isize;
    let order = order.min(2 * half_width);
    (-half..=half)
        .map(|sample| {
            (0..=order)
                .map(|k| {
                    // Gorry's equation 10; the ratio of generalised factorials is (2m)^(k) / (2m+k+1)^(k+1).
                    let ratio = (2 * k + 1) as f64 * falling(2 * half_width, k)
                        / falling(2 * half_width + k + 1, k + 1);
                    ratio
                        * gram(half as f64, k, 0, sample as f64)
                        * gram(half as f64, k, derivative, position as f64)
                })
                .sum()
        })
        .collect()
}

/// n (n − 1) … (n − k + 1).
fn falling(n: usize, k: usize) -> f64 {
    (0..k).map(|i| n as f64 - i as f64).product()
}

/// The `derivative`th derivative of the Gram polynomial of degree `k` over 2 `half` + 1 points, at `at`
/// (Gorry's equation 11, a recursion over the degree).
fn gram(half: f64, k: usize, derivative: usize, at: f64) -> f64 {
    if k == 0 {
        return if derivative == 0 { 1.0 } else { 0.0 };
    }
    let degree = k as f64;
    let slope = if derivative == 0 {
        0.0
    } else {
        derivative as f64 * gram(half, k - 1, derivative - 1, at)
    };
    let first = (4.0 * degree - 2.0) / (degree * (2.0 * half - degree + 1.0))
        * (at * gram(half, k - 1, derivative, at) + slope);
    if k == 1 {
        return first;
    }
    let second = (degree - 1.0) * (2.0 * half + degree) / (degree * (2.0 * half - degree + 1.0));
    first - second * gram(half, k - 2, derivative, at)
}

/// A prepared filter: weights for the middle of the window and for each of its places.
#[derive(Debug, Clone)]
pub(crate) struct Smoother {
    hz: f64,
    /// A run of fewer samples gives no velocity.
    least_run: usize,
    /// By half width, from 1; the last one is the full window.
    stencils: Vec<Stencil>,
}

/// Weights of one width of window.
#[derive(Debug, Clone)]
struct Stencil {
    half: usize,
    /// Of the sample in the middle.
    place_middle: f32,
    /// Of the pairs of samples 1, 2, … from the middle.
    place_pairs: Vec<f32>,
    velocity_pairs: Vec<f32>,
    /// One row a position from −half to half, each of 2 · half + 1 weights.
    place_rows: Vec<f64>,
    velocity_rows: Vec<f64>,
}

/// A run shorter than this share of the window gets a straight line: a parabola through so few samples would follow
/// their noise, and its slope at the ends is worthless.
const SHORT_RUN: f64 = 0.6;

/// A run shorter than this share of the window, or than three samples, gives no velocity: noise outweighs it.
const SPEECHLESS_RUN: f64 = 0.25;

/// How many samples are filtered at a time: the block's output stays in the first-level cache while the pairs of
/// the window are added to it one after the other, and each such addition is a loop that vectorises.
const BLOCK: usize = 1024;

impl Smoother {
    /// A filter over 2 `half_width` + 1 frames at `hz`.
    pub(crate) fn new(half_width: usize, order: usize, hz: f64) -> Self {
        let widest = half_width.max(1);
        let stencils = (1..=widest)
            .map(|half| {
                let short = (2 * half + 1) as f64 <= SHORT_RUN * (2 * widest + 1) as f64;
                Stencil::new(half, if short { order.min(1) } else { order }, hz)
            })
            .collect();
        Self {
            hz,
            least_run: (SPEECHLESS_RUN * (2 * widest + 1) as f64).ceil().max(3.0) as usize,
            stencils,
        }
    }

    /// Length of the full window, s.
    pub(crate) fn length_s(&self) -> f64 {
        (2 * self.stencils.len() + 1) as f64 / self.hz
    }

    /// Smooths `values` in place and writes the derivative, a second, to `velocity`; NaN parts runs and stays NaN.
    ///
    /// A run shorter than the window gets the widest window that it holds; a run that is too short to give a velocity
    /// stays as it is, with NaN for the velocity.
    pub(crate) fn smooth(&self, values: &mut [f32], velocity: &mut [f32], scratch: &mut Vec<f32>) {
        debug_assert_eq!(values.len(), velocity.len());
        let mut from = 0;
        while from < values.len() {
            let Some(start) = values[from..]
                .iter()
                .position(|v| v.is_finite())
                .map(|skip| from + skip)
            else {
                velocity[from..].fill(f32::NAN);
                return;
            };
            velocity[from..start].fill(f32::NAN);
            let end = values[start..]
                .iter()
                .position(|v| !v.is_finite())
                .map_or(values.len(), |run| start + run);
            scratch.clear();
            scratch.extend_from_slice(&values[start..end]);
            self.smooth_run(scratch, &mut values[start..end], &mut velocity[start..end]);
            from = end;
        }
    }

    /// One run without a gap.
    fn smooth_run(&self, from: &[f32], place: &mut [f32], velocity: &mut [f32]) {
        let length = from.len();
        match length {
            0 => return,
            _ if length < self.least_run => return velocity.fill(f32::NAN),
            _ => {}
        }
        let widest = ((length - 1) / 2).min(self.stencils.len());
        let stencil = &self.stencils[widest - 1];
        stencil.interior(from, place, velocity);
        stencil.borders(from, place, velocity);
    }
}

impl Stencil {
    fn new(half: usize, order: usize, hz: f64) -> Self {
        let place = weights(half, order, 0);
        let velocity = weights(half, order, 1);
        let pairs = |all: &[f64], factor: f64| all[half + 1..].iter().map(|w| (w * factor) as f32).collect();
        let rows = |derivative: usize, factor: f64| {
            (-(half as isize)..=half as isize)
                .flat_map(|position| weights_at(half, position, order, derivative))
                .map(|w| w * factor)
                .collect()
        };
        Self {
            half,
            place_middle: place[half] as f32,
            place_pairs: pairs(&place, 1.0),
            velocity_pairs: pairs(&velocity, hz),
            place_rows: rows(0, 1.0),
            velocity_rows: rows(1, hz),
        }
    }

    /// Where the window fits on both sides: the weights of the value are even, those of the slope odd.
    fn interior(&self, from: &[f32], place: &mut [f32], velocity: &mut [f32]) {
        let half = self.half;
        let last = from.len() - half;
        let mut start = half;
        while start < last {
            let end = (start + BLOCK).min(last);
            let (place, velocity) = (&mut place[start..end], &mut velocity[start..end]);
            for (out, middle) in place.iter_mut().zip(&from[start..end]) {
                *out = self.place_middle * middle;
            }
            velocity.fill(0.0);
            for (pair, (place_weight, velocity_weight)) in
                self.place_pairs.iter().zip(&self.velocity_pairs).enumerate()
            {
                let reach = pair + 1;
                let before = &from[start - reach..end - reach];
                let after = &from[start + reach..end + reach];
                for (((out, slope), b), a) in place.iter_mut().zip(velocity.iter_mut()).zip(before).zip(after)
                {
                    *out += place_weight * (b + a);
                    *slope += velocity_weight * (a - b);
                }
            }
            start = end;
        }
    }

    /// The first and the last `half` samples of a run: the window stays, and the polynomial is read beside its middle.
    fn borders(&self, from: &[f32], place: &mut [f32], velocity: &mut [f32]) {
        let (half, width, length) = (self.half, 2 * self.half + 1, from.len());
        let apply = |rows: &[f64], row: usize, window: &[f32]| {
            rows[row * width..][..width]
                .iter()
                .zip(window)
                .map(|(w, v)| w * f64::from(*v))
                .sum::<f64>() as f32
        };
        let (head, tail) = (&from[..width], &from[length - width..]);
        for k in 0..half {
            place[k] = apply(&self.place_rows, k, head);
            velocity[k] = apply(&self.velocity_rows, k, head);
            let (at, row) = (length - half + k, half + 1 + k);
            place[at] = apply(&self.place_rows, row, tail);
            velocity[at] = apply(&self.velocity_rows, row, tail);
        }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    fn assert_weights(found: &[f64], numerators: &[f64], denominator: f64) {
        assert_eq!(found.len(), numerators.len());
        for (w, n) in found.iter().zip(numerators) {
            assert_relative_eq!(*w, n / denominator, epsilon = 1e-12);
        }
    }

    #[test]
    fn weights_are_those_of_the_1964_tables() {
        // Savitzky & Golay 1964, table I (quadratic and cubic), 5 and 7 points.
        assert_weights(&weights(2, 2, 0), &[-3.0, 12.0, 17.0, 12.0, -3.0], 35.0);
        assert_weights(&weights(2, 3, 0), &[-3.0, 12.0, 17.0, 12.0, -3.0], 35.0);
        assert_weights(&weights(3, 2, 0), &[-2.0, 3.0, 6.0, 7.0, 6.0, 3.0, -2.0], 21.0);
        // First derivative, quadratic (table III) and cubic (table IV), 5 points.
        assert_weights(&weights(2, 2, 1), &[-2.0, -1.0, 0.0, 1.0, 2.0], 10.0);
        assert_weights(&weights(2, 3, 1), &[1.0, -8.0, 0.0, 8.0, -1.0], 12.0);
    }

    #[test]
    fn every_place_of_a_window_reads_a_parabola_and_its_slope_exactly() {
        // f(t) = 2 - 3 t + 0.5 t²; f'(t) = -3 + t.
        let value = |t: f64| 2.0 - 3.0 * t + 0.5 * t * t;
        for half in 1..8_usize {
            for position in -(half as isize)..=half as isize {
                let apply = |derivative| {
                    weights_at(half, position, 2, derivative)
                        .iter()
                        .enumerate()
                        .map(|(i, w)| w * value(i as f64 - half as f64))
                        .sum::<f64>()
                };
                assert_relative_eq!(apply(0), value(position as f64), epsilon = 1e-9);
                assert_relative_eq!(apply(1), -3.0 + position as f64, epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn gaps_stay_and_do_not_touch_their_neighbours() {
        // Two straight runs of different slopes with a gap between: each keeps its own place and slope.
        let hz = 25.0;
        let mut values: Vec<f32> = (0..40).map(|k| k as f32 * 0.1).collect();
        values.extend([f32::NAN; 3]);
        values.extend((0..4).map(|k| 9.0 - k as f32 * 0.2));
        values.extend([f32::NAN, 5.0, f32::NAN, 1.0, 2.0]);
        let before = values.clone();
        let mut velocity = vec![7.0; values.len()];
        Smoother::new(5, 2, hz).smooth(&mut values, &mut velocity, &mut Vec::new());
        for (k, (was, is)) in before.iter().zip(&values).enumerate() {
            assert_eq!(was.is_nan(), is.is_nan(), "frame {k}");
            if was.is_finite() {
                assert_relative_eq!(*was, *is, epsilon = 1e-5);
            }
        }
        assert!(velocity[..40].iter().all(|v| (v - 2.5).abs() < 1e-4));
        assert!(velocity[43..47].iter().all(|v| (v + 5.0).abs() < 1e-4));
        assert!(
            velocity[40..43]
                .iter()
                .chain(&velocity[47..50])
                .all(|v| v.is_nan())
        );
        assert!(
            velocity[50..].iter().all(|v| v.is_nan()),
            "two samples give no speed"
        );
    }
}
