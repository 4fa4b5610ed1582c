//! Which samples are held out together: games, never single screens, for screens of one game are alike.

use std::collections::BTreeMap;

/// What is held out together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grouping {
    /// Whole games.
    Games,
    /// There is one game only: stretches of its possessions, one after the other. Its players and schemes are on both sides
    /// then, so that the score says less about another game.
    PossessionBlocks,
}

/// The fold of each sample, from 0, at most `most` of them. A sample is its game and possession; they are in this order.
pub(crate) fn folds(samples: &[(&str, u32)], most: usize) -> (Grouping, Vec<usize>) {
    let mut games: BTreeMap<&str, usize> = BTreeMap::new();
    for (game_id, _) in samples {
        *games.entry(game_id).or_default() += 1;
    }
    if games.len() > 1 {
        let folds = games.len().min(most.max(2));
        // The largest games first, each to the fold that holds least so far: folds of like size.
        let mut by_size: Vec<(&str, usize)> = games.into_iter().collect();
        by_size.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
        let mut held = vec![0; folds];
        let mut fold_of = BTreeMap::new();
        for (game, count) in by_size {
            let least = (0..folds).min_by_key(|&fold| held[fold]).unwrap_or(0);
            held[least] += count;
            fold_of.insert(game, least);
        }
        let of = samples.iter().map(|(game_id, _)| fold_of[game_id]);
        return (Grouping::Games, of.collect());
    }
    let mut possessions: Vec<u32> = samples.iter().map(|(_, possession_id)| *possession_id).collect();
    possessions.dedup();
    let folds = possessions.len().clamp(1, most.max(2));
    let place: BTreeMap<u32, usize> = possessions.iter().enumerate().map(|(k, p)| (*p, k)).collect();
    let of = samples
        .iter()
        .map(|(_, possession_id)| place[possession_id] * folds / possessions.len());
    (Grouping::PossessionBlocks, of.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_game_is_never_on_both_sides_and_folds_are_of_like_size() {
        let samples: Vec<_> = [("a", 8), ("b", 3), ("c", 5), ("d", 2), ("e", 4), ("f", 2)]
            .into_iter()
            .flat_map(|(game, n)| (0..n).map(move |k| (game, k)))
            .collect();
        let (grouping, folds) = folds(&samples, 3);
        assert_eq!(grouping, Grouping::Games);
        for (a, fold_a) in samples.iter().zip(&folds) {
            for (b, fold_b) in samples.iter().zip(&folds) {
                assert!(a.0 != b.0 || fold_a == fold_b);
            }
        }
        // 8 | 5 + 2 | 4 + 3 + 2
        let mut sizes = [0; 3];
        folds.iter().for_each(|&fold| sizes[fold] += 1);
        sizes.sort_unstable();
        assert_eq!(sizes, [7, 8, 9]);
    }

    #[test]
    fn one_game_is_held_out_by_stretches_of_possessions() {
        let samples: Vec<_> = (0..10).flat_map(|p| [("a", p), ("a", p)]).collect();
        let (grouping, folds) = folds(&samples, 5);
        assert_eq!(grouping, Grouping::PossessionBlocks);
        assert_eq!(
            folds,
            [0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]
        );
    }
}
