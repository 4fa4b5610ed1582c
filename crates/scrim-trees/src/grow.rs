//! One tree: grown leaf by leaf, the split that gains most first.

use crate::bins::{BINS, Column, MISSING};
use crate::params::FitParams;
use crate::tree::{MOST_LEAVES, Split, Tree};

/// What the loss says of one row: its slope and curvature in the score, times the row's weight.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Pull {
    pub slope: f64,
    pub curvature: f64,
}

impl Pull {
    fn add(&mut self, other: Self) {
        self.slope += other.slope;
        self.curvature += other.curvature;
    }

    fn less(self, other: Self) -> Self {
        Self {
            slope: self.slope - other.slope,
            curvature: self.curvature - other.curvature,
        }
    }

    /// What a leaf with this pull takes off the loss, twice.
    fn worth(self, ridge: f64) -> f64 {
        self.slope * self.slope / (self.curvature + ridge)
    }
}

/// A split that a leaf may have.
#[derive(Debug, Clone, Copy)]
struct Cut {
    gain: f64,
    evidence: usize,
    bin: usize,
    missing_low: bool,
}

struct Leaf {
    rows: Vec<u32>,
    pull: Pull,
    best: Option<Cut>,
    /// The split that it hangs on, and whether on the low side; none: the root.
    parent: Option<(usize, bool)>,
}

/// Grows a tree over the rows `rows` with the evidence `use_evidence`. Adds to `gains` what each piece of evidence gained.
pub(crate) fn grow(
    columns: &[Column],
    pulls: &[Pull],
    rows: Vec<u32>,
    use_evidence: &[usize],
    word: usize,
    params: &FitParams,
    gains: &mut [f64],
) -> Tree {
    let new_leaf = |rows: Vec<u32>, parent| {
        let mut pull = Pull::default();
        for &row in &rows {
            pull.add(pulls[row as usize]);
        }
        let best = best_cut(columns, pulls, &rows, pull, use_evidence, params);
        Leaf {
            rows,
            pull,
            best,
            parent,
        }
    };
    let mut leaves = vec![new_leaf(rows, None)];
    let mut splits: Vec<Split> = Vec::new();
    while leaves.len() < params.leaves.min(MOST_LEAVES) {
        // Of equal gains the first leaf: the same tree every time.
        let mut chosen: Option<(usize, Cut)> = None;
        for (at, leaf) in leaves.iter().enumerate() {
            if let Some(cut) = leaf.best
                && chosen.is_none_or(|(_, best)| cut.gain > best.gain)
            {
                chosen = Some((at, cut));
            }
        }
        let Some((at, cut)) = chosen else { break };
        let leaf = leaves.swap_remove(at);
        let column = &columns[cut.evidence];
        let goes_low = |row: &u32| match column.bin[*row as usize] {
            MISSING => cut.missing_low,
            bin => usize::from(bin) <= cut.bin,
        };
        let (low, high): (Vec<u32>, Vec<u32>) = leaf.rows.into_iter().partition(goes_low);
        let split = splits.len();
        gains[cut.evidence] += cut.gain;
        splits.push(Split(
            cut.evidence as u16,
            column.border[cut.bin],
            0,
            0,
            cut.missing_low,
        ));
        if let Some(parent) = leaf.parent {
            hang(&mut splits, parent, split as i16);
        }
        leaves.push(new_leaf(low, Some((split, true))));
        leaves.push(new_leaf(high, Some((split, false))));
    }
    let mut values = Vec::with_capacity(leaves.len());
    for leaf in &leaves {
        if let Some(parent) = leaf.parent {
            hang(&mut splits, parent, -1 - values.len() as i16);
        }
        let step = -leaf.pull.slope / (leaf.pull.curvature + params.ridge);
        values.push((params.rate * step) as f32);
    }
    Tree {
        word: word as u16,
        splits,
        leaves: values,
    }
}

fn hang(splits: &mut [Split], (split, low): (usize, bool), place: i16) {
    if low {
        splits[split].2 = place;
    } else {
        splits[split].3 = place;
    }
}

/// The split of these rows that takes most off the loss; `None` when none gains.
fn best_cut(
    columns: &[Column],
    pulls: &[Pull],
    rows: &[u32],
    all: Pull,
    use_evidence: &[usize],
    params: &FitParams,
) -> Option<Cut> {
    if rows.len() < 2 * params.rows_in_leaf {
        return None;
    }
    let mut best: Option<Cut> = None;
    let worth = all.worth(params.ridge);
    for &evidence in use_evidence {
        let column = &columns[evidence];
        let mut bins = [(Pull::default(), 0_usize); BINS + 1];
        for &row in rows {
            let (pull, count) = &mut bins[usize::from(column.bin[row as usize])];
            pull.add(pulls[row as usize]);
            *count += 1;
        }
        let missing = bins[usize::from(MISSING)];
        for missing_low in [true, false] {
            if missing.1 == 0 && !missing_low {
                break;
            }
            let (mut low, mut count) = if missing_low {
                missing
            } else {
                (Pull::default(), 0)
            };
            for (bin, &(pull, rows_in_bin)) in bins[..column.border.len()].iter().enumerate() {
                low.add(pull);
                count += rows_in_bin;
                if count < params.rows_in_leaf || rows.len() - count < params.rows_in_leaf {
                    continue;
                }
                let gain = low.worth(params.ridge) + all.less(low).worth(params.ridge) - worth;
                if gain > params.least_gain && best.is_none_or(|best| gain > best.gain) {
                    best = Some(Cut {
                        gain,
                        evidence,
                        bin,
                        missing_low,
                    });
                }
            }
        }
    }
    best
}
