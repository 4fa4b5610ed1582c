//! An estimate and the bounds around it.

/// The two-sided 95 % point of the standard normal distribution.
pub const Z_95: f64 = 1.959_963_984_540_054;

/// An estimate with its 95 % bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The estimate.
    pub value: f64,
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
}

impl Interval {
    /// `value` ± [`Z_95`] standard errors.
    pub fn normal(value: f64, standard_error: f64) -> Self {
        let half = Z_95 * standard_error;
        Self {
            value,
            low: value - half,
            high: value + half,
        }
    }

    /// The bounds brought within what can be. The estimate stays.
    #[must_use]
    pub fn within(self, least: f64, most: f64) -> Self {
        Self {
            value: self.value,
            low: self.low.clamp(least, most),
            high: self.high.clamp(least, most),
        }
    }
}
