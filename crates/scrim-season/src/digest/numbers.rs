//! Numbers with what they stand on.

use scrim_tables::rows::{CounterRow, TendencyRow};

use crate::words::{SampleSize, Words};

/// `1 game`, `3 games`, on a terminal.
pub(super) fn count(words: &Words, key: &str, n: usize) -> String {
    words.count(key, n).replace('\u{a0}', " ")
}

/// The caution beside a number that stands on `n` cases.
pub(super) fn caution(words: &Words, n: u32) -> String {
    let caution = SampleSize::of(n as usize).caution(words);
    caution.map_or_else(String::new, |caution| format!("; {caution}"))
}

/// A rate with its bounds and what it stands on: `12 of 34 (35 %, 21 to 52 %)`, and as it is likely to be in truth, if that is known.
pub(super) fn rate(words: &Words, row: &TendencyRow) -> String {
    let hits = row
        .expected_hits
        .map_or_else(|| row.hits.to_string(), |hits| format!("{hits:.1} expected"));
    let seen = of(words, &hits, row.n, [row.rate, row.rate_low, row.rate_high]);
    seen + &adjusted([row.rate_adjusted, row.rate_adjusted_low, row.rate_adjusted_high])
}

/// The same of a counter.
pub(super) fn counter_rate(words: &Words, row: &CounterRow) -> String {
    let seen = of(
        words,
        &row.hits.to_string(),
        row.n,
        [row.rate, row.rate_low, row.rate_high],
    );
    seen + &adjusted([row.rate_adjusted, row.rate_adjusted_low, row.rate_adjusted_high])
}

fn adjusted(rate: [Option<f32>; 3]) -> String {
    match rate.map(|share| share.map(|share| (share * 100.0).round())) {
        [Some(value), Some(low), Some(high)] => {
            format!("; corrected for wrong tags: {value} %, {low} to {high} %")
        }
        _ => String::new(),
    }
}

/// The same from plain numbers.
fn of(words: &Words, hits: &str, n: u32, rate: [f32; 3]) -> String {
    let [value, low, high] = rate.map(|share| (share * 100.0).round());
    format!(
        "{hits} of {n} ({value} %, {low} to {high} %{})",
        caution(words, n)
    )
}

/// Points with their bounds: `1.05 points (0.70 to 1.40, 33 possessions)`.
pub(super) fn points(words: &Words, row: &TendencyRow) -> Option<String> {
    let (mean, low, high) = (row.points_per_play?, row.ppp_low?, row.ppp_high?);
    Some(format!(
        "{mean:.2} points ({low:.2} to {high:.2}, {}{})",
        count(words, "possessions", row.possessions as usize),
        caution(words, row.possessions)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_corrected_for_wrong_tags_stands_beside_the_seen_one_when_all_of_it_is_known() {
        let text = adjusted([Some(0.354), Some(0.21), Some(0.518)]);
        assert_eq!(text, "; corrected for wrong tags: 35 %, 21 to 52 %");
        assert_eq!(adjusted([Some(0.354), None, None]), "");
    }
}
