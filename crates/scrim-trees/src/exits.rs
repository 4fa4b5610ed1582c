//! Trees laid out by evidence, so that the leaves they end at are found without walking them.
//!
//! Method: C. Lucchese et al., "QuickScorer: a fast algorithm to rank documents with additive ensembles of regression trees",
//! SIGIR 2015. A tree's leaves stand from low to high, a bit each. A split whose evidence is above its limit rules out the leaves
//! on its low side; when all such splits are through, the first leaf left is the one that a walk would end at.

use std::ops::Range;

use crate::tree::{MOST_LEAVES, Split, Tree, leaf};

/// Where many trees end.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Exits {
    trees: Vec<Leaves>,
    /// What the leaves of all trees add, tree by tree, from low to high.
    leaves: Vec<f32>,
    /// The evidence that the trees split by, ascending by place.
    evidence: Vec<Evidence>,
    /// The limits of all splits, evidence by evidence, ascending.
    limits: Vec<f32>,
    /// What each of these splits does when its evidence is above its limit.
    cuts: Vec<Cut>,
    /// What those splits do for which a value that was not seen counts as above the limit, evidence by evidence.
    cuts_if_missing: Vec<Cut>,
}

/// One tree: the word that it speaks for, and its first leaf among all.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Leaves {
    word: u16,
    first: u32,
}

/// One piece of evidence: its place, and the splits by it.
#[derive(Debug, Clone, PartialEq)]
struct Evidence {
    place: u16,
    splits: Range<usize>,
    if_missing: Range<usize>,
}

/// Rules out leaves of a tree: those whose bits are not among the kept.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cut {
    tree: u32,
    kept: u32,
}

impl Exits {
    /// Whole trees laid out; `place_of` says where a piece of their evidence will be.
    ///
    /// # Errors
    /// The place of a tree with more than [`MOST_LEAVES`].
    pub(crate) fn of(trees: &[Tree], place_of: impl Fn(u16) -> u16) -> Result<Self, usize> {
        let mut laid = Self {
            trees: Vec::with_capacity(trees.len()),
            leaves: Vec::new(),
            evidence: Vec::new(),
            limits: Vec::new(),
            cuts: Vec::new(),
            cuts_if_missing: Vec::new(),
        };
        let mut splits: Vec<(u16, f32, bool, Cut)> = Vec::new();
        for (at, tree) in trees.iter().enumerate() {
            let mut order = Order::default();
            order.visit(tree, 0).ok_or(at)?;
            laid.trees.push(Leaves {
                word: tree.word,
                first: laid.leaves.len() as u32,
            });
            laid.leaves
                .extend(order.leaves.iter().map(|&leaf| tree.leaves[leaf]));
            for (split, kept) in order.kept {
                let Split(evidence, limit, _, _, missing_is_low) = tree.splits[split];
                let cut = Cut {
                    tree: at as u32,
                    kept,
                };
                splits.push((place_of(evidence), limit, missing_is_low, cut));
            }
        }
        splits.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for of_one in splits.chunk_by(|a, b| a.0 == b.0) {
            let (from, from_missing) = (laid.cuts.len(), laid.cuts_if_missing.len());
            laid.limits.extend(of_one.iter().map(|split| split.1));
            laid.cuts.extend(of_one.iter().map(|split| split.3));
            let above = of_one.iter().filter(|split| !split.2);
            laid.cuts_if_missing.extend(above.map(|split| split.3));
            laid.evidence.push(Evidence {
                place: of_one[0].0,
                splits: from..laid.cuts.len(),
                if_missing: from_missing..laid.cuts_if_missing.len(),
            });
        }
        Ok(laid)
    }

