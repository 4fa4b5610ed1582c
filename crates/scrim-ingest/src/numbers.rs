//! Numbers written as text.

/// Powers of ten that a double holds exactly.
const POWERS: [f64; 18] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17,
];
/// Whole numbers up to here are doubles without rounding.
const MOST_EXACT: u64 = 1 << 53;

/// The number that `text` is: what `str::parse` makes of it, and quicker for the commonest texts.
#[inline]
pub(crate) fn parse_number(text: &[u8]) -> Option<f64> {
    quick(text).or_else(|| std::str::from_utf8(text).ok()?.parse().ok())
}

/// Digits with at most one point, and few enough of them that the digits as a whole number and the power of ten are
/// both exact doubles: their quotient is then rounded once, so it is the nearest double (W. D. Clinger, "How to read
/// floating point numbers accurately", 1990). `None` for all other texts.
#[inline]
fn quick(text: &[u8]) -> Option<f64> {
    let (is_negative, digits) = match text {
        [b'-', digits @ ..] => (true, digits),
        digits => (false, digits),
    };
    if digits.is_empty() || digits.len() >= POWERS.len() {
        return None;
    }
    let mut whole = 0u64;
    let mut point = None;
    for (i, &byte) in digits.iter().enumerate() {
        match byte {
            b'0'..=b'9' => whole = whole * 10 + u64::from(byte - b'0'),
            b'.' if point.is_none() => point = Some(i),
            _ => return None,
        }
    }
    let decimals = point.map_or(0, |point| digits.len() - 1 - point);
    if whole > MOST_EXACT || digits.len() == usize::from(point.is_some()) {
        return None;
    }
    let value = whole as f64 / POWERS[decimals];
    Some(if is_negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bits(value: Option<f64>) -> Option<u64> {
        value.map(f64::to_bits)
    }

    proptest! {
        #[test]
        fn every_text_is_the_number_that_the_standard_library_makes_of_it(
            number in "-?[0-9]{0,10}\\.?[0-9]{0,10}", any in "[-+.0-9eEinfa]{0,9}", double: f64,
        ) {
            for text in [number, any, double.to_string(), format!("{double:e}")] {
                prop_assert_eq!(bits(parse_number(text.as_bytes())), bits(text.parse().ok()), "{}", text);
            }
        }
    }
}
