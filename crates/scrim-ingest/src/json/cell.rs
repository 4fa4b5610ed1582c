//! JSON values as cells.

use std::borrow::Cow;

use serde_json::Value;

use super::tape::{Document, Kind, NOWHERE, NodeIx};
use crate::chunk::{Cells, ReadAs};
use crate::clock_text::{parse_clock_s, parse_iso_s};
use crate::names::{NO_NAME, NameIx, Names};
use crate::numbers::parse_number;

/// A value as far as a cell can hold it.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum CellValue<'t> {
    /// No value, or null.
    Nothing,
    Text(Cow<'t, str>),
    /// As it is written.
    Number(Cow<'t, str>),
    /// `true`, `false`, an array or an object.
    Other,
}

impl<'t> CellValue<'t> {
    #[inline]
    pub(super) fn node(document: Document<'t>, at: NodeIx) -> Self {
        if at == NOWHERE {
            return Self::Nothing;
        }
        match document.kind(at) {
            Kind::Null => Self::Nothing,
            Kind::Number => Self::Number(Cow::Borrowed(document.written(at))),
            Kind::Text | Kind::Escaped => Self::Text(document.text(at)),
            Kind::Bool | Kind::Array | Kind::Object => Self::Other,
        }
    }

    pub(super) fn value(value: Option<&'t Value>) -> Self {
        match value {
            None | Some(Value::Null) => Self::Nothing,
            Some(Value::String(text)) => Self::Text(Cow::Borrowed(text)),
            Some(Value::Number(number)) => Self::Number(Cow::Owned(number.to_string())),
            Some(Value::Bool(_) | Value::Array(_) | Value::Object(_)) => Self::Other,
        }
    }
}

/// What a cell holds; `None` for a value that is there and is not what it is read as.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Held {
    Id(Option<NameIx>),
    Number(Option<f64>),
}

impl Held {
    #[inline]
    pub(super) fn read(value: &CellValue<'_>, kind: ReadAs, names: &mut Names) -> Self {
        match (value, kind) {
            (_, ReadAs::Id) => Self::Id(id(value, names)),
            (CellValue::Nothing, _) => Self::Number(Some(f64::NAN)),
            (CellValue::Number(number), ReadAs::Number | ReadAs::Clock) => {
                Self::Number(parse_number(number.as_bytes()))
            }
            (CellValue::Text(text), _) => Self::Number(number_in(text, kind)),
            (CellValue::Number(_) | CellValue::Other, _) => Self::Number(None),
        }
    }

    #[inline]
    pub(super) fn is_readable(self) -> bool {
        matches!(self, Self::Id(Some(_)) | Self::Number(Some(_)))
    }

    /// Appends it to its column; whether it could be read.
    #[inline]
    pub(super) fn put(self, cells: &mut Cells) -> bool {
        match self {
            Self::Id(id) => {
                cells.ids.push(id.unwrap_or(NO_NAME));
                id.is_some()
            }
            Self::Number(number) => {
                cells.numbers.push(number.unwrap_or(f64::NAN));
                number.is_some()
            }
        }
    }
}

fn number_in(text: &str, kind: ReadAs) -> Option<f64> {
    match kind {
        _ if text.trim().is_empty() => Some(f64::NAN),
        ReadAs::Clock => parse_clock_s(text),
        ReadAs::Iso => parse_iso_s(text),
        ReadAs::Number | ReadAs::Id => text.trim().parse().ok(),
    }
}

#[inline]
fn id(value: &CellValue<'_>, names: &mut Names) -> Option<NameIx> {
    match value {
        CellValue::Nothing => Some(NO_NAME),
        CellValue::Text(text) => Some(names.number(text)),
        CellValue::Number(number) => number_as_id(number, names),
        CellValue::Other => None,
    }
}

/// Whole numbers are ids, also those that were made floats on their way (`7.0`).
fn number_as_id(number: &str, names: &mut Names) -> Option<NameIx> {
    // As far as every whole number of so many digits is written in one way only.
    let is_plain = number.len() <= 18 && number != "-0";
    if is_plain && number.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-') {
        return Some(names.number(number));
    }
    let number: serde_json::Number = serde_json::from_str(number).ok()?;
    match number.as_f64() {
        Some(whole) if number.is_f64() && whole.fract() == 0.0 && whole.abs() < 9e15 => {
            Some(names.number(&(whole as i64).to_string()))
        }
        _ if number.is_f64() => None,
        _ => Some(names.number(&number.to_string())),
    }
}

/// A value's text, for messages: compact JSON.
#[cold]
pub(super) fn compact(json: &str) -> String {
    serde_json::from_str::<Value>(json).map_or_else(|_| json.to_owned(), |value| value.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_ids_when_they_are_whole() {
        let mut names = Names::default();
        let number_of = |number: &'static str| CellValue::Number(Cow::Borrowed(number));
        for (number, id) in [
            ("7", "7"),
            ("-3", "-3"),
            ("-0", "0"),
            ("7.0", "7"),
            ("1e2", "100"),
            ("18446744073709551615", "18446744073709551615"),
        ] {
            match Held::read(&number_of(number), ReadAs::Id, &mut names) {
                Held::Id(Some(found)) => assert_eq!(&**names.name(found), id),
                other => panic!("{number}: {other:?}"),
            }
        }
        for number in ["7.5", "1e300", "18446744073709551616"] {
            assert_eq!(
                Held::read(&number_of(number), ReadAs::Id, &mut names),
                Held::Id(None),
                "{number}"
            );
        }
    }
}
