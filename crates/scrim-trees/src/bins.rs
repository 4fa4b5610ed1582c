//! Values to bins: a split is looked for at the borders between them.

/// Most bins of one piece of evidence; the place after the last holds what was not seen.
pub(crate) const BINS: usize = 64;
/// The bin of a value that was not seen.
pub(crate) const MISSING: u8 = BINS as u8;

/// The bins of one piece of evidence: the values of all rows, and the borders.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    /// The bin of each row.
    pub bin: Vec<u8>,
    /// The upper border of each bin but the last: a value at most this is in it.
    pub border: Vec<f32>,
}

impl Column {
    /// Bins of about the same number of rows; equal values are in one bin.
    pub fn of(values: impl Iterator<Item = f32> + Clone) -> Self {
        let mut sorted: Vec<f32> = values.clone().filter(|value| value.is_finite()).collect();
        sorted.sort_by(f32::total_cmp);
        let mut border: Vec<f32> = Vec::new();
        for cut in 1..BINS {
            let Some(&below) = (cut * sorted.len() / BINS)
                .checked_sub(1)
                .and_then(|at| sorted.get(at))
            else {
                continue;
            };
            // A run of equal values is never cut: the border stands behind it.
            let Some(&above) = sorted.get(sorted.partition_point(|&value| value <= below)) else {
                break;
            };
            let middle = below + (above - below) / 2.0;
            // The middle of two close values may round up to the higher.
            if middle < above && border.last().is_none_or(|&last| last < middle) {
                border.push(middle);
            }
        }
        let bin = values
            .map(|value| {
                if value.is_nan() {
                    MISSING
                } else {
                    border.partition_point(|&limit| limit < value) as u8
                }
            })
            .collect();
        Self { bin, border }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_share_a_bin_and_the_unseen_have_their_own() {
        let values = [3.0, 1.0, f32::NAN, 3.0, 1.0, 2.0];
        let column = Column::of(values.into_iter());
        // Three values: borders at 1.5 and 2.5.
        assert_eq!(column.border, [1.5, 2.5]);
        assert_eq!(column.bin, [2, 0, MISSING, 2, 0, 1]);
    }
}
