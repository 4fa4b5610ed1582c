//! An index as bytes, and back.
//!
//! A first line with the form's number; the length of a JSON text, 8 bytes, little-endian; the text (games, and a row for each shape);
//! the shapes in the same order, 2 bytes a number, little-endian; the CRC-32 of all that, 4 bytes.

use flate2::Crc;
use serde::{Deserialize, Serialize};

use crate::shape::NUMBERS;
use crate::{GameShapes, Index, IndexFault, Shape};

/// What every index begins with.
const KIND: &[u8] = b"scrim like: index, form ";

/// The form: another number whenever shapes are made otherwise, or this file is written otherwise. An index of another form is made again.
const FORM: &[u8] = b"1\n";

#[derive(Serialize, Deserialize)]
struct Text {
    games: Vec<GameShapes>,
}

#[derive(Serialize)]
struct TextOf<'a> {
    games: &'a [GameShapes],
}

impl Index {
    /// As bytes. The same index gives the same bytes.
    ///
    /// # Errors
    /// [`serde_json::Error`]: no index causes that.
    pub fn to_bytes(&self) -> Result<Vec<u8>, serde_json::Error> {
        let text = serde_json::to_vec(&TextOf { games: self.games() })?;
        let mut bytes = Vec::with_capacity(text.len() + self.possessions() * NUMBERS * 2 + 64);
        bytes.extend_from_slice(KIND);
        bytes.extend_from_slice(FORM);
        bytes.extend_from_slice(&(text.len() as u64).to_le_bytes());
        bytes.extend_from_slice(&text);
        for shape in self.games().iter().flat_map(|game| &game.shapes) {
            bytes.extend(shape.numbers().iter().flat_map(|cm| cm.to_le_bytes()));
        }
        bytes.extend_from_slice(&checksum(&bytes));
        Ok(bytes)
    }

    /// From [`Index::to_bytes`].
    ///
    /// # Errors
    /// [`IndexFault`]: whether they are no index at all, one of another version, or damaged.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, IndexFault> {
        let rest = bytes.strip_prefix(KIND).ok_or(IndexFault::Foreign)?;
        let rest = rest.strip_prefix(FORM).ok_or(IndexFault::OtherVersion)?;
        let (length, rest) = rest.split_first_chunk::<8>().ok_or(IndexFault::Damaged)?;
        let (_, sum) = bytes.split_last_chunk::<4>().ok_or(IndexFault::Damaged)?;
        if *sum != checksum(&bytes[..bytes.len() - sum.len()]) {
            return Err(IndexFault::Damaged);
        }
        let length = usize::try_from(u64::from_le_bytes(*length)).map_err(|_| IndexFault::Damaged)?;
        let (text, rest) = rest.split_at_checked(length).ok_or(IndexFault::Damaged)?;
        let Text { mut games } = serde_json::from_slice(text).map_err(|_| IndexFault::Damaged)?;
        let shapes = &rest[..rest.len().saturating_sub(sum.len())];
        let (shapes, left) = shapes.as_chunks::<{ NUMBERS * 2 }>();
        let count: usize = games.iter().map(|game| game.rows.len()).sum();
        if !left.is_empty() || shapes.len() != count {
            return Err(IndexFault::Damaged);
        }
        let mut shapes = shapes.iter().map(shape_of);
        for game in &mut games {
            game.shapes = shapes.by_ref().take(game.rows.len()).collect();
        }
        Ok(Self::of(games))
    }
}

fn shape_of(bytes: &[u8; NUMBERS * 2]) -> Shape {
    let mut cm = [0; NUMBERS];
    for (number, bytes) in cm.iter_mut().zip(bytes.as_chunks::<2>().0) {
        *number = i16::from_le_bytes(*bytes);
    }
    Shape::of_numbers(cm)
}

fn checksum(bytes: &[u8]) -> [u8; 4] {
    let mut crc = Crc::new();
    crc.update(bytes);
    crc.sum().to_le_bytes()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::staging::{game, shape};

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]
        #[test]
        fn an_index_is_written_and_read_back(shapes in proptest::collection::vec(shape(), 0..6)) {
            let (first, second) = shapes.split_at(shapes.len() / 2);
            let index = Index::of(vec![game("G2", Some("2041-02-01"), second), game("G1", None, first)]);
            let bytes = index.to_bytes().unwrap();
            prop_assert_eq!(Index::from_bytes(&bytes).unwrap(), index);
        }

        #[test]
        fn no_damage_goes_unseen(place in 0_usize..4000, shape in shape()) {
            let mut bytes = Index::of(vec![game("G1", None, &[shape])]).to_bytes().unwrap();
            let place = KIND.len() + FORM.len() + place % (bytes.len() - KIND.len() - FORM.len());
            bytes[place] ^= 0x10;
            prop_assert_eq!(Index::from_bytes(&bytes), Err(IndexFault::Damaged));
            bytes.truncate(place);
            prop_assert_eq!(Index::from_bytes(&bytes), Err(IndexFault::Damaged));
        }
    }

    #[test]
    fn another_file_and_another_form_are_told_apart() {
        assert_eq!(
            Index::from_bytes(b"a letter to a coach"),
            Err(IndexFault::Foreign)
        );
        let other = [KIND, b"0\n"].concat();
        assert_eq!(Index::from_bytes(&other), Err(IndexFault::OtherVersion));
    }
}
