//! The table `sweep`.

use std::collections::BTreeSet;

use scrim_tables::rows::SweepRow;

use crate::measures::{Measure, Tally};

/// A parameter that is varied.
#[derive(Debug, Clone, PartialEq)]
pub struct SweptKey {
    /// Its key.
    pub key: String,
    /// Its unit; empty where it has none.
    pub unit: &'static str,
    /// Its value in the pipeline.
    pub own: f64,
    /// The values that it takes, ascending.
    pub values: Vec<f64>,
}

impl SweptKey {
    /// How many cells the grid of `keys` has.
    pub fn cells(keys: &[Self]) -> usize {
        keys.iter()
            .map(|key| key.values.len())
            .fold(1, usize::saturating_mul)
    }

    /// Which value each of `keys` takes in a cell: the last one varies fastest.
    pub fn places(keys: &[Self], mut cell: usize) -> Vec<usize> {
        let mut places = vec![0; keys.len()];
        for (place, key) in places.iter_mut().zip(keys).rev() {
            *place = cell % key.values.len();
            cell /= key.values.len();
        }
        places
    }
}

/// Every measure that any cell, or the pipeline's own values, have rows of, in order.
pub(crate) fn measures_of(tallies: &[Tally]) -> Vec<Measure> {
    let all: BTreeSet<&Measure> = tallies.iter().flat_map(|tally| tally.counts.keys()).collect();
    all.into_iter().cloned().collect()
}

/// The rows of `sweep`: by cell, parameter and measure. `tallies`: one a cell, in their order.
pub fn sweep_rows(keys: &[SweptKey], tallies: &[Tally]) -> Vec<SweepRow> {
    let measures = measures_of(tallies);
    let mut rows = Vec::new();
    for (cell, tally) in tallies.iter().enumerate() {
        for (key, place) in keys.iter().zip(SweptKey::places(keys, cell)) {
            for measure in &measures {
                let counts = tally.get(measure);
                rows.push(SweepRow {
                    cell: cell as u32,
                    parameter: key.key.as_str().into(),
                    value: key.values[place],
                    own_value: key.own,
                    measure: measure.to_string().into(),
                    measured: tally.value(measure, |counts| counts.cell),
                    own_measured: tally.value(measure, |counts| counts.own),
                    changed_share: counts.changed_share(),
                    rows: counts.cell,
                    games: tally.games as u32,
                });
            }
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MeasureCounts;

    #[test]
    fn a_grid_is_every_value_with_every_other_and_its_rows_are_each_parameters() {
        let key = |key: &str, values: &[f64]| SweptKey {
            key: key.into(),
            unit: "m",
            own: 1.0,
            values: values.to_vec(),
        };
        let keys = [key("a", &[1.0, 2.0]), key("b", &[5.0, 6.0, 7.0])];
        assert_eq!(SweptKey::cells(&keys), 6);
        assert_eq!(SweptKey::places(&keys, 4), [1, 1]);
        let measure = Measure {
            table: "cuts",
            column: None,
            word: None,
        };
        let tally = |cell| {
            let counts = MeasureCounts {
                own: 4,
                cell,
                either: 4.max(cell),
                both: 4.min(cell),
            };
            Tally {
                games: 2,
                counts: [(measure.clone(), counts)]
                    .into_iter()
                    .filter(|_| cell > 0)
                    .collect(),
            }
        };
        // One cell in which nothing was found has its rows nevertheless.
        let tallies: Vec<Tally> = [4, 2, 8, 0, 4, 4].map(tally).into();
        let rows = sweep_rows(&keys, &tallies);
        assert_eq!(rows.len(), 6 * 2);
        let second = &rows[2..4];
        assert_eq!((&*second[0].parameter, second[0].value), ("a", 1.0));
        assert_eq!((&*second[1].parameter, second[1].value), ("b", 6.0));
        assert_eq!(
            (second[1].measured, second[1].changed_share),
            (Some(1.0), Some(0.5))
        );
        assert_eq!((rows[6].cell, rows[6].measured, rows[6].rows), (3, Some(0.0), 0));
    }
}
