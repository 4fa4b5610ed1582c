//! Numbers without a pattern, the same in every run.

/// A linear congruential sequence modulo 2⁶⁴ (constants of D. E. Knuth, *The Art of Computer Programming* 2, section
/// 3.3.4, table 1, line 26); only the high bits are used.
pub struct Sequence(u64);

impl Sequence {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number, from 0 to under 1, in steps of 2⁻²⁴ (so that it is exact in f32 too).
    pub fn next_share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (self.0 >> 40) as f64 / f64::from(1_u32 << 24)
    }
}
