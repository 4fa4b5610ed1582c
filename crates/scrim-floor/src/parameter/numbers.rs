//! So many numbers under one key.

use std::ops::Deref;

use serde::{Deserialize, Serialize};

/// Exactly so many numbers: a list with more or fewer is refused where it is read. (An array reads the first ones of a longer list and
/// drops the rest.)
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Vec<f64>", into = "Vec<f64>")]
pub struct Numbers<const N: usize>(pub [f64; N]);

impl<const N: usize> Default for Numbers<N> {
    fn default() -> Self {
        Self([0.0; N])
    }
}

impl<const N: usize> Deref for Numbers<N> {
    type Target = [f64];

    fn deref(&self) -> &[f64] {
        &self.0
    }
}

impl<const N: usize> TryFrom<Vec<f64>> for Numbers<N> {
    type Error = String;

    fn try_from(list: Vec<f64>) -> Result<Self, String> {
        let found = list.len();
        let numbers = list.try_into();
        numbers
            .map(Self)
            .map_err(|_| format!("a list of {found} numbers; it must have {N}"))
    }
}

impl<const N: usize> From<Numbers<N>> for Vec<f64> {
    fn from(numbers: Numbers<N>) -> Self {
        numbers.0.to_vec()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_of_another_length_is_refused() {
        assert_eq!(
            Numbers::<3>::try_from(vec![1.0, 2.0, 3.0]),
            Ok(Numbers([1.0, 2.0, 3.0]))
        );
        for list in [vec![1.0; 2], vec![1.0; 4]] {
            let message = Numbers::<3>::try_from(list.clone()).unwrap_err();
            assert_eq!(
                message,
                format!("a list of {} numbers; it must have 3", list.len())
            );
        }
    }
}
