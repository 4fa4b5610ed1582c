//! Trees laid out for many walks: each takes the same number of steps whatever the evidence.

use crate::tree::{Split, Tree, leaf};

/// Trees, laid out one after the other.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Walks {
    trees: Vec<Walk>,
    /// Of each tree the splits and then the leaves.
    nodes: Vec<Node>,
}

/// One tree: the word that it speaks for, its first node, and how many steps lead to any leaf.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Walk {
    word: u16,
    root: u32,
    depth: u32,
}

/// A split, or a leaf: that leads to itself, and has its value for a limit. So a walk may go on at a leaf until its steps are done,
/// and a processor need not guess where each ends.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Node {
    limit: f32,
    evidence: u16,
    missing_is_low: bool,
    /// Above the limit, then at most the limit.
    next: [u32; 2],
}

impl Walks {
    /// Adds a whole tree; `place_of` says where the walks find a piece of its evidence. `None`, and nothing is added, when it does
    /// not know one.
    pub(crate) fn add(&mut self, tree: &Tree, place_of: impl Fn(u16) -> Option<u16>) -> Option<()> {
        let root = self.nodes.len();
        let node_of = |to: i16| match usize::try_from(to) {
            Ok(split) => (root + split) as u32,
            Err(_) => (root + tree.splits.len() + leaf(to)) as u32,
        };
        let splits: Option<Vec<Node>> = tree
            .splits
            .iter()
            .map(|&Split(evidence, limit, low, high, missing_is_low)| {
                Some(Node {
                    limit,
                    evidence: place_of(evidence)?,
                    missing_is_low,
                    next: [node_of(high), node_of(low)],
                })
            })
            .collect();
        self.nodes.extend(splits?);
        for &value in &tree.leaves {
            self.nodes.push(Node {
                limit: value,
                evidence: 0,
                missing_is_low: false,
                next: [self.nodes.len() as u32; 2],
            });
        }
        self.trees.push(Walk {
            word: tree.word,
            root: root as u32,
            depth: depth(tree),
        });
        Some(())
    }

    /// The word that each tree speaks for and what it adds to its score, in the order in which they were added.
    pub(crate) fn values(&self, evidence: &[f32]) -> impl Iterator<Item = (u16, f32)> {
        self.trees.iter().map(|tree| {
            let mut at = tree.root as usize;
            for _ in 0..tree.depth {
                let node = &self.nodes[at];
                let value = evidence[usize::from(node.evidence)];
                let is_low = (value <= node.limit) | (value.is_nan() & node.missing_is_low);
                at = node.next[usize::from(is_low)] as usize;
            }
            (tree.word, self.nodes[at].limit)
        })
    }
}

/// How many splits lie on the longest way to a leaf. Children stand behind their parents.
fn depth(tree: &Tree) -> u32 {
    let mut depths = vec![0; tree.splits.len()];
    for (at, Split(_, _, low, high, _)) in tree.splits.iter().enumerate().rev() {
        let below = |to: &i16| usize::try_from(*to).map_or(0, |split| depths[split]);
        depths[at] = 1 + below(low).max(below(high));
    }
    depths.first().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let mut walks = Walks::default();
        // The walks' evidence has one more piece in front.
        walks.add(&tree, |place| Some(place + 1)).unwrap();
        walks.add(&stump, |_| None).unwrap();
        assert_eq!(walks.add(&tree, |place| (place == 0).then_some(0)), None);
        let ways = [
            ([2.0, 9.0], 0.25),
            ([1.0, 5.0], 0.5),
            ([1.0, 5.5], 1.0),
            ([f32::NAN, 0.0], 0.5),
            ([f32::NAN, f32::NAN], 1.0),
        ];
        for ([one, other], expected) in ways {
            let found: Vec<(u16, f32)> = walks.values(&[7.0, one, other]).collect();
            assert_eq!(found, [(3, expected), (0, -2.0)], "{one} {other}");
        }
    }
}
