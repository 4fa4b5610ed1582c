//! Quantiles of sorted values.

/// The `share` quantile of ascending values, straight between neighbours; `None` of no values.
///
/// R. J. Hyndman & Y. Fan, "Sample quantiles in statistical packages", The American Statistician 50 (1996), 361–365, definition 7.
pub fn quantile(ascending: &[f64], share: f64) -> Option<f64> {
    let last = ascending.len().checked_sub(1)?;
    let at = share.clamp(0.0, 1.0) * last as f64;
    let below = (at as usize).min(last);
    let above = (below + 1).min(last);
    Some(ascending[below] + (ascending[above] - ascending[below]) * (at - below as f64))
}

/// The middle of ascending values, of two the mean; `None` of no values.
pub fn median(ascending: &[f32]) -> Option<f32> {
    let half = ascending.len() / 2;
    match ascending.len() {
        0 => None,
        n if n.is_multiple_of(2) => Some(0.5 * (ascending[half - 1] + ascending[half])),
        _ => Some(ascending[half]),
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn quantiles_lie_straight_between_neighbours() {
        // Of 0, 10, 20, 30: at 0.5 half way from the second to the third, at 0.1 at 0.3 of the first gap.
        let values = [0.0, 10.0, 20.0, 30.0];
        assert_eq!(quantile(&values, 0.5), Some(15.0));
        assert_relative_eq!(quantile(&values, 0.1).unwrap(), 3.0, epsilon = 1e-12);
        assert_eq!(
            (quantile(&values, 0.0), quantile(&values, 1.0)),
            (Some(0.0), Some(30.0))
        );
        assert_eq!(quantile(&[7.0], 0.3), Some(7.0));
        assert_eq!(quantile(&[], 0.3), None);
    }

    #[test]
    fn the_median_is_the_middle_or_the_mean_of_the_two_in_it() {
        assert_eq!(median(&[1.0, 5.0, 6.0]), Some(5.0));
        assert_eq!(median(&[1.0, 5.0, 6.0, 9.0]), Some(5.5));
        assert_eq!(median(&[]), None);
    }
}
