//! From a score to what the season needs of it: how often tags were right.

use std::collections::BTreeMap;
use std::str::FromStr;

use anyhow::Result;
use scrim_score::{BallScreenTrips, LinkedScore, Report, Section, TagScore};
use scrim_season::{TagCounts, TaggingParams};
use serde::Serialize;

/// How the tables call what they do not commit themselves on.
const NO_WORDS: [&str; 2] = ["unclear", "(none)"];

/// How often tags were right, as far as the labels tell.
pub fn tagging_of(report: &Report) -> TaggingParams {
    let trips = report.ball_screen_trips.unwrap_or_default();
    TaggingParams {
        ball_screen: of_trips(&trips),
        entry: words(&report.entries, "entry"),
        coverage: words(&report.coverages, "coverage"),
    }
}

fn of_trips(trips: &BallScreenTrips) -> TagCounts {
    TagCounts {
        labelled: trips.labelled,
        found: trips.found,
        others: trips.others,
        passed: trips.passed,
    }
}

/// Each word of a tag against all others, over rows with a clear word in labels and tables.
fn words<W: FromStr + Ord>(section: &Section<LinkedScore>, tag: &str) -> BTreeMap<W, TagCounts> {
    let score = section.scored().and_then(|score| score.columns.tag(tag));
    let Some(TagScore { confusion, .. }) = score else {
        return BTreeMap::new();
    };
    let mut counts = BTreeMap::new();
    let clear = |word: &str| !NO_WORDS.contains(&word);
    for word in confusion.labelled.iter().filter(|word| clear(word)) {
        let mut of_word = TagCounts::default();
        for (label, row) in confusion.labelled.iter().zip(&confusion.counts) {
            for (told, &count) in confusion.told.iter().zip(row) {
                let count = u32::try_from(count).unwrap_or(u32::MAX);
                if !clear(label) || !clear(told) {
                    continue;
                }
                if label == word {
                    of_word.labelled += count;
                    of_word.found += if told == word { count } else { 0 };
                } else {
                    of_word.others += count;
                    of_word.passed += if told == word { 0 } else { count };
                }
            }
        }
        if let Ok(word) = word.parse() {
            counts.insert(word, of_word);
        }
    }
    counts
}

/// The part of a pipeline file that holds it.
///
/// # Errors
/// When it cannot be written as TOML; no counts cause that.
pub fn tagging_toml(tagging: &TaggingParams) -> Result<String> {
    #[derive(Serialize)]
    struct Pipeline<'a> {
        season: Season<'a>,
    }
    #[derive(Serialize)]
    struct Season<'a> {
        tagging: &'a TaggingParams,
    }
    let season = Season { tagging };
    Ok(format!(
        "# How often tags were right on labelled games, by `scrim score --tagging`. Paste it into a pipeline file.\n{}",
        toml::to_string(&Pipeline { season })?
    ))
}
