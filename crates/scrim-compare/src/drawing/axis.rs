//! An axis: from where to where, and its ticks.

/// Ticks are about so many steps apart.
const STEPS: f64 = 4.0;

/// From where to where an axis goes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axis {
    pub(super) low: f64,
    pub(super) high: f64,
    step: f64,
}

impl Axis {
    /// One that holds all values, from tick to tick.
    pub(super) fn of(values: impl Iterator<Item = f64>) -> Self {
        let (mut low, mut high) = values
            .filter(|value| value.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                (low.min(value), high.max(value))
            });
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        if low == high {
            // One value: as much again around it.
            let room = if low == 0.0 { 1.0 } else { low.abs() * 0.1 };
            (low, high) = (low - room, high + room);
        }
        let step = round_step((high - low) / STEPS);
        Self {
            low: (low / step).floor() * step,
            high: (high / step).ceil() * step,
            step,
        }
    }

    /// The ticks.
    pub(super) fn ticks(&self) -> Vec<f64> {
        let steps = ((self.high - self.low) / self.step).round() as usize;
        (0..=steps).map(|k| self.low + self.step * k as f64).collect()
    }

    /// Where a value lies, 0 at the low end and 1 at the high one.
    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

/// The next step up that is 1, 2 or 5 times a power of ten.
fn round_step(step: f64) -> f64 {
    let power = 10_f64.powf(step.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|times| times * power >= step * (1.0 - 1e-9));
    times.unwrap_or(10.0) * power
}

/// A number with no more digits than it needs.
pub(super) fn short(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn ticks_are_round_and_hold_all_values() {
        let axis = Axis::of([0.13, 0.31].into_iter());
        // 0.18 in four steps is 0.045 each: the next round step is 0.05.
        let ticks: Vec<String> = axis.ticks().into_iter().map(short).collect();
        assert_eq!(ticks, ["0.1", "0.15", "0.2", "0.25", "0.3", "0.35"]);
        assert_relative_eq!(axis.share(0.225), 0.5, epsilon = 1e-9);
    }

    #[test]
    fn one_value_none_and_no_number_still_make_an_axis() {
        for values in [vec![2.0], vec![0.0], vec![], vec![f64::NAN]] {
            let axis = Axis::of(values.iter().copied());
            assert!(
                axis.low < axis.high && axis.ticks().len() >= 2,
                "{values:?}: {axis:?}"
            );
        }
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(
            [1.0, 0.25, -0.0, 1e-9, 100.0, 0.3].map(short),
            ["1", "0.25", "0", "0", "100", "0.3"]
        );
    }
}
