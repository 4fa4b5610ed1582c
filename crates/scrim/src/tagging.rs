//! From a score to what the season needs of it: how often tags were right.

use std::collections::BTreeMap;
use std::str::FromStr;

use anyhow::Result;
use scrim_score::{BallScreenPossessions, LinkedScore, Report, Section, TagScore};
use scrim_season::{TagCounts, TaggingParams};
use serde::Serialize;

/// How the tables call what they do not commit themselves on.
const NO_WORDS: [&str; 2] = ["unclear", "(none)"];

/// How often tags were right, as far as the labels show.
pub fn tagging_of(report: &Report) -> TaggingParams {
    let possessions = report.ball_screen_possessions.unwrap_or_default();
    TaggingParams {
        ball_screen: of_possessions(&possessions),
        entry: words(&report.entries, "entry"),
        coverage: read_as(&report.coverages, "coverage"),
    }
}

fn of_possessions(counts: &BallScreenPossessions) -> TagCounts {
    TagCounts {
        labelled: counts.labelled,
        found: counts.found,
        others: counts.others,
        passed: counts.passed,
    }
}

/// Each labelled word of a tag, and how often the tables have which word then; rows without a clear word in either are left out.
fn read_as<W: FromStr + Ord>(section: &Section<LinkedScore>, tag: &str) -> BTreeMap<W, BTreeMap<W, u32>> {
    let score = section.scored().and_then(|score| score.columns.tag(tag));
    let Some(TagScore { confusion, .. }) = score else {
        return BTreeMap::new();
    };
    let clear = |word: &str| {
        if NO_WORDS.contains(&word) {
            None
        } else {
            word.parse().ok()
        }
    };
    let rows = confusion
        .labelled
        .iter()
        .zip(&confusion.counts)
        .filter_map(|(label, row)| {
            let predicted = confusion
                .predicted
                .iter()
                .zip(row)
                .filter(|(_, count)| **count > 0);
            let counts = predicted
                .filter_map(|(word, &count)| Some((clear(word)?, u32::try_from(count).unwrap_or(u32::MAX))));
            Some((clear(label)?, counts.collect()))
        });
    rows.collect()
}

/// Each word of a tag against all others.
fn words<W: FromStr + Ord + Copy>(section: &Section<LinkedScore>, tag: &str) -> BTreeMap<W, TagCounts> {
    let read: BTreeMap<W, BTreeMap<W, u32>> = read_as(section, tag);
    read.keys()
        .map(|word| (*word, TagCounts::of(&read, *word)))
        .collect()
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

#[cfg(test)]
mod tests {
    use scrim_tables::tags::Coverage;

    use super::*;
    use crate::Pipeline;

    #[test]
    fn what_is_written_is_read_back_from_a_pipeline_file() {
        let mut tagging = TaggingParams {
            ball_screen: TagCounts {
                labelled: 90,
                found: 88,
                others: 70,
                passed: 69,
            },
            ..TaggingParams::default()
        };
        let read = [(Coverage::Drop, 60), (Coverage::Switch, 2)];
        tagging
            .coverage
            .insert(Coverage::Drop, read.into_iter().collect());
        tagging.coverage.insert(Coverage::Ice, BTreeMap::new());
        let text = format!("name = \"x\"\n{}", tagging_toml(&tagging).unwrap());
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.toml");
        std::fs::write(&path, &text).unwrap();
        assert_eq!(Pipeline::read(&path).unwrap().season.tagging, tagging);
        // What the tables do not commit themselves to is no reading.
        std::fs::write(&path, text.replace("switch = 2", "unclear = 2")).unwrap();
        let refused = format!("{:#}", anyhow::Error::from(Pipeline::read(&path).unwrap_err()));
        assert!(refused.contains("unclear"), "{refused}");
    }
}