    /// Gives the word that each tree speaks for, and what it adds to its score, to `each`, in the order of the trees.
    pub(crate) fn each(&self, evidence: &[f32], mut each: impl FnMut(u16, f32)) {
        let mut left = vec![u32::MAX; self.trees.len()];
        for splits in &self.evidence {
            let value = evidence[usize::from(splits.place)];
            let cuts = if value.is_nan() {
                &self.cuts_if_missing[splits.if_missing.clone()]
            } else {
                let above = self.limits[splits.splits.clone()].partition_point(|&limit| limit < value);
                &self.cuts[splits.splits.start..splits.splits.start + above]
            };
            for cut in cuts {
                left[cut.tree as usize] &= cut.kept;
            }
        }
        for (tree, left) in self.trees.iter().zip(left) {
            each(
                tree.word,
                self.leaves[(tree.first + left.trailing_zeros()) as usize],
            );
        }
    }
}

/// A tree's leaves from low to high, as far as they were visited.
#[derive(Default)]
struct Order {
    leaves: Vec<usize>,
    /// Splits, each with the bits of all leaves but those on its low side.
    kept: Vec<(usize, u32)>,
    splits: usize,
}

impl Order {
    /// Visits what a split leads to, or a tree from its root, 0; `None` when that is too much for one tree.
    fn visit(&mut self, tree: &Tree, to: i16) -> Option<()> {
        let split = match usize::try_from(to) {
            Ok(split) if !tree.splits.is_empty() => split,
            Ok(_) => {
                self.leaves.push(0);
                return Some(());
            }
            Err(_) => {
                self.leaves.push(leaf(to));
                return Some(());
            }
        };
        self.splits += 1;
        if self.splits >= MOST_LEAVES {
            return None;
        }
        let Split(_, _, low, high, _) = tree.splits[split];
        let from = self.leaves.len();
        self.visit(tree, low)?;
        let low_side = (1_u64 << self.leaves.len()) - (1_u64 << from);
        self.kept.push((split, !(low_side as u32)));
        self.visit(tree, high)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(exits: &Exits, evidence: &[f32]) -> Vec<(u16, f32)> {
        let mut found = Vec::new();
        exits.each(evidence, |word, value| found.push((word, value)));
        found
    }

    #[test]
    fn each_way_through_a_lopsided_tree_ends_at_its_own_leaf() {
        // Evidence 0 above 1: leaf 0 at once. Else evidence 1 above 5, or not seen: leaf 2; at most 5: leaf 1.
        let tree = Tree {
            word: 3,
            splits: vec![Split(0, 1.0, 1, -1, true), Split(1, 5.0, -2, -3, false)],
            leaves: vec![0.25, 0.5, 1.0],
        };
        let stump = Tree {
            word: 0,
            splits: Vec::new(),
            leaves: vec![-2.0],
        };
        // The evidence has one more piece in front.
        let exits = Exits::of(&[stump, tree], |place| place + 1).unwrap();
        let ways = [
            ([2.0, 9.0], 0.25),
            ([1.0, 5.0], 0.5),
            ([1.0, 5.5], 1.0),
            ([f32::NAN, 0.0], 0.5),
            ([f32::NAN, f32::NAN], 1.0),
            ([f32::INFINITY, f32::NAN], 0.25),
        ];
        for ([one, other], expected) in ways {
            let found = found(&exits, &[7.0, one, other]);
            assert_eq!(found, [(0, -2.0), (3, expected)], "{one} {other}");
        }
    }

    #[test]
    fn a_tree_of_32_leaves_is_laid_out_and_one_of_33_is_not() {
        // A staircase: above 0, 1, 2 … each its own leaf, and the last one below all.
        let staircase = |leaves: i16| Tree {
            word: 0,
            splits: (0..leaves - 1)
                .map(|split| {
                    let low = if split + 2 < leaves { split + 1 } else { -leaves };
                    Split(0, -f32::from(split), low, -1 - split, true)
                })
                .collect(),
            leaves: (0..leaves).map(f32::from).collect(),
        };
        let exits = Exits::of(&[staircase(32)], |place| place).unwrap();
        for step in 0..32_u16 {
            let value = 0.5 - f32::from(step);
            assert_eq!(found(&exits, &[value]), [(0, f32::from(step))]);
        }
        assert_eq!(Exits::of(&[staircase(2), staircase(33)], |place| place), Err(1));
    }
}
