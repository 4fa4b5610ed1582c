//! The place of an element in its array, or the key of a member in its object.

use std::borrow::Cow;

use serde_json::Value;

use super::cell::CellValue;

/// A place in an array or a key of an object.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Key<'k> {
    /// From 0.
    Place(usize),
    /// A member's key.
    Name(Cow<'k, str>),
}

impl Key<'_> {
    pub(super) fn value(&self) -> CellValue<'_> {
        match self {
            Self::Place(place) => CellValue::Number(Cow::Owned(place.to_string())),
            Self::Name(name) => CellValue::Text(Cow::Borrowed(name)),
        }
    }

    pub(super) fn json(&self) -> String {
        match self {
            Self::Place(place) => place.to_string(),
            Self::Name(name) => Value::from(&**name).to_string(),
        }
    }
}
