//! Who may write which partition, when several sources hold the same game.
//!
//! A whole game goes before one that was refused (which has refused rows only), and an earlier source before a later one.
//! What ends up in a partition, and what is reported of it, is the same whichever worker was faster.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

use scrim_ingest::Source;
use scrim_tables::Partition;

use crate::Failure;
use crate::summary::SourceSummary;

/// What a source has of a game.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// All its tables.
    Whole,
    /// Its refused rows only.
    Refused,
}

/// The partitions of a run. A partition is locked while its files are moved into place.
#[derive(Debug, Default)]
pub(crate) struct Claims {
    partitions: Mutex<BTreeMap<Partition, Arc<Mutex<Claim>>>>,
}

/// The sources, by place, that have had something for one partition.
#[derive(Debug, Default)]
struct Claim {
    whole: Vec<usize>,
    refused: Vec<usize>,
}

impl Claim {
    fn add(&mut self, kind: Kind, place: usize) {
        match kind {
            Kind::Whole => self.whole.push(place),
            Kind::Refused => self.refused.push(place),
        }
    }

    /// Whether that source goes before all that came so far.
    fn is_first(&self, kind: Kind, place: usize) -> bool {
        let before = |others: &[usize]| others.iter().all(|&other| place < other);
        match kind {
            Kind::Whole => before(&self.whole),
            Kind::Refused => self.whole.is_empty() && before(&self.refused),
        }
    }
}

impl Claims {
    fn of(&self, partition: &Partition) -> Arc<Mutex<Claim>> {
        let mut partitions = self.partitions.lock().unwrap_or_else(PoisonError::into_inner);
        partitions.entry(partition.clone()).or_default().clone()
    }

    /// A source that is not done again holds that game already.
    pub(crate) fn hold(&self, partition: &Partition, kind: Kind, place: usize) {
        let claim = self.of(partition);
        claim
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .add(kind, place);
    }

    /// Does `write`, alone in its partition, unless something that goes before it is there already.
    pub(crate) fn publish(
        &self,
        partition: &Partition,
        kind: Kind,
        place: usize,
        write: impl FnOnce() -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        let claim = self.of(partition);
        let mut claim = claim.lock().unwrap_or_else(PoisonError::into_inner);
        if claim.is_first(kind, place) {
            write()?;
        }
        claim.add(kind, place);
        Ok(())
    }

    /// When the run is over: a source whose game, or whose refused rows, had to give way has failed with it. The places of those.
    pub(crate) fn report_who_gave_way(
        self,
        sources: &[Source],
        summaries: &mut [SourceSummary],
    ) -> BTreeSet<usize> {
        let mut gave_way = BTreeSet::new();
        let partitions = self
            .partitions
            .into_inner()
            .unwrap_or_else(PoisonError::into_inner);
        for (partition, claim) in partitions {
            let mut claim = claim.lock().unwrap_or_else(PoisonError::into_inner);
            claim.whole.sort_unstable();
            claim.refused.sort_unstable();
            let mut all = claim.whole.iter().chain(&claim.refused);
            let Some(&first) = all.next() else { continue };
            for &place in all.filter(|&&place| place != first) {
                let summary = &mut summaries[place];
                let is_other = |game_id: &str, season: Option<&str>| {
                    game_id != partition.game_id() || season != partition.season()
                };
                summary
                    .done
                    .retain(|game| is_other(&game.game_id, game.season.as_deref()));
                summary
                    .unchanged
                    .retain(|game| is_other(&game.game_id, game.season.as_deref()));
                gave_way.insert(place);
                let failure = Failure::SameGame {
                    first: sources[first].name.clone(),
                };
                summary.skip(&sources[place], Some(&partition), &failure);
            }
        }
        gave_way
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(order: &[(Kind, usize)]) -> Option<(Kind, usize)> {
        let claims = Claims::default();
        let partition = Partition::new(None, "G");
        let mut last = None;
        for &(kind, place) in order {
            let write = || {
                last = Some((kind, place));
                Ok(())
            };
            claims.publish(&partition, kind, place, write).unwrap();
        }
        last
    }

    #[test]
    fn whoever_comes_first_the_earliest_whole_game_is_kept() {
        let (whole, refused) = (Kind::Whole, Kind::Refused);
        let all = [(refused, 0), (whole, 1), (whole, 2), (refused, 3)];
        for turn in 0..all.len() {
            let mut order = all;
            order.rotate_left(turn);
            assert_eq!(written(&order), Some((whole, 1)), "{order:?}");
            order.reverse();
            assert_eq!(written(&order), Some((whole, 1)), "{order:?}");
        }
        assert_eq!(
            written(&[(refused, 2), (refused, 1), (refused, 3)]),
            Some((refused, 1))
        );
    }

    #[test]
    fn a_write_that_failed_leaves_the_partition_to_others() {
        let claims = Claims::default();
        let partition = Partition::new(None, "G");
        let broken = || {
            Err(Failure::Panic {
                what: "no room".into(),
            })
        };
        assert!(claims.publish(&partition, Kind::Whole, 0, broken).is_err());
        let mut is_written = false;
        let write = || {
            is_written = true;
            Ok(())
        };
        claims.publish(&partition, Kind::Whole, 1, write).unwrap();
        assert!(is_written);
    }
}
